#include "forecast/layers.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/distance.hpp"
#include "forecast/looks.hpp"
#include "libseal/ageing/laws.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/track.hpp"
#include "libseal/survey/read.hpp"

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

/// Station that a stay names. @throws ValueError  with the coach.
Station named_station(const Stay& stay, const std::string& coach) {
    try {
        return find_station(stay.station);
    } catch (const ValueError& error) {
        Problem problem = error.problems().front();
        problem.field = coach + ".stays.station";
        throw ValueError(problem);
    }
}

/// Station whose typical year stands for the days that own weather does not know; none if it needs none.
std::optional<Station> station_of(const Stay& stay, const PlaceWeather* own, const std::string& coach, std::string& flag) {
    if (own && own->typical()) return std::nullopt;
    std::optional<Station> station;
    const bool has_point = std::isfinite(stay.latitude) && std::isfinite(stay.longitude);
    if (!stay.station.empty()) {
        station = named_station(stay, coach);
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

/// Was the bedding pumped out long after it was fitted? Then its moulding moves.
bool pumped_out_late(const Finding& finding, const Joint& joint, const Catalogue& catalogue) {
    const Layer* bedding = layer_of(joint, "bedding");
    return bedding && years_between(bedding->installed_to, finding.date) > catalogue.number("meaning/moulding_moves/after_years");
}

bool speaks_of_screws(const std::string& sign) {
    return sign == "fasteners_far_apart" || sign == "fastener_missing" || sign == "fastener_loose" || sign == "bedding_squeezed_out";
}

/// Span between screws that hold over the usual one, by what a finding says of the fixing; 0 if it says nothing.
double span_of(const Finding& finding, const Joint& joint, const Catalogue& catalogue) {
    if (finding.size == "none" || finding.value == 0) return 0;
    const std::string size = finding.size.empty() ? "clear" : finding.size;
    // Without a size in words, screws far apart are as the coach has them.
    if (finding.sign == "fasteners_far_apart") return finding.size.empty() ? 0 : catalogue.number("model/span_" + size);
    if (finding.sign == "fastener_missing") return catalogue.number("model/span_missing");
    if (finding.sign == "fastener_loose") return catalogue.number("meaning/screws_before_sealant/span_" + size);
    if (finding.sign == "bedding_squeezed_out" && pumped_out_late(finding, joint, catalogue))
        return catalogue.number("meaning/moulding_moves/span");
    return 0;
}

/// Days on which the screws of the joints of a coach were last seen to.
std::map<std::string, Date> days_of_fastening(const std::vector<const WorkDone*>& work, Date as_of) {
    std::map<std::string, Date> days;
    for (const WorkDone* record : work) {
        const bool fastens = record->action == "refasten_and_seal" || record->action == "rebed" || record->action == "replace_part";
        if (!fastens || record->declined || record->date > as_of) continue;
        Date& last = days.try_emplace(record->joint, record->date).first->second;
        last = std::max(last, record->date);
    }
    return days;
}

/// Distance between screws that hold, by joint: the worst that the last day of each sign since they were seen to says of them.
std::map<std::string, double> spacing_found(const Coach& coach, const std::vector<const Finding*>& findings,
                                            const std::vector<const WorkDone*>& work, Date as_of, const Catalogue& catalogue) {
    const auto fastened = days_of_fastening(work, as_of);
    std::map<std::pair<std::string, std::string>, std::pair<Date, double>> last;
    for (const Finding* finding : findings) {
        if (finding->joint.empty() || !speaks_of_screws(finding->sign)) continue;
        const auto since = fastened.find(finding->joint);
        if (since != fastened.end() && finding->date <= since->second) continue;
        const double span = span_of(*finding, joint_of(coach, finding->joint), catalogue);
        if (span == 0) continue;
        auto& seen = last.try_emplace({finding->joint, finding->sign}, finding->date, span).first->second;
        if (finding->date > seen.first) seen = {finding->date, span};
        else if (finding->date == seen.first) seen.second = std::max(seen.second, span);
    }
    std::map<std::string, double> spacing;
    for (const auto& [key, seen] : last) {
        double& widest = spacing[key.first];
        widest = std::max(widest, seen.second * joint_of(coach, key.first).screw_spacing);
    }
    return spacing;
}

/// Generations of a layer, from the records of its coach.
LayerHistory history_of(const Layer& first, const Coach& coach, const Joint& joint, const std::vector<const WorkDone*>& work, Date as_of) {
    std::vector<WorkDone> own;
    for (const WorkDone* record : work)
        if (record->joint == joint.id && record->layer == first.kind) own.push_back(*record);
    return layer_history(first, coach.id, joint.id, own, as_of);
}

std::vector<PastGeneration> past_of(const LayerHistory& history) {
    std::vector<PastGeneration> past;
    for (std::size_t g = 0; g + 1 < history.generations.size(); ++g) past.push_back({history.generations[g], history.ended[g], {}});
    return past;
}

/// Whether the age of a layer bears on a look: its own, or that of a bedding under its cap, whose age hangs on all of its joint.
bool is_asked_for(const Coach& coach, const Joint& joint, const std::string& kind, const FleetLooks& looks) {
    const auto own = looks.find({coach.id, joint.id});
    if (own == looks.end()) return false;
    const bool pair = layer_of(joint, "cap_bead") && own->second.layers.count("bedding") > 0;
    return pair || own->second.layers.count(kind) > 0;
}

}  // namespace

FleetClocks::FleetClocks(const Fleet& standing, const Fleet& as_fitted, Date as_of, const ForecastOptions& options, const WantedClocks& wanted)
    : fleet(standing), store(options.catalogue, options.session) {
    coach_flag.resize(fleet.coaches.size());
    const auto findings = by_coach(fleet, options.findings);
    const auto work = by_coach(fleet, options.work_done);
    for (std::size_t c = 0; c < fleet.coaches.size(); ++c) {
        const Coach& coach = fleet.coaches[c];
        first_layer.push_back(layers.size());
        if (coach.stays.empty())
            throw_value_error(coach.id + ".stays", "at least one stay", "none",
                              "say where the coach stands: a station, or latitude and longitude");
        std::vector<int> sites;
        for (const auto& stay : coach.stays) sites.push_back(site_of(stay, coach.id, options, coach_flag[c]));
        stay_now.push_back(static_cast<std::size_t>(months_of_itinerary(coach.stays, as_of, as_of + 1).front().stay));
        spacing_ = spacing_found(coach, findings[c], work[c], as_of, options.catalogue);
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            for (std::size_t l = 0; l < coach.joints[j].layers.size(); ++l) {
                LayerRow& row = layers.emplace_back();
                row.coach = c;
                row.joint = j;
                row.layer = l;
                if (coach.joints[j].layers[l].generation > 1)
                    row.past = past_of(history_of(as_fitted.coaches[c].joints[j].layers[l], coach, coach.joints[j], work[c], as_of));
                if (is_marked(wanted.joints, c, j) && (!wanted.looks || is_asked_for(coach, coach.joints[j], coach.joints[j].layers[l].kind, *wanted.looks))) add_clocks(row, sites, options);
            }
    }
    first_layer.push_back(layers.size());
}

const FamilyFacts& FleetClocks::facts_of(const std::string& name, bool bead, const Catalogue& catalogue) {
    const auto [place, fresh] = families_.try_emplace({name, bead});
    FamilyFacts& facts = place->second;
    if (!fresh) return facts;
    facts.itself = sealant(catalogue, name);
    if (bead) facts.movement = movement_law(catalogue, name);
    facts.capability_decay = capability_decay_time(catalogue, facts.itself.median_life);
    return facts;
}

const Finish& FleetClocks::finish_named(const std::string& name, const Catalogue& catalogue) {
    const auto [place, fresh] = finishes_.try_emplace(name);
    if (fresh) place->second = finish(catalogue, name);
    return place->second;
}

const JointMovement& FleetClocks::usual_movement_of(const std::string& type, const std::string& layer, const Catalogue& catalogue) {
    const auto [place, fresh] = usual_movements_.try_emplace({type, layer});
    if (fresh) place->second = usual_movement(type, catalogue, layer);
    return place->second;
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

std::vector<int> FleetClocks::keys_of(const LayerRow& row, const std::vector<int>& sites, const Finish& coat,
                                      const std::string& family, Law law, Depth depth) {
    const Coach& coach = fleet.coaches[row.coach];
    std::vector<int> keys;
    for (std::size_t s = 0; s < sites.size(); ++s) {
        const Plane plane = plane_of_joint(coach, coach.joints[row.joint], coach.stays[s].heading);
        ClockKey key;
        key.site = sites[s];
        key.tilt = plane.tilt;
        // A flat plane sees the same sky whichever way it is turned.
        key.azimuth = plane.tilt == 0 || plane.tilt == 180 ? 180 : std::isnan(plane.azimuth) ? -1 : plane.azimuth;
        key.absorptance = coat.absorptance;
        key.emittance = coat.emittance;
        key.cover = coach.stays[s].cover;
        key.family = family;
        key.law = law;
        key.depth = depth;
        keys.push_back(store.add_key(key));
    }
    return keys;
}

void FleetClocks::add_clocks(LayerRow& row, const std::vector<int>& sites, const ForecastOptions& options) {
    const Coach& coach = fleet.coaches[row.coach];
    const Joint& joint = coach.joints[row.joint];
    const Layer& layer = joint.layers[row.layer];
    const Finish& coat = finish_named(surface_of(coach, joint.surface, joint.slide).finish, options.catalogue);
    const bool bead = layer.kind == "cap_bead";
    const Law law = law_of_layer(layer.kind);
    row.family = &facts_of(layer.family, bead, options.catalogue);
    row.dark_and_hot = coat.absorptance >= dark_absorptance;
    row.keys = keys_of(row, sites, coat, layer.family, law, depth_of_layer(layer.kind));
    if (layer.kind == "bedding") row.exposed_keys = keys_of(row, sites, coat, layer.family, law, Depth::exposed);
    const bool bare = layer.kind == "bedding" && !layer_of(joint, "cap_bead");
    for (PastGeneration& past : row.past)
        past.keys = keys_of(row, sites, coat, past.layer.family, law, bare ? Depth::exposed : depth_of_layer(past.layer.kind));
    if (&layer == outermost_layer(joint) && std::isfinite(row.family->itself.appearance_life))
        row.appearance_keys = keys_of(row, sites, coat, layer.family, Law::appearance, Depth::exposed);
    if (bead) add_movement(row, sites, options);
}

/// A bead moves as its joint and its screws let it; the worst place along it is a corner, if there is one.
void FleetClocks::add_movement(LayerRow& row, const std::vector<int>& sites, const ForecastOptions& options) {
    const Coach& coach = fleet.coaches[row.coach];
    const Joint& joint = coach.joints[row.joint];
    const Layer& layer = joint.layers[row.layer];
    MovementOptions chosen;
    chosen.layer = layer.kind;
    const auto found = spacing_.find(joint.id);
    if (found != spacing_.end()) chosen.screw_spacing = found->second;
    const auto key_of_movement = [&](int site, const Plane& plane, const std::string& cover, const JointMovement& movement) {
        MovementKey key;
        key.site = site;
        key.tilt = plane.tilt;
        key.azimuth = plane.tilt == 0 || plane.tilt == 180 ? 180 : std::isnan(plane.azimuth) ? -1 : plane.azimuth;
        key.cover = cover;
        key.movement = movement;
        key.corner = movement.across > 0 ? Corner::corner : Corner::side;
        key.exponent = row.family->movement.d;
        return store.add_movement(key);
    };
    const JointMovement movement = movement_of_joint(coach, joint, options.catalogue, chosen);
    for (std::size_t s = 0; s < sites.size(); ++s)
        row.movement_keys.push_back(key_of_movement(sites[s], plane_of_joint(coach, joint, coach.stays[s].heading), coach.stays[s].cover, movement));
    if (row.family->movement.c == 0) return;
    if (reference_site_ < 0)
        reference_site_ = store.add_site(find_station(options.catalogue.word("model/reference_station")), options.seed);
    const Plane home = plane_of_joint(coach, joint, std::numeric_limits<double>::quiet_NaN());
    row.usual_movement = key_of_movement(reference_site_, home, "open", usual_movement_of(joint.type, layer.kind, options.catalogue));
}

std::vector<double> FleetClocks::movement_factors(const LayerRow& row, const MovementLaw& law) const {
    if (row.usual_movement < 0) return {};
    std::vector<double> factors;
    for (const int key : row.movement_keys)
        factors.push_back(movement_factor(law, store.movement(key).amplitude, store.movement(row.usual_movement).amplitude));
    const bool usual = std::all_of(factors.begin(), factors.end(), [](double f) { return f == 1; });
    return usual ? std::vector<double>() : factors;
}

double FleetClocks::largest_strain(const LayerRow& row, std::size_t stay) const {
    return row.movement_keys.empty() ? std::numeric_limits<double>::quiet_NaN() : store.movement(row.movement_keys[stay]).largest;
}

/// In logarithms: far from both means either chance alone is too small for a number, their ratio is not.
MoistureModel::Chances MoistureModel::chances(double difference) const {
    const auto log_normal = [&](double mean, double sd) { return -0.5 * std::pow((difference - mean) / sd, 2) - std::log(sd); };
    const double wet = log_normal(open_mean, open_sd), dry = log_normal(0, closed_sd), larger = std::max(wet, dry);
    const double open = std::exp(wet - larger), closed = (1 - elsewhere) * std::exp(dry - larger) + elsewhere * open;
    const double most = std::max(open, closed);
    return {open / most, closed / most};
}

LifeModel life_model(const Catalogue& catalogue) {
    LifeModel model;
    model.spread = life_spread(catalogue);
    model.prior = life_prior(model.spread);
    model.effects = effect_spread(catalogue);
    if (std::abs(model.effects.total() - model.spread.log_sd) > 1e-6)
        throw_value_error("model/log_sd", "the root of the sum of squares of model/sd_family, sd_model_line, sd_coach and sd_joint, " +
                          number_text(model.effects.total()), number_text(model.spread.log_sd), "change them in one overlay");
    model.scale = grade_scale(catalogue);
    model.look_tables = std::make_shared<LookTables>(model.scale);
    model.moisture = {catalogue.number("model/moisture_open_mean"), catalogue.number("model/moisture_open_sd"),
                      catalogue.number("model/moisture_closed_sd"), catalogue.number("model/moisture_elsewhere")};
    model.appearance.scale = model.scale;
    model.appearance.scale.cuts = {catalogue.number("model/appearance_cut_1"), 1.0};
    model.appearance.effect = catalogue.number("model/appearance_effect");
    model.appearance.log_sd = catalogue.number("model/appearance_log_sd");
    model.appearance.ready(model.prior);
    model.unseen = std::make_shared<UnseenBeliefs>(model.prior, model.appearance);
    model.cap_failed = model.scale.cuts[static_cast<std::size_t>(catalogue.number("model/cap_failed_grade")) - 1];
    model.target = catalogue.number("model/target_probability");
    model.inspection_days = static_cast<int>(catalogue.number("inspection/longest_days"));
    model.clean_look_detection = catalogue.number("model/clean_look_detection");
    model.warm_year = catalogue.number("model/warm_year");
    return model;
}

}  // namespace libseal::detail
