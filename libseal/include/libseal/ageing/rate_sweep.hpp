#pragma once
// Rates of ageing for any values of a law's parameters: the hours of a year are summed at a few values alone, all others come from
// Chebyshev series of the logarithms of these sums, with a stated error.

#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/range_moments.hpp"

namespace libseal {

/// A parameter that a sweep moves, and how far.
///
/// - "light_exponent", "humidity_exponent" [-], "energy_light", "energy_heat", "energy_moisture" [kJ/mol]: of the law's terms;
/// - "weight_light", "weight_heat", "weight_moisture" [-]: two of the three at most; what they leave of 1 falls to the others in proportion;
/// - "absorptance", "emittance" [-]: of the surface.
struct SweepRange {
    std::string parameter;
    double low = 0;   ///< [unit of the parameter], at least 0
    double high = 0;  ///< [unit of the parameter], above `low`
};

/// Ranges of all parameters of a law that the catalogue gives one. They are the entries of the family; of appearance those of
/// "model/appearance_...", of set and shrinkage the energy of their law, of bond those of "bond_law/default" (whose rate counts squared).
/// @param finish  Of the surface, for ranges of absorptance and emittance; "": without them.
/// @throws ValueError  unknown family or finish, or a law that the family has not.
std::vector<SweepRange> sweep_ranges(const std::string& family, Law law = Law::surface, const std::string& finish = "",
                                     const Catalogue& catalogue = Catalogue::built_in());

/// Which layer a sweep is about, and how exact it is to be; the names are the keywords in Python.
struct RateSweepOptions {
    std::string family = "self_levelling_lap";
    Law law = Law::surface;
    Depth depth = Depth::exposed;
    double tilt = 0;              ///< of the surface [deg], 0 (up) to 180
    double azimuth = std::numeric_limits<double>::quiet_NaN();  ///< of its normal [deg from north over east]; NaN: any heading
    double absorptance = 0.35;    ///< solar [-], 0 to 1
    double emittance = 0.9;       ///< [-], 0 to 1
    std::string cover = "open";   ///< open, carport, covered or indoors
    double tolerance = 1e-6;      ///< largest relative error of a month's rate [-], 1e-12 to 0.1
    int check_points = 16;        ///< points at which the hours are summed to check the series, >= 0
    Catalogue catalogue = Catalogue::built_in();
    std::shared_ptr<Session> session;  ///< of the same catalogue: keeps typical years for later calls; null: nothing is kept
    std::uint64_t seed = 0;       ///< of the typical year and of the points of the check
};

/// A parameter of a sweep as it was taken.
struct SweptParameter {
    std::string name;
    std::string id;          ///< entry of the catalogue; "" of absorptance and emittance
    std::string unit;
    double low = 0;          ///< [unit of the parameter]
    double value = 0;        ///< of the catalogue or the options [unit of the parameter], moved into the range
    double high = 0;         ///< [unit of the parameter]
    int nodes = 0;           ///< values at which the hours were summed; 0 where none are needed
};

/// How far a sweep may be from the hours: relative error of the rate of any month and of the year.
struct SweepError {
    double stated = 0;       ///< the larger of `series` and twice `checked` [-]; at most the tolerance
    double series = 0;       ///< from the decay of the coefficients [-]: what was cut off, summed over parameters
    double checked = 0;      ///< largest difference at the points of the check [-]
    int points = 0;          ///< of the check
};

/// What each parameter does alone, the one that matters most first: bars of a tornado. Columns have one row a parameter.
struct RateSensitivities {
    std::vector<std::string> parameter;
    std::vector<std::string> unit;
    double rate = 0;         ///< at the point [yr/yr]
    double life = 0;         ///< at the point [yr]
    Column value;            ///< of the point [unit of the parameter]
    Column low;              ///< [unit of the parameter]
    Column high;             ///< [unit of the parameter]
    Column slope;            ///< d ln rate / d parameter at the point [1/unit]
    Column rate_low;         ///< with the parameter at its low end [yr/yr]
    Column rate_high;        ///< [yr/yr]
    Column life_low;         ///< with the parameter at its low end [yr]
    Column life_high;        ///< [yr]
    Column swing;            ///< |ln(rate_high / rate_low)| [-]

    Eigen::Index size() const { return value.size(); }
};

namespace detail {
class SweepTables;
}

/// Rates of one layer at one place for any values of the parameters within their ranges. A point is one value a parameter, in the
/// order of the ranges. Rates are those of the clocks of a forecast: 1 is the ageing at the reference, whose own mean moves with energies
/// and exponents too (docs/rate_sweeps.md).
///
/// @threads  Read it from as many threads as you like. Same bits for any number of threads and on every processor.
class RateSweep {
public:
    /// As the ranges were given.
    const std::vector<SweptParameter>& parameters() const;
    /// How far its rates may be from the hours.
    const SweepError& error() const;
    /// Values of the catalogue and the options. [units of the parameters]
    Column base() const;
    /// The same with other values of some parameters, by name. [units of the parameters]
    /// @param values  [units of the parameters]  @throws ValueError  a name that is not swept, or a value outside its range.
    Column point(const std::map<std::string, double>& values) const;

    /// Mean rates of the calendar months, by light, heat and moisture; no dated days. [yr/yr]
    /// @param point  [units of the parameters]
    /// @throws ValueError  a value outside its range, naming it.
    ClockYear clock(ConstColumn point) const;
    /// Mean rate of a year. [yr/yr]  @param point  [units of the parameters]  @throws ValueError  a value outside its range, naming it.
    double rate(ConstColumn point) const;
    /// Median life until grade 3 where such a rate always holds: the family's life over the rate; of appearance until grade 2. [yr]; NaN for
    /// laws that count real time. @param point  [units of the parameters]  @throws ValueError  a value outside its range, naming it.
    double life(ConstColumn point) const;

    /// Rates of the year at many points. [yr/yr]
    /// @param points   One a row.
    /// @param threads  0: one per processor; no result depends on it.
    /// @throws ValueError  naming the first value outside its range.
    Column rates(ConstSeriesRows points, int threads = 0) const;
    /// Rates of the calendar months, one row a point, twelve columns. Arguments as `rates`. [yr/yr]
    SeriesRows month_rates(ConstSeriesRows points, int threads = 0) const;
    /// d ln(rate of the year) / d parameter, one row a point, one column a parameter: exact derivatives of the series. Arguments as `rates`.
    SeriesRows slopes(ConstSeriesRows points, int threads = 0) const;

    /// Each parameter over its range, the others as at `point`. [units of the parameters]
    /// @param point  [units of the parameters]
    /// @throws ValueError  a value outside its range; weights that at an end of a range would sum to more than 1.
    RateSensitivities sensitivities(ConstColumn point) const;

    /// What `clock` stands for, summed over all hours: some hundred times slower. [yr/yr]
    /// @param point  [units of the parameters]  @throws ValueError  as `clock`.
    ClockYear exact_clock(ConstColumn point) const;

private:
    friend RateSweep rate_sweep(const Station& station, const std::vector<SweepRange>& ranges, const RateSweepOptions& options);
    friend RateSweep rate_sweep(const Weather& weather, const std::vector<SweepRange>& ranges, const RateSweepOptions& options);
    explicit RateSweep(std::shared_ptr<const detail::SweepTables> tables) : tables_(std::move(tables)) {}

    std::shared_ptr<const detail::SweepTables> tables_;
};

/// Sums the hours of the typical year of a station at as many values of the parameters as the tolerance asks for.
///
/// Light, heat and moisture have a series each, of the logarithm of each month's sum against that of the reference, over the parameters
/// that the term depends on; weights need none. Hours that are wet (saturated air at the surface) in a part of the range of absorptance or emittance alone
/// make a kink; they are left out of the sums, and added one by one at each point. Headings, tilts and movement have kinks in every
/// hour: make a sweep, or a count of cycles, for each.
///
/// @param ranges  At least one, each parameter once.
/// @throws ValueError  unknown parameter, range that is reversed or out of bounds, three weights; a tolerance that was not reached, with
///                     the one that was.
/// @threads pure.
/// @source  Series at Chebyshev points: Trefethen 2013, Approximation Theory and Approximation Practice, chapters 3, 7 and 8.
RateSweep rate_sweep(const Station& station, const std::vector<SweepRange>& ranges, const RateSweepOptions& options = {});
/// The same for a weather of one's own: means over the known hours of each calendar month.
/// @throws ValueError  as for a station, and a calendar month without known hours.
RateSweep rate_sweep(const Weather& weather, const std::vector<SweepRange>& ranges, const RateSweepOptions& options = {});

}  // namespace libseal
