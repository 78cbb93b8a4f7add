#include "forecast/layers.hpp"

#include <cmath>
#include <set>

#include "climate/distance.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/grade.hpp"

namespace libseal::detail {
namespace {

constexpr double dark_absorptance = 0.7;  // [-], with a warm year outside what lives were set on (docs/ageing.md)

/// Orientation of a surface, also of slide-outs, whose faces follow the wall that they stand in.
Plane plane_of_joint(const Coach& coach, const Joint& joint, double heading) {
    if (joint.slide.empty()) return plane_of(joint.surface, heading);
    if (joint.surface == "slide_roof") return plane_of("roof", heading);
    if (joint.surface == "slide_floor") return plane_of("underside", heading);
    if (joint.surface == "slide_front_side") return plane_of("front_cap", heading);
    if (joint.surface == "slide_rear_side") return plane_of("rear_cap", heading);
    for (const auto& part : coach.parts)
        if (part.id == joint.slide && !part.surface.empty()) return plane_of(part.surface, heading);
    return plane_of("street_wall", heading);
}

/// Station whose typical year stands for the days that own weather does not know; none if it needs none.
std::optional<Station> station_of(const Stay& stay, const PlaceWeather* own, const std::string& coach, std::string& flag) {
    if (own && own->typical()) return std::nullopt;
    std::optional<Station> station;
    const bool has_point = std::isfinite(stay.latitude) && std::isfinite(stay.longitude);
    if (!stay.station.empty()) {
        station = find_station(stay.station);
        const double apart = has_point ? distance_km(stay.latitude, stay.longitude, station->site.latitude, station->site.longitude) : 0;
        if (apart > far_km)
            throw_value_error(coach + ".stays", "a point at most 200 km from the station \"" + stay.station + "\"",
                              number_text(apart, 0) + " km away", "leave out one of the two");
    } else if (has_point)
        station = find_station(stay.latitude, stay.longitude);
    else if (own && !own->parts.empty())
        station = find_station(own->parts.front().site.latitude, own->parts.front().site.longitude);
    else
        throw_value_error(coach + ".stays", "a station, a latitude and longitude, or own weather for the place",
                          "\"" + stay.place + "\"");
    if (!station->far) return station;
    const bool own_months = own && own->knows_every_month();
    if (flag.empty())
        flag = "nearest station is " + number_text(station->distance_km, 0) + " km away: " +
               (own_months ? "days beyond the own weather are its monthly means" : own ? "give a typical year too" : "give own weather");
    return own_months ? std::nullopt : station;
}

}  // namespace

FleetClocks::FleetClocks(const Fleet& standing, Date as_of, const ForecastOptions& options)
    : fleet(standing), store(options.catalogue, options.session) {
    (void)as_of;
    coach_flag.resize(fleet.coaches.size());
    for (std::size_t c = 0; c < fleet.coaches.size(); ++c) {
        const Coach& coach = fleet.coaches[c];
        first_layer.push_back(layers.size());
        if (coach.stays.empty())
            throw_value_error(coach.id + ".stays", "at least one stay", "none",
                              "say where the coach stands: a station, or latitude and longitude");
        std::vector<int> sites;
        for (const auto& stay : coach.stays) sites.push_back(site_of(stay, coach.id, options, coach_flag[c]));
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            for (std::size_t l = 0; l < coach.joints[j].layers.size(); ++l)
                add_layer(c, j, l, sites, options.catalogue);
    }
    first_layer.push_back(layers.size());
}

int FleetClocks::site_of(const Stay& stay, const std::string& coach, const ForecastOptions& options, std::string& flag) {
    auto found = options.weather.find(stay.place);
    if (found == options.weather.end()) found = options.weather.find("");
    const PlaceWeather* own = found == options.weather.end() ? nullptr : &found->second;
    std::shared_ptr<const PlaceWeather> kept;
    if (own) {
        std::shared_ptr<const PlaceWeather>& checked = own_[found->first];
        if (!checked) {
            check_place_weather(*own, "weather[\"" + found->first + "\"]");
            checked = std::make_shared<const PlaceWeather>(*own);
        }
        kept = checked;
        const Site& where = kept->parts.front().site;
        const bool has_point = std::isfinite(stay.latitude) && std::isfinite(stay.longitude);
        const double apart = has_point ? distance_km(stay.latitude, stay.longitude, where.latitude, where.longitude) : 0;
        if (const std::string missing = kept->missing_columns(); !missing.empty() && flag.empty())
            flag = "own weather without " + missing + ": what stands in the open ages by typical days";
        if (apart > far_km && flag.empty()) flag = "own weather is from a place " + number_text(apart, 0) + " km away";
    }
    const std::optional<Station> station = station_of(stay, own, coach, flag);
    const std::string name = (own ? "own " + found->first : "") + (station ? " station " + station->id : "");
    const auto [place, fresh] = sites_.try_emplace(name, 0);
    if (fresh) place->second = store.add_site(kept, station, options.seed);
    return place->second;
}

void FleetClocks::add_layer(std::size_t c, std::size_t j, std::size_t l, const std::vector<int>& sites,
                            const Catalogue& catalogue) {
    const Coach& coach = fleet.coaches[c];
    const Joint& joint = coach.joints[j];
    const Layer& layer = joint.layers[l];
    const Finish coat = finish(catalogue, surface_of(coach, joint.surface, joint.slide).finish);
    LayerRow row{c, j, l, {}, coat.absorptance >= dark_absorptance};
    for (std::size_t s = 0; s < sites.size(); ++s) {
        const Plane plane = plane_of_joint(coach, joint, coach.stays[s].heading);
        ClockKey key;
        key.site = sites[s];
        key.tilt = plane.tilt;
        // A flat plane sees the same sky whichever way it is turned.
        key.azimuth = plane.tilt == 0 || plane.tilt == 180 ? 180 : std::isnan(plane.azimuth) ? -1 : plane.azimuth;
        key.absorptance = coat.absorptance;
        key.emittance = coat.emittance;
        key.cover = coach.stays[s].cover;
        key.family = layer.family;
        key.law = law_of_layer(layer.kind);
        key.depth = depth_of_layer(layer.kind);
        row.keys.push_back(store.add_key(key));
    }
    layers.push_back(std::move(row));
}

LifeModel life_model(const Catalogue& catalogue) {
    LifeModel model;
    model.spread = life_spread(catalogue);
    model.prior = life_prior(model.spread);
    model.scale = grade_scale(catalogue);
    model.target = catalogue.number("model/target_probability");
    model.inspection_days = static_cast<int>(catalogue.number("inspection/longest_days"));
    model.clean_look_detection = catalogue.number("model/clean_look_detection");
    model.warm_year = catalogue.number("model/warm_year");
    return model;
}

namespace {

bool is_appearance(const std::string& sign) {
    return sign == "yellowing" || sign == "chalking" || sign == "dirt_pick_up" || sign == "skin_cracks";
}

/// What the findings of one joint on one day say of one layer; false if nothing.
bool look_at_layer(const std::vector<Finding>& all, const std::string& layer, const JointType& type,
                   const Catalogue& catalogue, Look& look) {
    const bool graded_together = layer == "cap_bead" || layer == "bedding";
    std::vector<Finding> used;
    bool only_appearance = true, any = false;
    for (const auto& finding : all) {
        if (finding.sign == "not_inspected") continue;
        const bool concerns = finding.layer == layer || (finding.layer.empty() && graded_together);
        if (!graded_together && !concerns) continue;
        used.push_back(finding);
        if (concerns) any = true;
        if (concerns && !is_appearance(finding.sign) && finding.sign != "clean_look") only_appearance = false;
    }
    if (used.empty()) return false;
    const Grade seen = grade(used, type, catalogue);
    const int value = layer == "bedding" ? seen.bedding : seen.cap;
    if (!seen.inspected || value < 0 || (!any && layer != "bedding")) return false;
    look.date = all.front().date;
    look.lowest = only_appearance && any ? 0 : value;
    look.highest = only_appearance && any ? std::max(value, 2) : value;
    if (value == 0) look.highest = 1;  // a clean look: nothing found, at most first ageing
    return true;
}

}  // namespace

LooksByJoint looks_by_joint(const std::vector<Finding>& findings, const Fleet& fleet, const Catalogue& catalogue) {
    std::map<std::tuple<std::string, std::string, Date>, std::vector<Finding>> days;
    for (const auto& finding : findings) days[{finding.coach, finding.joint, finding.date}].push_back(finding);
    LooksByJoint looks;
    for (const auto& [day, seen] : days) {
        const auto& [coach, joint_id, date] = day;
        const Joint& joint = joint_of(coach_of(fleet, coach), joint_id);
        const JointType type = joint_type(catalogue, joint.type);
        for (const auto& layer : joint.layers) {
            Look look;
            if (look_at_layer(seen, layer.kind, type, catalogue, look)) looks[{coach, joint_id, layer.kind}].push_back(look);
        }
    }
    return looks;
}

}  // namespace libseal::detail
