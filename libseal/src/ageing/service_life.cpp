#include "libseal/ageing/service_life.hpp"

#include <cmath>
#include <limits>

#include "ageing/column_checks.hpp"
#include "libseal/core/require.hpp"

namespace libseal {

double life_by_factors(double reference_life, ConstColumn factors, double added_years) {
    require_positive(reference_life, "reference_life");
    require_not_negative(added_years, "added_years");
    double life = reference_life;
    for (Eigen::Index i = 0; i < factors.size(); ++i)
        life *= require_positive(factors[i], "factors[" + std::to_string(i) + "]");
    return life + added_years;
}

double life_by_adjustments(double reference_life, ConstColumn adjustments) {
    require_positive(reference_life, "reference_life");
    double sum = 0;
    for (Eigen::Index i = 0; i < adjustments.size(); ++i)
        sum += require_finite(adjustments[i], "adjustments[" + std::to_string(i) + "]");
    if (sum <= -100) throw_value_error("adjustments", "a sum above -100 percent", number_text(sum));
    return reference_life * (1 + sum / 100);
}

double chamber_hours_per_year(double acceleration) {
    constexpr double hours_of_year = 8760;
    return hours_of_year / require_positive(acceleration, "acceleration");
}

double defect_spacing(double length, double defects) {
    require_positive(length, "length");
    return require_not_negative(defects, "defects") == 0 ? std::numeric_limits<double>::infinity() : length / defects;
}

double early_defect_share(double defects_per_m, double length) {
    return -std::expm1(-require_not_negative(defects_per_m, "defects_per_m") * require_not_negative(length, "length"));
}

double failure_probability(const FailureLaw& law, double time, double age, double factor) {
    const double q = require_between(law.early_share, 0, 1, "early_share");
    require_positive(law.early_time, "early_time");
    require_positive(law.scale, "scale");
    require_positive(law.shape, "shape");
    require_not_negative(time, "time");
    require_not_negative(age, "age");
    require_positive(factor, "factor");
    const double early = -std::expm1(-time / law.early_time);
    const double worn = -std::expm1(-std::pow(age * factor / law.scale, law.shape));
    return q * early + (1 - q) * worn;
}

double scale_of_median(double median, double shape) {
    return require_positive(median, "median") / std::pow(std::log(2.0), 1 / require_positive(shape, "shape"));
}

}  // namespace libseal
