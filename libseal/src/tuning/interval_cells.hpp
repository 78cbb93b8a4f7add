#pragma once
// Cells of an interval table: the usual joint of a type at a station, how fast it ages, what the formulas say of it.

#include <memory>
#include <string>
#include <vector>

#include "libseal/forecast/belief.hpp"
#include "libseal/life/life_law.hpp"
#include "libseal/tuning/interval_table.hpp"
#include "tuning/interval_costs.hpp"

namespace libseal::detail {

struct IntervalCell {
    std::string station, climate, joint_type, family, surface;
    int consequence = 3;
    double rate = 1;         ///< of the clock with movement in it [yr/yr]
    double median_life = 1;  ///< until due, by the clock [yr]
    JointCosts costs;
};
/// All cells, by station, type and family as asked for. Their clocks are evaluated together.
std::vector<IntervalCell> interval_cells(const IntervalTableOptions& options);

/// The life that all cells share but for its scale: worn shares at which a look can find it and at which it is open.
struct UnitLife {
    explicit UnitLife(const IntervalTableOptions& options);
    LifeSpread spread;
    double median = 1;     ///< of the life until due, where the Weibull scale is 1 [-]
    double visible = 1;    ///< worn share [-]
    double open = 1;       ///< worn share [-]
    double detection = 1;  ///< [-]
    LifeLaw due;           ///< marginal life until due, where the Weibull scale is 1
};

/// What the formulas take for best. [yr] and [per yr]
struct FormulaBest {
    double age = 0, age_cost = 0;
    double interval = 0, interval_cost = 0;
};
/// @param scale  Weibull scale of the life until due [yr].
FormulaBest formula_best(const UnitLife& life, double scale, const JointCosts& costs);

}  // namespace libseal::detail
