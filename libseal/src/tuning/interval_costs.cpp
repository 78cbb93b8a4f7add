#include "tuning/interval_costs.hpp"

#include <cmath>

#include "libseal/catalogue/joint_type.hpp"

namespace libseal::detail {
namespace {

constexpr double metres_per_mm = 1e-3, minutes_per_hour = 60;

/// Length of the bead of the usual joint: round a part, or along a rail or seam. [m]
double usual_bead(const Catalogue& catalogue, const std::string& type) {
    const std::string base = "joint_type/" + type + "/usual_";
    const double length = catalogue.number(base + "length"), width = catalogue.number(base + "width");
    return metres_per_mm * (width > 0 ? 2 * (length + width) : length);
}

double minutes(const Catalogue& catalogue, const char* item) { return catalogue.number(std::string("labour/") + item); }

/// Work of cutting out and resealing a metre. [min/m]
double minutes_a_metre(const Catalogue& catalogue, const JointType& type) {
    double sum = 0;
    for (const char* item : {"wash", "mask", "remove_residue", "inspect_substrate", "wipe", "prime"}) sum += minutes(catalogue, item);
    const bool strip = type.profile == "strip";
    return sum + minutes(catalogue, strip ? "strip_roof_lap" : "cut_out_wall_bead") + minutes(catalogue, strip ? "gun_strip" : "gun_and_tool");
}

}  // namespace

JointCosts joint_costs(const IntervalTableOptions& options, const std::string& name) {
    const Catalogue& c = options.catalogue;
    const JointType& type = joint_type(c, name);
    const auto of_class = static_cast<std::size_t>(type.consequence);
    if (!options.failure_cost.empty()) return {options.reseal_cost, options.look_cost, options.failure_cost[of_class - 1]};
    const double bead = usual_bead(c, name), coming = minutes(c, "job_set_up") + minutes(c, "job_tear_down");
    const double work = (1 + c.number("interval/material_share")) * bead * minutes_a_metre(c, type);
    const double looking = minutes(c, "survey_item") + bead * minutes(c, "survey_walk") +
                           (coming + minutes(c, "survey_fixed")) / c.number("interval/joints_a_look");
    const double damage = c.number("interval/water_at_open") * c.number("visit/damage_hours_" + std::to_string(of_class));
    return {(work + coming / c.number("interval/joints_a_job")) / minutes_per_hour, looking / minutes_per_hour,
            (work + coming) / minutes_per_hour + damage};
}

Plane plane_of_usual(const std::string& surface, double heading) {
    return plane_of(surface == "wall" ? "curb_wall" : surface, heading);
}

std::string climate_words(const Station& station, const Catalogue& c) {
    double temperature = 0, radiation = 0, humidity = 0;
    for (const MonthNormals& month : station.months) {
        temperature += month.air_temperature / 12;
        radiation += month.ghi / 12;
        humidity += month.relative_humidity / 12;
    }
    std::string words = temperature >= c.number("model/warm_year") ? "hot" : temperature < c.number("interval/climate_cold") ? "cold" : "mild";
    if (radiation >= c.number("interval/climate_sunny")) words += ", sunny";
    if (humidity < c.number("interval/climate_dry")) words += ", dry";
    if (humidity >= c.number("interval/climate_humid")) words += ", humid";
    return words;
}

}  // namespace libseal::detail
