#include "libseal/exposure/plane.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr double any = std::numeric_limits<double>::quiet_NaN();

struct Facing {
    const char* surface;
    double tilt;   ///< [deg]
    double turn;   ///< azimuth of the normal minus heading [deg]; NaN: not said by the name
};
constexpr Facing facings[] = {
    {"roof", 0, 0},        {"front_cap", 90, 0},          {"rear_cap", 90, 180},        {"street_wall", 90, -90},
    {"curb_wall", 90, 90}, {"underside", 180, 0},         {"slide_roof", 0, 0},         {"slide_face", 90, any},
    {"slide_floor", 180, 0}, {"slide_front_side", 90, 0}, {"slide_rear_side", 90, 180},
};

double full_circle(double azimuth) {
    const double rest = std::fmod(azimuth, 360);
    return rest < 0 ? rest + 360 : rest;
}

}  // namespace

Plane plane_of(const std::string& surface, double heading) {
    if (std::isinf(heading)) require_finite(heading, "heading");
    for (const Facing& facing : facings) {
        if (surface != facing.surface) continue;
        const bool upright = facing.tilt == 90;
        return {facing.tilt, upright ? full_circle(heading + facing.turn) : 0.0};
    }
    std::vector<std::string> names;
    for (const Facing& facing : facings) names.push_back(facing.surface);
    const std::string near = nearest_name(surface, names);
    throw_value_error("surface", "the name of a surface", "\"" + surface + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace libseal
