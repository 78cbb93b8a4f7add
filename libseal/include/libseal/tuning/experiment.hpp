#pragma once
// Which joints to look at to learn most about a family, and how many until its life is known well enough.

#include <cstdint>
#include <limits>
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

/// Optional inputs of `look_experiment`; the names are the keywords in Python.
struct ExperimentOptions {
    std::vector<WorkDone> work_done;
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    Catalogue catalogue = Catalogue::built_in();
    std::map<std::string, double> look_noise;     ///< sd of a look by inspector [grades], of looks that were made; 0.1 to 2
    double width = 0.3;         ///< wanted width of the 95 % interval of the family's life over the life [-], > 0
    int most = 200;             ///< looks at most, >= 1
    double prior_sd = std::numeric_limits<double>::quiet_NaN();  ///< as of `recalibrate` [-]
    std::shared_ptr<Session> session;  ///< keeps what is worked out for later calls; null: nothing is kept
    std::uint64_t seed = 0;     ///< of the typical years
    int threads = 0;            ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Looks in the order in which they tell most, one row each.
struct LookExperiment {
    std::string family;
    Date day{};
    std::vector<std::string> coach;
    std::vector<std::string> joint;
    std::vector<std::string> layer;
    Column effective_age;       ///< of the layer on the day [effective yr]
    Column information;         ///< Fisher information of one look about the layer's own ln(phi), expected over its belief [-]
    Column log_sd;              ///< of ln(life of the family) after this look and those before it [-]
    Column width;               ///< of the 95 % interval over the life [-]
    Column bits;                ///< fall of the entropy of the family's effect by this look [bit]
    double log_sd_before = 0;   ///< before the first look, with all findings [-]
    double width_before = 0;    ///< [-]
    double log_sd_all = 0;      ///< if every layer that can be seen were looked at [-]
    double width_all = 0;       ///< [-]
    int candidates = 0;         ///< layers of the family that a look could see
    int enough = -1;            ///< looks until the wanted width; 0: it is known already; -1: not within these looks

    Eigen::Index size() const { return information.size(); }
};

/// Chooses looks at layers of a family, all on one day, each for what it tells about the family's life.
///
/// A look tells of the layer's own effect what its Fisher information says: most in layers whose grade the life decides, little in new
/// and in long open ones. On the way up it loses to the effects of joint, coach and model line: a second look at a coach tells less
/// than the first one at another. Greedy choice: the next look is the one that narrows the family most; ties go to the first in order.
/// The precision of the family is a monotone submodular function of the set of looks, so the greedy set has at least 1 - 1/e of the
/// gain in precision of the best one of its size (tested: nearly always all of it). Beddings under a cap cannot be seen.
///
/// @param findings  Not after `day`: what is known already.
/// @param family    Family of the layers.
/// @param day       Of the looks.
/// @throws ValueError  as `recalibrate`; unknown family.
/// @source  Nemhauser, Wolsey & Fisher 1978 (greedy choice); Chaloner & Verdinelli 1995 (Bayesian design).
/// @threads pure.
LookExperiment look_experiment(const Fleet& fleet, const std::vector<Finding>& findings, const std::string& family, Date day,
                               const ExperimentOptions& options = {});

}  // namespace libseal
