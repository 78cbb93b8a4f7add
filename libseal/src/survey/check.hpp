#pragma once
// Whether records fit the coaches they are about: the same check for lists in memory and for files, which know their lines.

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// Notes what is wrong: field, expected, got, hint.
using Note = std::function<void(const std::string&, const std::string&, const std::string&, const std::string&)>;

/// Words of the columns of findings.
const std::vector<std::string>& unit_names();
const std::vector<std::string>& size_names();
const std::vector<std::string>& bedding_seen_names();
constexpr double largest_value = 1e4;     ///< no measure of a sign is larger [mm or percent]
constexpr double largest_moisture = 200;  ///< [% wood scale]
constexpr double longest_work = 1e5;      ///< [min]

/// What belongs together in one finding; false if it does not.
bool check_whole(const Finding& finding, const Note& note);
/// Words and numbers of records that no reader has seen.
void check_content(const Finding& finding, const Note& note);
void check_content(const WorkDone& work, const Note& note);

/// Coaches, joints and parts by id, so that long lists of records are checked in one pass. The fleet must outlive it.
/// @threads  one.
class RecordCheck {
public:
    RecordCheck(const Fleet& fleet, Date as_of);

    void check(const Finding& finding, const Note& note) const;
    void check(const WorkDone& work, const Note& note) const;

private:
    struct Known {
        const Coach* coach = nullptr;
        bool listed = false;
        std::map<std::string, const Joint*> joints;
        std::map<std::string, const Part*> parts;
    };
    void place(const Finding& finding, const Note& note) const;
    void place(const WorkDone& work, const Note& note) const;
    const Known* coach(const std::string& id, const Note& note) const;
    static const Joint* joint(const Known& known, const std::string& id, const std::string& coach, const Note& note);
    static void part(const Known& known, const std::string& id, const std::string& coach, const Note& note);
    static void layer(const Joint& joint, const std::string& kind, const Note& note);
    static void segment(const Joint& joint, const std::string& name, const Note& note);
    void date(Date day, const Note& note) const;

    mutable std::map<std::string, Known> coaches_;  ///< joints and parts are listed when they are first asked for
    std::vector<std::string> coach_ids_;
    Date as_of_;
};

/// The same finding noted twice: the key and what was seen agree; inspector, photo and note may differ.
bool same_record(const Finding& a, const Finding& b);

/// One finding per key (coach, joint, part, segment, layer, sign, date) and unit: a second one must be the same.
class SameKey {
public:
    /// Notes a finding that says something else than an earlier one of its key.
    void check(const Finding& finding, const Note& note);

private:
    std::map<std::vector<std::string>, Finding> seen_;
};

}  // namespace libseal::detail
