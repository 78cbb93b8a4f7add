#include "libseal/forecast/calibration.hpp"

#include <algorithm>
#include <cmath>

#include "forecast/calibration_parts.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/belief.hpp"

namespace libseal {
namespace detail {
namespace {

/// The finish of a dark roof.
constexpr const char* dark_finish = "black_membrane";

struct Outlook {
    std::vector<Plane> planes;  ///< their mean counts
    bool dark = false;
    const char* cover = "open";
};

Outlook outlook(const std::string& surface) {
    if (surface == "roof_light") return {{{0, 180}}, false, "open"};
    if (surface == "roof_dark") return {{{0, 180}}, true, "open"};
    if (surface == "south_wall") return {{{90, 180}}, false, "open"};
    if (surface == "mean_of_walls") return {{{90, 0}, {90, 90}, {90, 180}, {90, 270}}, false, "open"};
    return {{{90, 180}}, false, "covered"};  // nothing shines on it: any plane will do
}

double quantile(const LifeBelief& belief, double p) {
    double low = 0, high = 64;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        (belief.due({middle}) >= p ? high : low) = middle;
    }
    return high;
}

/// Why a median lies outside the range of the trade, which is meant for coaches that stand in the open everywhere.
std::string why_outside(const CalibrationClocks& clocks, const CalibrationLives& lives, Eigen::Index i, int place) {
    const auto r = static_cast<std::size_t>(i);
    const std::string& surface = lives.surface[r];
    const bool early = lives.median[i] < lives.trade_low[i];
    if (!early && surface == "covered") return "kept from sun and its heat; the range is for coaches in the open";
    if (early && surface == "roof_dark" && clocks.warm(place)) return dark_and_hot;
    std::string why;
    const auto also = [&](const std::string& reason) { why += (why.empty() ? "" : "; ") + reason; };
    const bool roof_home = clocks.home(lives.family[r]) == "roof_light";
    const bool lit = depth_of_layer(lives.layer[r]) == Depth::exposed && law_of_layer(lives.layer[r]) == Law::surface;
    if (early && surface.starts_with("roof") && !roof_home && lit) also("its life is stated on walls; the roof has more light");
    if (early && surface == "roof_dark") also("a dark roof is hotter than the finish the life is stated on");
    if (!early && lit && roof_home && !surface.starts_with("roof")) also("its life is stated on the roof; walls have less light");
    if (early == (lives.ratio[i] > 1) && std::abs(lives.ratio[i] - 1) > 0.05)
        also(early ? "the place ages it faster than the reference" : "the place ages it more slowly than the reference");
    return why.empty() ? std::string(not_explained) + "outside the range of the trade" : why;
}

}  // namespace

const std::vector<CalibrationLayer>& calibration_layers() {
    static const std::vector<CalibrationLayer> layers = {
        {"self_levelling_lap", "cap_bead"},    {"non_sag_lap", "cap_bead"}, {"polyurethane", "cap_bead"},
        {"silyl_modified", "cap_bead"},        {"polysulfide", "cap_bead"}, {"neutral_cure_silicone", "cap_bead"},
        {"acetoxy_cure_silicone", "cap_bead"}, {"butyl_tape", "bedding"},   {"putty_tape", "bedding"},
        {"seam_tape", "cover_tape"},           {"foam_tape", "gasket"},     {"epdm_gasket", "gasket"},
        {"epdm_gasket", "bulb_seal"},          {"pvc_insert", "insert"}};
    return layers;
}

const std::vector<std::string>& calibration_places() {
    static const std::vector<std::string> places = {"South Bend",     "Phoenix, AZ",         "Miami Intl",    "Golden - NREL",
                                                    "Seattle-Tacoma", "Minneapolis-St Paul", "Fairbanks Intl"};
    return places;
}

CalibrationClocks::CalibrationClocks(const CalibrationOptions& options)
    : catalogue_(options.catalogue),
      places_(options.places.empty() ? calibration_places() : options.places),
      store_(options.catalogue) {
    const Station reference = find_station(catalogue_.word("model/reference_station"));
    reference_name_ = reference.site.name;
    add_place(reference);
    for (const auto& name : places_) {
        const Station station = find_station(name);
        if (station.id != reference.id) {
            add_place(station);
            continue;
        }
        // The reference is one of the usual places: one site for both.
        weather_.push_back(weather_[0]);
        sites_.push_back(sites_[0]);
    }
    for (const auto& layer : calibration_layers()) {
        layers_.emplace_back();
        for (const int site : sites_)
            for (const char* surface : calibration_surfaces)
                layers_.back().push_back(
                    add(site, surface, layer.family, law_of_layer(layer.layer), depth_of_layer(layer.layer)));
        if (!layer.bead() || std::isnan(sealant(catalogue_, layer.family).appearance_life)) continue;
        for (const int site : sites_)
            for (const char* surface : calibration_surfaces)
                looks_[layer.family].push_back(add(site, surface, layer.family, Law::appearance, Depth::exposed));
    }
    for (const char* type : calibration_corners) {
        const JointMovement movement = usual_movement(type, catalogue_, "cap_bead");
        const double exponent = movement_law(catalogue_, joint_type(catalogue_, type).cap).d;
        for (const Corner corner : {Corner::side, Corner::corner})
            for (const int site : sites_)
                movements_[{type, corner}].push_back(store_.add_movement({site, 0, 180, "open", movement, corner, exponent}));
    }
    store_.evaluate(options.threads, options.watch);
}

void CalibrationClocks::add_place(const Station& station) {
    weather_.push_back(std::make_shared<const Weather>(typical_year(station, 0)));
    sites_.push_back(store_.add_site(std::make_shared<const PlaceWeather>(*weather_.back()), std::nullopt, 0));
}

CalibrationClocks::Sky CalibrationClocks::add(int site, const std::string& surface, const std::string& family, Law law,
                                              Depth depth) {
    const Outlook out = outlook(surface);
    const Finish dark = finish(catalogue_, dark_finish);
    Sky sky;
    for (const Plane& plane : out.planes) {
        ClockKey key;
        key.site = site;
        key.tilt = plane.tilt;
        key.azimuth = plane.azimuth;
        key.absorptance = out.dark ? dark.absorptance : catalogue_.number("model/reference_absorptance");
        key.emittance = out.dark ? dark.emittance : ClockReference{}.emittance;
        key.cover = out.cover;
        key.family = family;
        key.law = law;
        key.depth = depth;
        sky.keys.push_back(store_.add_key(key));
    }
    return sky;
}

double CalibrationClocks::mean_rate(const Sky& sky) const {
    double sum = 0;
    for (const int key : sky.keys) sum += year_mean(store_.clock(key)).total();
    return sum / static_cast<double>(sky.keys.size());
}

std::size_t CalibrationClocks::index(int place, std::size_t surface) const {
    return static_cast<std::size_t>(place + 1) * calibration_surfaces.size() + surface;
}

double CalibrationClocks::rate(int place, const std::string& surface, const CalibrationLayer& layer) const {
    const auto at = std::find(calibration_surfaces.begin(), calibration_surfaces.end(), surface) - calibration_surfaces.begin();
    const auto& layers = calibration_layers();
    std::size_t l = 0;
    while (layers[l].family != layer.family || layers[l].layer != layer.layer) ++l;
    return mean_rate(layers_[l][index(place, static_cast<std::size_t>(at))]);
}

double CalibrationClocks::appearance_rate(int place, const std::string& surface, const std::string& family) const {
    const auto at = std::find(calibration_surfaces.begin(), calibration_surfaces.end(), surface) - calibration_surfaces.begin();
    return mean_rate(looks_.at(family)[index(place, static_cast<std::size_t>(at))]);
}

double CalibrationClocks::strain_amplitude(int place, const std::string& type, Corner corner) const {
    return store_.movement(movements_.at({type, corner})[static_cast<std::size_t>(place + 1)]).amplitude;
}

bool CalibrationClocks::light_driven(const CalibrationLayer& layer) const {
    if (law_of_layer(layer.layer) != Law::surface || depth_of_layer(layer.layer) != Depth::exposed) return false;
    const Sealant s = sealant(catalogue_, layer.family);
    return s.weight_light >= s.weight_heat && s.weight_light >= s.weight_moisture;
}

std::string CalibrationClocks::home(const std::string& family) const {
    return sealant(catalogue_, family).home == "roof" ? "roof_light" : "mean_of_walls";
}

int CalibrationClocks::place(const std::string& name) const {
    const auto found = std::find(places_.begin(), places_.end(), name);
    return found == places_.end() ? -1 : static_cast<int>(found - places_.begin());
}

bool CalibrationClocks::warm(int place) const {
    return store_.mean_air_temperature(sites_[static_cast<std::size_t>(place + 1)]) >= catalogue_.number("model/warm_year");
}

double marginal_due(const Catalogue& catalogue, double median, double t) {
    return LifeBelief(life_prior(life_spread(catalogue)), median, 1).due({t});
}

CalibrationLives calibration_lives(const CalibrationClocks& clocks) {
    const Catalogue& catalogue = clocks.catalogue();
    const LifeBelief unit(life_prior(life_spread(catalogue)), 1.0, 1);
    const double ten = quantile(unit, 0.1), ninety = quantile(unit, 0.9);
    const auto& layers = calibration_layers();
    const auto count = static_cast<Eigen::Index>(layers.size() * clocks.places().size() * calibration_surfaces.size());
    CalibrationLives lives;
    for (Column* column :
         {&lives.rate, &lives.ratio, &lives.median, &lives.ten, &lives.ninety, &lives.trade_low, &lives.trade_high})
        column->resize(count);
    Eigen::Index i = 0;
    for (const auto& layer : layers) {
        const SourcedValue& trade = catalogue.at("calibration/trade_life/" + layer.family);
        const double life = sealant(catalogue, layer.family).median_life;
        for (int place = 0; place < static_cast<int>(clocks.places().size()); ++place)
            for (const char* surface : calibration_surfaces) {
                lives.family.push_back(layer.family);
                lives.layer.push_back(layer.layer);
                lives.place.push_back(clocks.places()[static_cast<std::size_t>(place)]);
                lives.surface.emplace_back(surface);
                lives.rate[i] = clocks.rate(place, surface, layer);
                lives.ratio[i] = lives.rate[i] / clocks.rate(-1, surface, layer);
                lives.median[i] = life / lives.rate[i];
                lives.ten[i] = ten * lives.median[i];
                lives.ninety[i] = ninety * lives.median[i];
                lives.trade_low[i] = trade.low;
                lives.trade_high[i] = trade.high;
                const bool in_range = lives.median[i] >= trade.low && lives.median[i] <= trade.high;
                lives.verdict.push_back(in_range ? std::string(inside) : why_outside(clocks, lives, i, place));
                ++i;
            }
    }
    return lives;
}

}  // namespace detail

Eigen::Index CalibrationLives::row(const std::string& of_family, const std::string& of_layer, const std::string& at_place,
                                   const std::string& on_surface) const {
    for (std::size_t i = 0; i < family.size(); ++i)
        if (family[i] == of_family && layer[i] == of_layer && place[i] == at_place && surface[i] == on_surface)
            return static_cast<Eigen::Index>(i);
    return -1;
}

CalibrationTable calibration_table(const CalibrationOptions& options) {
    const detail::CalibrationClocks clocks(options);
    CalibrationTable table;
    table.reference = clocks.reference_name();
    table.lives = detail::calibration_lives(clocks);
    table.checks = detail::calibration_checks(clocks, table.lives);
    return table;
}

std::vector<std::string> unexplained(const CalibrationTable& table) {
    std::vector<std::string> rows;
    const CalibrationLives& lives = table.lives;
    for (std::size_t i = 0; i < lives.verdict.size(); ++i)
        if (lives.verdict[i].starts_with(detail::not_explained))
            rows.push_back(lives.family[i] + ", " + lives.layer[i] + ", " + lives.place[i] + ", " + lives.surface[i] +
                           ": median " + number_text(lives.median[static_cast<Eigen::Index>(i)], 2) + " yr");
    const CalibrationChecks& checks = table.checks;
    for (std::size_t i = 0; i < checks.verdict.size(); ++i)
        if (checks.verdict[i].starts_with(detail::not_explained))
            rows.push_back(checks.rule[i] + ", " + checks.subject[i] + ": " +
                           number_text(checks.value[static_cast<Eigen::Index>(i)], 3));
    return rows;
}

}  // namespace libseal
