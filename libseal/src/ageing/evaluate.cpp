#include "libseal/ageing/evaluate.hpp"

#include <limits>
#include <map>
#include <set>
#include <tuple>

#include "ageing/site_weather.hpp"
#include "libseal/core/parallel.hpp"

namespace libseal {
namespace {

/// Keys of one site that see the same sky: they share one set of hours.
struct SkyOrder {
    bool operator()(const ClockKey& a, const ClockKey& b) const {
        return std::tie(a.tilt, a.azimuth, a.absorptance, a.emittance, a.cover) <
               std::tie(b.tilt, b.azimuth, b.absorptance, b.emittance, b.cover);
    }
};

Plane plane_of_key(const ClockKey& key) {
    return {key.tilt, key.azimuth < 0 ? std::numeric_limits<double>::quiet_NaN() : key.azimuth};
}

}  // namespace

Depth depth_of_layer(const std::string& layer) {
    return layer == "bedding" || layer == "gasket" ? Depth::sheltered : Depth::exposed;
}

Law law_of_layer(const std::string& layer) {
    if (layer == "gasket") return Law::set;
    if (layer == "insert") return Law::shrinkage;
    return Law::surface;
}

Sealant family_under_law(const Catalogue& catalogue, const std::string& family, Law law) {
    Sealant result = sealant(catalogue, family);
    if (law == Law::surface) return result;
    const std::string energy = "sealant/" + family + (law == Law::set ? "/set_energy" : "/shrink_energy");
    if (!catalogue.has(energy)) return result;  // no law of its own: it ages as it would at its surface
    result.weight_light = result.weight_moisture = 0;
    result.weight_heat = 1;
    result.energy_heat = catalogue.number(energy);
    return result;
}

int ClockStore::add_site(const Station& station, std::uint64_t seed) { return add_site(nullptr, station, seed); }

int ClockStore::add_site(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station, std::uint64_t seed) {
    sites_.push_back({std::move(own), station, seed, std::numeric_limits<double>::quiet_NaN()});
    return static_cast<int>(sites_.size()) - 1;
}

int ClockStore::add_key(const ClockKey& key) {
    const auto [place, fresh] = index_.try_emplace(key, static_cast<int>(keys_.size()));
    if (fresh) keys_.push_back(key);
    return place->second;
}

void ClockStore::evaluate(int threads, const Watch& watch) {
    clocks_.resize(keys_.size());
    std::map<int, std::vector<int>> by_site;
    std::set<std::pair<std::string, Law>> families;
    for (std::size_t k = evaluated_; k < keys_.size(); ++k) {
        by_site[keys_[k].site].push_back(static_cast<int>(k));
        families.emplace(keys_[k].family, keys_[k].law);
    }
    const ClockReference reference = clock_reference(catalogue_);
    References references;
    for (const auto& [name, law] : families)
        // A gasket is stated at flange temperature; bedding is stated on the exposed plane.
        references[{name, law}] = reference_terms(reference, family_under_law(catalogue_, name, law),
                                                  law == Law::set ? Depth::sheltered : Depth::exposed);
    const std::vector<std::pair<int, std::vector<int>>> sites(by_site.begin(), by_site.end());
    ProgressReporter reporter(watch, "climate and ageing");
    parallel_for(
        sites.size(), threads,
        [&](std::size_t i) { evaluate_site(sites[i].first, sites[i].second, references); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(sites.size())); });
    evaluated_ = keys_.size();
}

void ClockStore::evaluate_site(int number, const std::vector<int>& keys, const References& references) {
    SiteEntry& entry = sites_[static_cast<std::size_t>(number)];
    const detail::SiteWeather site(entry.own.get(), entry.station, entry.seed);
    entry.mean_air_temperature = site.mean_air_temperature();
    std::map<ClockKey, std::vector<int>, SkyOrder> skies;
    for (const int k : keys) skies[keys_[static_cast<std::size_t>(k)]].push_back(k);
    for (const auto& [sky, members] : skies) {
        const std::vector<SurfaceHours> hours =
            site.hours(plane_of_key(sky), sky.absorptance, sky.emittance, cover_factors(sky.cover));
        for (const int k : members) {
            const ClockKey& key = keys_[static_cast<std::size_t>(k)];
            const Sealant family = family_under_law(catalogue_, key.family, key.law);
            clocks_[static_cast<std::size_t>(k)] = std::make_shared<const ClockYear>(
                scaled_clock(site.clock(hours, family, key.depth), references.at({key.family, key.law}), family));
        }
    }
}

}  // namespace libseal
