#pragma once
// What the values of a catalogue amount to: lives by place, surface and family, and the orderings that must hold.

#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"

namespace libseal {

/// Optional inputs of `calibration_table`; the names are the keywords in Python.
struct CalibrationOptions {
    Catalogue catalogue = Catalogue::built_in();
    std::vector<std::string> places;  ///< names of stations; empty: the reference and six places over the continent
    int threads = 0;                  ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Life of each layer on each surface in each place, as if it stood there all its life without a look or work.
struct CalibrationLives {
    std::vector<std::string> family;
    std::vector<std::string> layer;    ///< a bedding lies under a sound cap
    std::vector<std::string> place;
    std::vector<std::string> surface;  ///< "roof_light", "roof_dark", "south_wall", "mean_of_walls", "covered"
    Column rate;       ///< years of the family's clock in a calendar year [yr/yr]
    Column ratio;      ///< rate against that of the same surface at the reference [-]
    Column median;     ///< until condition grade 3 [yr]
    Column ten;        ///< until 10 % are there [yr]
    Column ninety;     ///< until 90 % are there [yr]
    Column trade_low;  ///< range of the trade for the family, wherever it is [yr]
    Column trade_high; ///< [yr]
    std::vector<std::string> verdict;  ///< "inside" the range of the trade, or why the median is not

    Eigen::Index size() const { return rate.size(); }
    /// Row of a layer, -1 if there is none.
    Eigen::Index row(const std::string& of_family, const std::string& of_layer, const std::string& at_place,
                     const std::string& on_surface) const;
};

/// What must hold, one row a check: low <= value <= high, or the reason why not.
struct CalibrationChecks {
    std::vector<std::string> rule;     ///< "place_order", "dark_finish_shortens", ...
    std::vector<std::string> subject;  ///< what was compared, in words
    Column value;                      ///< [as `unit` says]
    Column low;                        ///< [as `unit` says]
    Column high;                       ///< [as `unit` says]
    std::vector<std::string> unit;     ///< "yr" or "-"
    std::vector<std::string> source;   ///< of the wanted range
    std::vector<std::string> verdict;  ///< "inside", or why not in words

    Eigen::Index size() const { return value.size(); }
};

/// The whole table.
struct CalibrationTable {
    std::string reference;  ///< place where the lives are stated
    CalibrationLives lives;
    CalibrationChecks checks;
};

/// Evaluates a catalogue: agreement is consistency of judgements with each other and with what little is published,
/// no validation.
///
/// @throws ValueError  unknown place; faults of the catalogue.
/// @source  Wanted ranges: calibration/... of the catalogue; equations: docs/ageing.md, digest: docs/calibration.md.
/// @threads pure; same bits for any number of threads.
CalibrationTable calibration_table(const CalibrationOptions& options = {});

/// Rows outside that no known reason explains, in words; empty is good.
std::vector<std::string> unexplained(const CalibrationTable& table);

/// The table for reading: one block a layer, then the checks.
std::string calibration_text(const CalibrationTable& table);
/// The lives as comma-separated text with a header.
std::string calibration_csv(const CalibrationTable& table);
/// The checks as comma-separated text with a header.
std::string calibration_checks_csv(const CalibrationTable& table);

}  // namespace libseal
