#pragma once
// ln likelihood of Weibull lives on grids of shape and scale: what a shape alone decides is done once for all scales.

#include <Eigen/Core>

#include "libseal/core/columns.hpp"
#include "libseal/life/update.hpp"

namespace libseal::detail {

/// Checked lives, equal ones counted together.
class WeibullLikelihood {
public:
    /// @param data  with 0 <= lower <= upper, 0 < upper; infinite where a life goes on
    explicit WeibullLikelihood(const LifeData& data);

    /// The function of ln scale at one shape. The likelihood must outlive it.
    class AtShape {
    public:
        AtShape(const WeibullLikelihood& all, double shape);
        double operator()(double log_scale) const;

    private:
        const WeibullLikelihood& all_;
        double shape_;
        double exact_ = 0;    ///< what exact lives add at scale 1 besides their hazards
        double hazards_ = 0;  ///< at a scale of the latest time
        Column log_between_;  ///< ln of the hazard between the ends of an interval at scale 1
    };

private:
    double exact_lives_ = 0, exact_logs_ = 0;
    double latest_ = 0;             ///< largest of `sound_`
    Column sound_, sound_lives_;    ///< ln of times until which lives were sound, and how many
    Column upper_, width_, lives_;  ///< ln of upper ends of intervals, ln(upper / lower), and how many
};

}  // namespace libseal::detail
