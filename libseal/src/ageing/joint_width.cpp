#include "libseal/ageing/joint_width.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {

double free_movement(double expansion, double length, double temperature_change) {
    return require_finite(expansion, "expansion") * require_not_negative(length, "length") *
           require_finite(temperature_change, "temperature_change");
}

double differential_movement(double expansion_a, double expansion_b, double length, double temperature_change) {
    require_finite(expansion_a, "expansion_a");
    require_finite(expansion_b, "expansion_b");
    return std::abs(free_movement(expansion_a - expansion_b, length, temperature_change));
}

double differential_movement(double expansion_a, double length_a, double change_a, double expansion_b, double length_b,
                             double change_b) {
    require_finite(expansion_a, "expansion_a");
    require_not_negative(length_a, "length_a");
    require_finite(change_a, "change_a");
    require_finite(expansion_b, "expansion_b");
    require_not_negative(length_b, "length_b");
    require_finite(change_b, "change_b");
    return std::abs(expansion_a * length_a * change_a - expansion_b * length_b * change_b);
}

double joint_width(double movement, double capability, double other, double tolerance) {
    require_not_negative(movement, "movement");
    require_not_negative(other, "other");
    require_not_negative(tolerance, "tolerance");
    if (!(capability > 0 && capability <= 2))
        throw_value_error("capability", "a share of the width above 0 and up to 2", number_text(capability),
                          capability > 2 ? "write 0.25 for +-25 %" : "a material that bears no movement seals no joint");
    return (movement + other) / capability + tolerance;
}

double butt_strain(double width, double opening) {
    return require_finite(opening, "opening") / require_positive(width, "width");
}

double shear_strain(double width, double movement) {
    // sqrt(1 + x^2) - 1 without loss for small x
    const double x = require_finite(movement, "movement") / require_positive(width, "width");
    return x * x / (std::hypot(1.0, x) + 1);
}

double combined_strain(double width, double opening, double shear) {
    require_positive(width, "width");
    require_finite(opening, "opening");
    require_finite(shear, "shear");
    if (!(opening > -width))
        throw_value_error("opening", "more than -" + number_text(width) + ", at which the joint is shut", number_text(opening));
    const double x = opening / width, y = shear / width;
    return (x * (2 + x) + y * y) / (std::hypot(1 + x, y) + 1);
}

double shear_allowance(double strain) {
    require_not_negative(strain, "strain");
    return std::sqrt(strain * (2 + strain));
}

double fillet_strain(double leg, double opening, double shear) {
    require_positive(leg, "leg");
    return combined_strain(leg, opening, shear);
}

double bead_surface_strain(double depth_ratio, double extension) {
    require_positive(depth_ratio, "depth_ratio");
    require_finite(extension, "extension");
    if (!(extension > -1)) throw_value_error("extension", "more than -1", number_text(extension));
    const double width = 1 + extension;
    // Four times the sag over the stretched width; the sag takes up what the section has lost in depth.
    const double k = 3 * depth_ratio * extension / (width * width);
    const double curve = std::abs(k) < 1e-8 ? 1.0 : std::asinh(k) / k;
    return width / 2 * (std::hypot(1.0, k) + curve) - 1;
}

double minimum_width(double total_movement, double total_factor) {
    return require_not_negative(total_movement, "total_movement") / require_positive(total_factor, "total_factor");
}

double capability_of_total_factor(double total_factor) {
    return require_positive(total_factor, "total_factor") / (2 + total_factor);
}

double total_factor_of_capability(double capability) {
    require_inside(capability, 0, 1, "capability");
    return 2 * capability / (1 - capability);
}

}  // namespace libseal
