#include "libseal/ageing/profile_laws.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

void check_law(const SetLaw& law) {
    require_positive(law.rate, "rate");
    require_positive(law.exponent, "exponent");
}

void check_law(const ShrinkLaw& law) {
    require_inside(law.final_share, 0, 1, "final_share");
    require_positive(law.rate, "rate");
}

/// 0 <= share < 1.
double require_share(double share, const char* name) {
    require_not_negative(share, name);
    if (share >= 1) throw_value_error(name, "a number from 0 to below 1", number_text(share));
    return share;
}

void require_law(const Catalogue& catalogue, const std::string& family, const std::string& id, const char* what) {
    if (!catalogue.has(id)) throw_value_error("family", std::string("a family with ") + what, "\"" + family + "\"");
}

}  // namespace

SetLaw set_law(const Catalogue& catalogue, const std::string& family) {
    const std::string base = "sealant/" + family + "/set_";
    require_law(catalogue, family, base + "rate", "a compression set");
    return {catalogue.number(base + "rate"), catalogue.number(base + "exponent"), catalogue.number(base + "energy")};
}

double compression_set(const SetLaw& law, double time) {
    check_law(law);
    return -std::expm1(-law.rate * std::pow(require_not_negative(time, "time"), law.exponent));
}

double set_time(const SetLaw& law, double set) {
    check_law(law);
    return std::pow(-std::log1p(-require_share(set, "set")) / law.rate, 1 / law.exponent);
}

ShrinkLaw shrink_law(const Catalogue& catalogue, const std::string& family) {
    const std::string base = "sealant/" + family + "/shrink_";
    require_law(catalogue, family, base + "final", "a loss of plasticiser");
    return {catalogue.number(base + "final"), catalogue.number(base + "rate"), catalogue.number(base + "energy")};
}

double shrinkage(const ShrinkLaw& law, double time) {
    check_law(law);
    return -law.final_share * std::expm1(-law.rate * require_not_negative(time, "time"));
}

double shrinkage_gap(const ShrinkLaw& law, double length, double time) {
    return require_positive(length, "length") * shrinkage(law, time);
}

double shrink_time(const ShrinkLaw& law, double share) {
    check_law(law);
    require_between(share, 0, 1, "share");
    return share >= law.final_share ? never : -std::log1p(-share / law.final_share) / law.rate;
}

double shrink_gap_time(const ShrinkLaw& law, double length, double gap) {
    require_positive(length, "length");
    return shrink_time(law, require_between(gap, 0, length, "gap") / length);
}

SqueezeLaw squeeze_law(const Catalogue& catalogue) { return {catalogue.number("law/squeeze_rate")}; }

double squeeze_out(const SqueezeLaw& law, double stress, double time) {
    const double flow = 2 * require_positive(law.rate, "rate") * require_not_negative(stress, "stress") *
                        require_not_negative(time, "time");
    // 1 - (1 + x)^(-1/2) by expm1, so that the first thousandths are exact.
    return -std::expm1(-0.5 * std::log1p(flow));
}

double squeeze_time(const SqueezeLaw& law, double stress, double share) {
    require_positive(law.rate, "rate");
    require_not_negative(stress, "stress");
    require_share(share, "share");
    if (share == 0) return 0;
    return stress == 0 ? never : std::expm1(-2 * std::log1p(-share)) / (2 * law.rate * stress);
}

}  // namespace libseal
