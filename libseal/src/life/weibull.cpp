#include "libseal/life/weibull.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "life/special.hpp"

namespace libseal {

double Weibull::mean_residual(double alive) const {
    const double hazard_so_far = std::pow(require_not_negative(alive, "alive") / scale_, shape_);
    if (std::isinf(hazard_so_far)) return scale_ / shape_ * std::pow(alive / scale_, 1 - shape_);  // the hazard does not change any more: its inverse
    return scale_ / shape_ * detail::scaled_upper_gamma(1 / shape_, hazard_so_far);
}

Weibull weibull_through(double t1, double p1, double t2, double p2) {
    require_positive(t1, "t1");
    require_positive(t2, "t2");
    require_inside(p1, 0, 1, "p1");
    require_inside(p2, 0, 1, "p2");
    if (t2 <= t1) throw_value_error("t2", "a time after t1", number_text(t2));
    if (p2 <= p1) throw_value_error("p2", "a share above p1", number_text(p2));
    const double shape = (std::log(-std::log1p(-p2)) - std::log(-std::log1p(-p1))) / std::log(t2 / t1);
    return {t1 / std::pow(-std::log1p(-p1), 1 / shape), shape};
}

WeibullCovariance complete_sample_covariance(int count, double shape) {
    require_between(count, 1, 1e9, "count");
    require_positive(shape, "shape");
    constexpr double pi = 3.14159265358979323846, euler = 0.57721566490153286061;
    constexpr double information = 6 / (pi * pi), lever = 1 - euler;
    return {(1 + information * lever * lever) / (count * shape * shape), information * shape * shape / count,
            information * lever / count};
}

}  // namespace libseal
