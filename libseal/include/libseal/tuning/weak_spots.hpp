#pragma once
// Designs that come due more often than their age explains: joint types of a model line, shrunk and with false discoveries held down.

#include <optional>
#include <string>
#include <vector>

#include "libseal/tuning/history.hpp"

namespace libseal {

/// Optional inputs of `weak_spots`; the names are the keywords in Python.
struct WeakSpotOptions {
    double alpha = 0.05;      ///< share of the designs called weak that may be called so wrongly [-], (0, 1)
    bool by_year = false;     ///< true: each model year is a design of its own
    double confidence = 0.95; ///< of the limits [-], (0, 1)
    double power = 0.8;       ///< chance with which more looks are to settle a doubt [-], (0, 1)
    /// Due layers whose `workmanship` in the history is above this count as watched until they were last seen sound, and as not due [-], 0 to 1.
    /// 1: none, every due layer counts against the design; 0.5: those that are more likely workmanship than wear do not.
    double largest_workmanship = 1;
    std::optional<Fleet> fleet;  ///< whose sister coaches are listed; none: no list
    Catalogue catalogue = Catalogue::built_in();
};

/// How lives of a family run in the history as a whole: what designs are held against. One row a family and layer.
struct LifeBaselines {
    std::vector<std::string> family;
    std::vector<std::string> layer;
    std::vector<int> layers;    ///< lives
    std::vector<int> due;       ///< of them, found due
    Column median_life;         ///< of wear, fitted [effective yr]
    Column catalogue_life;      ///< of the catalogue [effective yr]
    Column early_share;         ///< share with a workmanship defect, fitted [-]

    Eigen::Index size() const { return median_life.size(); }
};

/// Coaches of the fleet that share a weak design and have joints of it that nobody has found due yet. None for a design without a model line, or of
/// unknown year with `by_year`: nobody knows which coaches share it.
struct SisterCoaches {
    std::vector<int> design;         ///< row of `WeakSpots`
    std::vector<std::string> coach;
    std::vector<int> joints;         ///< of that type, not found due
    std::vector<int> never_seen;     ///< of these, without a look that graded them
};

/// One row a design, the most certain first.
struct WeakSpots {
    std::vector<std::string> model_line;
    std::vector<int> model_year;     ///< 0 where years are taken together, or unknown
    std::vector<std::string> joint_type;
    std::vector<int> layers;         ///< lives
    std::vector<int> coaches;        ///< that they are on
    std::vector<int> due;            ///< layers found due
    Column expected;                 ///< due layers that their ages explain [-]
    Column ratio;                    ///< due / expected [-]
    Column ratio_low;                ///< exact limits of the ratio if layers were independent [-]
    Column ratio_high;               ///< [-]
    Column shrunk;                   ///< the ratio drawn to that of all designs: what to plan with [-]
    Column shrunk_low;               ///< limits of that [-]
    Column shrunk_high;              ///< [-]
    Column above;                    ///< probability that the ratio is above that of all designs [-]
    Column p;                        ///< chance of so many due or more if it were a design like all, coaches differing as they do [-]
    Column adjusted;                 ///< p by Benjamini & Hochberg: weak at or below alpha [-]
    Column funnel_low;               ///< due / expected that chance keeps to [-]
    Column funnel_high;              ///< [-]
    Column more_layers;              ///< layers of the same ages still to look at until a ratio like `shrunk` is told [layers]; NaN where it is too near 1
    std::vector<int> weak;           ///< 1: stands out, 0: does not
    std::vector<std::string> verdict;  ///< in words
    std::vector<int> workmanship;    ///< layers found due that are taken for workmanship and do not count as due
    LifeBaselines baselines;
    SisterCoaches sisters;           ///< of weak designs
    bool alike = false;              ///< designs differ no more than chance does: nothing to shrink

    Eigen::Index size() const { return expected.size(); }
};

/// Designs whose layers come due more often than their effective ages explain.
///
/// A life of each family and layer is fitted to the whole history: the model's shape of wear with a scale of its own, and a share of
/// early defects. What a layer was exposed to is its cumulative hazard over the ages at which it was watched; where the
/// failure lies between two looks, its mean there. A design's `expected` is the sum. Layers of one coach come due together: `p` counts that
/// with the catalogue's spread of coaches.
///
/// No finding says what caused it; what is known is `workmanship` of the history, the chance that a layer found due was badly made and not
/// worn. With `largest_workmanship` below 1 such layers are competing ends: they leave when they were last seen sound.
///
/// @param history  As `life_records` makes it.
/// @throws ValueError  an empty history, nothing due in it, or nothing that `largest_workmanship` leaves, a number outside its range, columns of different
/// lengths.
/// @threads pure.
/// @source  Breslow & Day 1987 (observed over expected); Gaver & O'Muircheartaigh 1987 (shrinkage); Benjamini & Hochberg 1995;
/// Spiegelhalter 2005 (funnel).
WeakSpots weak_spots(const LifeRecords& history, const WeakSpotOptions& options = {});

/// The designs for reading, the weak ones with the coaches to look at.
std::string weak_spots_text(const WeakSpots& spots);

}  // namespace libseal
