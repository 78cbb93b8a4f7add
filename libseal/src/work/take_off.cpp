#include "libseal/work/take_off.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {

double bead_volume_ml(const Bead& bead, double length) {
    return bead_section_mm2(bead) * require_not_negative(length, "length");
}

double profile_section_mm2(const std::string& profile, double a, double b, const Catalogue& catalogue) {
    require_not_negative(a, "a");
    require_not_negative(b, "b");
    if (profile == "rectangle" || profile == "strip") return a * b;
    if (profile == "fillet") return a * b / 2;
    if (profile == "half_round") return std::numbers::pi * a * a / 8;
    if (profile == "full_round") return std::numbers::pi * a * a / 4;
    if (profile == "hour_glass") return a * b * catalogue.number("take_off/hour_glass_share");
    const std::vector<std::string> names{"rectangle", "fillet", "strip", "half_round", "full_round", "hour_glass"};
    const std::string near = nearest_name(profile, names);
    throw_value_error("profile", "one of rectangle, fillet, strip, half_round, full_round, hour_glass", "\"" + profile + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

double yield_m(double package_ml, double section_mm2, double waste_percent) {
    return require_positive(package_ml, "package_ml") / require_positive(section_mm2, "section_mm2") /
           (1 + require_not_negative(waste_percent, "waste_percent") / 100);
}

void check_yield(double stated_m, double package_ml, double section_mm2, const Catalogue& catalogue) {
    const double computed = yield_m(package_ml, section_mm2);
    const double ratio = require_positive(stated_m, "stated_m") / computed, slack = 1 + catalogue.number("take_off/yield_tolerance");
    if (ratio > slack || ratio < 1 / slack)
        throw_value_error("stated_m", "about " + number_text(computed, 2) + " m, which " + number_text(package_ml, 1) +
                              " mL give at " + number_text(section_mm2, 1) + " mm2",
                          number_text(stated_m, 2) + " m, " + number_text(ratio, 2) + " times as much");
}

double cured_amount(double wet, const Sealant& family) { return require_not_negative(wet, "wet") * family.cured_share; }
double wet_amount(double cured, const Sealant& family) {
    return require_not_negative(cured, "cured") / require_positive(family.cured_share, "cured_share");
}

double tape_length(double length, const Catalogue& catalogue) {
    if (require_not_negative(length, "length") == 0) return 0;
    return (length + catalogue.number("take_off/tape_overlap_mm") / 1000) * (1 + catalogue.number("take_off/tape_waste"));
}

double insert_length(double length, const Catalogue& catalogue) {
    if (require_not_negative(length, "length") == 0) return 0;
    return length * (1 + catalogue.number("take_off/insert_extra")) + 2 * catalogue.number("take_off/insert_end_mm") / 1000;
}

double cover_tape_length(double length, double roll, const Catalogue& catalogue) {
    require_positive(roll, "roll");
    if (require_not_negative(length, "length") == 0) return 0;
    const double laid = length + catalogue.number("take_off/cover_tape_extra_mm") / 1000;
    const double overlap = catalogue.number("take_off/cover_tape_overlap_mm") / 1000;
    require_positive(roll - overlap, "roll less its overlap");
    // n rolls reach n * roll - (n - 1) * overlap.
    const double joins = std::max(0.0, std::ceil((laid - overlap) / (roll - overlap) - 1e-9) - 1);
    return laid + joins * overlap;
}

int screws_to_order(double length, double spacing, const Catalogue& catalogue) {
    if (require_not_negative(length, "length") == 0) return 0;
    const double count = std::floor(length / require_positive(spacing, "spacing") + 1e-9) + 1;
    return static_cast<int>(std::ceil(count * (1 + catalogue.number("take_off/screw_spares")) - 1e-9));
}

int packages_for(double amount, double package, double waste_percent) {
    require_not_negative(amount, "amount");
    require_positive(package, "package");
    require_not_negative(waste_percent, "waste_percent");
    // A hair below, so that 10 packages worth of material is not counted as 11 for a rounding error.
    return static_cast<int>(std::ceil(amount * (1 + waste_percent / 100) / package - 1e-9));
}

Bead bead_of(const Joint& joint, const JointType& type) {
    if (!joint.bead.profile.empty()) return joint.bead;
    return {type.profile, type.bead_width, type.bead_thickness};
}

double cure_depth_mm(const Bead& bead) {
    if (bead.profile.empty()) return 0;
    return bead.thickness * 1000 / (bead.profile == "fillet" ? std::numbers::sqrt2 : 1.0);
}

double cure_minutes(double rate, double depth_mm, double temperature) {
    require_positive(rate, "rate");
    require_not_negative(depth_mm, "depth_mm");
    require_between(temperature, -12, 60, "temperature");  // below, cure all but stops
    const double at_23 = depth_mm / rate;
    return at_23 * at_23 * std::pow(1.75, (23 - temperature) / 10) * 1440;
}

}  // namespace libseal
