#pragma once
// What years of inspections say of lives: one censored record for each generation of a layer that was looked at.

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

/// Optional inputs of `life_records`; the names are the keywords in Python.
struct HistoryOptions {
    std::vector<WorkDone> work_done;              ///< each renewal ends a generation of its layer and starts the next
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    Catalogue catalogue = Catalogue::built_in();
    std::map<std::string, double> look_noise;     ///< sd of a look by inspector [grades], for `workmanship` alone
    /// false: a layer is followed from its fitting on. true: only from its first look on; what was due then is left out, the others
    /// enter at that age. Right where layers may have failed and been renewed before, with a later fitting in the file and no record.
    bool from_first_look = false;
    std::shared_ptr<Session> session;             ///< keeps what is worked out for later calls; null: nothing is kept
    std::uint64_t seed = 0;                       ///< of the typical years
    int threads = 0;                              ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Lives as columns, one row a generation that was looked at, by coach, joint, layer and generation as given.
///
/// The event is being due: condition grade 3. Its age lies in (lower, upper]; upper is infinite where the last look found the
/// layer sound, lower is 0 where the first look found it due. Ages are effective: years at the reference, by the clock of the
/// forecast with movement in it, so that layers of all places and surfaces are on one scale; `..._years` are the same in the calendar.
struct LifeRecords {
    std::vector<std::string> coach;
    std::vector<std::string> joint;
    std::vector<std::string> layer;
    std::vector<int> generation;  ///< of the layer, from 1
    std::vector<std::string> family;
    std::vector<std::string> joint_type;
    std::vector<std::string> model_line;
    std::vector<int> model_year;         ///< 0 unknown
    std::vector<std::string> place;      ///< where the coach stands on the day of the last look
    std::vector<std::string> surface;
    Column lower;                        ///< sound at this age [effective yr], 0 if it was never seen sound
    Column upper;                        ///< due by this age [effective yr], infinite if it was never seen due
    Column entry;                        ///< followed from this age on [effective yr]: 0, or the age at the first look
    Column lower_years;                  ///< the same in the calendar [yr]
    Column upper_years;                  ///< [yr]
    Column entry_years;                  ///< [yr]
    /// "due" between two looks, "due_at_first_look", "sound" when last seen, "replaced_sound": renewed and sound when last seen.
    std::vector<std::string> event;
    Column workmanship;                  ///< chance that what was found due is a workmanship defect and no wear [-]; NaN if not due
    std::vector<int> looks;              ///< that graded the layer
    std::vector<std::string> flag;       ///< "" or what makes the row doubtful, in words
    int never_seen = 0;                  ///< generations without a look that graded them: no rows
    int left_out = 0;                    ///< a look that tells nothing of the life (on the day of fitting), or by `from_first_look`: due then, or seen once

    Eigen::Index size() const { return lower.size(); }
};

/// The lives that findings and work records amount to.
///
/// A look that grades a layer below 3 finds it sound; 3 and worse finds it due, the first such look counts. A look on the day of
/// work comes before it. Work without a look tells nothing of the condition: the life ends at the last look. Where the fitting is known
/// as an interval of days, `lower` counts from its end and `upper` from its start: the row says less, and stays true. A bedding under a
/// cap has the mean age that the forecast believes, with the cap's looks. Contradictions are flagged, not dropped.
///
/// @param fleet     As it was fitted.
/// @param findings  Not after `as_of`.
/// @param as_of     Last day of the history.
/// @throws ValueError  as `forecast`.
/// @threads pure.
LifeRecords life_records(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const HistoryOptions& options = {});

}  // namespace libseal
