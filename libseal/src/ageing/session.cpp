#include "libseal/ageing/session.hpp"

#include <bit>
#include <cstring>
#include <limits>

#include "ageing/session_memory.hpp"
#include "climate/station_figures.hpp"

namespace libseal {
namespace {

bool same(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

template <class T>
bool same(const Eigen::Array<T, Eigen::Dynamic, 1>& a, const Eigen::Array<T, Eigen::Dynamic, 1>& b) {
    return a.size() == b.size() &&
           (a.size() == 0 || std::memcmp(a.data(), b.data(), static_cast<std::size_t>(a.size()) * sizeof(T)) == 0);
}

/// Equal as far as any clock can tell: names and notes of the source do not matter.
bool same(const Weather& a, const Weather& b) {
    if (a.typical != b.typical || !same(a.step, b.step) || !same(a.sun_offset, b.sun_offset)) return false;
    if (!same(a.site.latitude, b.site.latitude) || !same(a.site.longitude, b.site.longitude)) return false;
    if (!same(a.site.elevation, b.site.elevation) || !same(a.site.utc_offset, b.site.utc_offset)) return false;
    if (!same(a.time_utc, b.time_utc)) return false;
    for (const std::string& name : weather_column_names())
        if (!same(weather_column(a, name), weather_column(b, name))) return false;
    return true;
}

bool same(const PlaceWeather* a, const PlaceWeather* b) {
    if (!a || !b) return a == b;
    if (a == b) return true;
    if (a->parts.size() != b->parts.size()) return false;
    for (std::size_t i = 0; i < a->parts.size(); ++i)
        if (!same(a->parts[i], b->parts[i])) return false;
    return true;
}

bool same(const std::optional<Station>& a, const std::optional<Station>& b) {
    if (!a || !b) return a.has_value() == b.has_value();
    if (a->id != b->id || a->site.name != b->site.name || a->state != b->state) return false;
    const std::vector<double> left = detail::figures_of(*a), right = detail::figures_of(*b);
    for (std::size_t i = 0; i < left.size(); ++i)
        if (!same(left[i], right[i])) return false;
    return true;
}

/// A short number by which equal sites are found; unequal ones may share it.
std::uint64_t print_of(const PlaceWeather* own, const std::optional<Station>& station, std::uint64_t seed) {
    std::uint64_t print = 0xcbf29ce484222325U ^ seed;
    const auto mix = [&](std::uint64_t word) { print = (print ^ word) * 0x9e3779b97f4a7c15U; print ^= print >> 29; };
    if (station)
        for (const char c : station->id) mix(static_cast<unsigned char>(c));
    if (own)
        for (const Weather& part : own->parts) {
            mix(static_cast<std::uint64_t>(part.size()));
            for (const Column* column : {&part.air_temperature, &part.ghi})
                for (const double value : *column) mix(std::bit_cast<std::uint64_t>(value));
        }
    return print;
}

}  // namespace

Session::Session(const Catalogue& catalogue, const std::string& cache) : memory_(std::make_unique<Memory>(catalogue, cache)) {}
Session::~Session() = default;

const Catalogue& Session::catalogue() const { return memory_->catalogue; }

std::size_t Session::site_count() const {
    const std::lock_guard held(memory_->lock);
    return memory_->sites.size();
}

std::size_t Session::clock_count() const {
    const std::lock_guard held(memory_->lock);
    return memory_->clocks.size();
}

std::size_t Session::movement_count() const {
    const std::lock_guard held(memory_->lock);
    return memory_->movements.size();
}

int Session::Memory::site_number(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station,
                                 std::uint64_t seed) {
    // A site whose typical year is the user's does not depend on the seed.
    const std::uint64_t used_seed = station ? seed : 0;
    const std::uint64_t print = print_of(own.get(), station, used_seed);
    const std::lock_guard held(lock);
    const auto [first, end] = sites_by_print.equal_range(print);
    for (auto it = first; it != end; ++it) {
        const Site& site = sites[static_cast<std::size_t>(it->second)];
        if (site.seed == used_seed && same(site.station, station) && same(site.own.get(), own.get())) return it->second;
    }
    const int number = static_cast<int>(sites.size());
    sites.push_back({std::move(own), station, used_seed, std::numeric_limits<double>::quiet_NaN()});
    sites_by_print.emplace(print, number);
    return number;
}

std::shared_ptr<const detail::LawClock> Session::Memory::law_clock(const std::string& family, Law law) {
    std::shared_ptr<detail::HomeSurfaces> surfaces;
    {
        const std::lock_guard held(lock);
        const auto found = laws.find({family, law});
        if (found != laws.end()) return found->second;
        surfaces = home;
    }
    if (!surfaces) {
        surfaces = std::make_shared<detail::HomeSurfaces>(clock_reference(catalogue));
        const std::lock_guard held(lock);
        if (!home) home = surfaces;
    }
    auto made = std::make_shared<const detail::LawClock>(detail::law_clock(catalogue, family, law, *surfaces));
    const std::lock_guard held(lock);
    return laws.try_emplace({family, law}, std::move(made)).first->second;
}

Weather Session::Memory::typical_year_of(const Site& site) {
    return store.get(detail::name_of_typical_year(*site.station, site.seed), [&] {
        return detail::typical_year(*site.station, *draws_.get(site.seed, [&] { return detail::YearDraws(site.seed); }));
    });
}

std::shared_ptr<const detail::SiteWeather> Session::Memory::weather(int number) {
    const Site site = [&] {
        const std::lock_guard held(lock);
        return sites[static_cast<std::size_t>(number)];
    }();
    const auto make = [&] {
        const auto typical = [&] { return typical_year_of(site); };
        return site.station ? detail::SiteWeather(site.own.get(), typical) : detail::SiteWeather(site.own.get(), {});
    };
    // Own weather can be long; it is made ready anew for what is new in a call.
    return site.own ? std::make_shared<const detail::SiteWeather>(make()) : weathers_.get(number, make);
}

}  // namespace libseal
