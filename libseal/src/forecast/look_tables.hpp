#pragma once
// The chance of a look, in parts: what hangs on its grades and its error alone is tabulated once for all looks that share them.

#include <algorithm>
#include <cmath>
#include <memory>
#include <tuple>

#include "core/recent.hpp"
#include "libseal/forecast/belief.hpp"

namespace libseal::detail {

constexpr double workmanship_grade = 4.0;         // what a defect of workmanship looks like, whatever the wear
constexpr double least_chance_of_a_look = 1e-9;  // no look is proof: people err

/// Sd of a look [grades].
inline double error_of(const Look& look, const GradeScale& scale) { return std::isnan(look.noise) ? scale.look_noise : look.noise; }

/// Chance that a look with this error reports a grade in its interval when the true one is `grade`.
double reading_chance(const Look& look, double grade, double noise);
/// The same with defects that are overlooked; early defects and strays are not in it yet.
double wear_chance(const Look& look, const GradeScale& scale, double grade, double noise);

/// The chance of a look from its parts. Equal parts give equal bits, wherever they were kept.
/// @param wear         `wear_chance` at the grade.
/// @param workmanship  `reading_chance` at `workmanship_grade`; not read if `early` is 0.
inline double whole_chance(const Look& look, const GradeScale& scale, double grade, double wear, double workmanship) {
    double chance = wear;
    if (look.early > 0 && grade < workmanship_grade) chance = (1 - look.early) * chance + look.early * workmanship;
    chance = (1 - scale.stray) * chance + scale.stray * (look.highest - look.lowest + 1) / 6.0;
    chance = std::max(chance, least_chance_of_a_look);
    return look.weight == 1 ? chance : std::pow(chance, look.weight);
}

/// Tables of looks under one scale, with the bits of `LookTable(look, scale)`. Most looks of a fleet share a few.
/// @threads  safe.
class LookTables {
public:
    explicit LookTables(const GradeScale& scale);

    LookTable table(const Look& look);
    const GradeScale& scale() const { return scale_; }

private:
    /// What looks with equal grades and error share.
    struct Reading {
        Column wear;                           ///< `wear_chance` at each node
        double workmanship = 0;
        std::shared_ptr<const Column> plain;   ///< the table of a look without early defects
    };
    using Key = std::tuple<int, int, double, double>;  ///< lowest and highest grade, error, weight
    static constexpr std::size_t most_readings = 256;  // of 26 kB each

    GradeScale scale_;
    Column grade_;  ///< at each node
    Recent<Key, Reading> readings_{most_readings};
};

}  // namespace libseal::detail
