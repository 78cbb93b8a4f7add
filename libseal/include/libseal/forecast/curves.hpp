#pragma once
// Answers on demand: how the chance of being due grows month by month, and what is believed of a layer's life.

#include <string>
#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/core/date.hpp"

namespace libseal {

/// Curves of some layers over the months of a forecast: as_of, as_of + 1 month, ... One row a layer, one column a month.
struct ForecastCurves {
    std::vector<Date> day;
    Eigen::ArrayXXd due;        ///< probability of being due by that day [-]
    Eigen::ArrayXXd condition;  ///< expected condition grade [-], 0 to 5
    Eigen::ArrayXXd open;       ///< probability that water has a way into the joint [-]
};

/// What the laws of ageing say of layers on the day of a forecast, at their mean effective age. NaN where a law has no say.
/// These are predictions of material, shown beside the condition; they schedule nothing by themselves.
struct LayerStates {
    Column crack_rating;     ///< of a bead's surface, 0 to 25 [-]
    Column capability_left;  ///< share of the movement capability of a bead [-]
    Column utilisation;      ///< largest movement over the capability left [-]
    Column bond_left;        ///< share of the bond strength of a bead [-]
    Column compression_set;  ///< of a gasket [-]
    Column shrinkage;        ///< share of an insert's length that is lost [-]
    Column squeezed_out;     ///< share of a tape's thickness [-]
};

/// What is believed of a layer's life and of its joint's shared effects, after all looks.
struct LayerPosterior {
    std::string coach;
    std::string joint;
    std::string layer;
    Column life;           ///< nodes of threshold / phi [effective yr], rising
    Column probability;    ///< of the cell around each node [-], sums to 1
    Column effect;         ///< nodes of s = ln(phi) [-], rising
    Column effect_probability;  ///< sums to 1 [-]
    double mean_log = 0;   ///< of ln(life / yr) [-]
    double sd_log = 0;     ///< [-]
};

}  // namespace libseal
