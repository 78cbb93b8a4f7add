#include "libseal/ageing/evaluate.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <mutex>
#include <set>

#include "ageing/age_alike.hpp"
#include "ageing/session_memory.hpp"
#include "ageing/site_weather.hpp"
#include "ageing/swings.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"

namespace libseal {
namespace {

/// What a surface sees and how it takes it. Keys with the same one share one set of hours.
struct Sky {
    double tilt, azimuth, absorptance, emittance;
    std::string cover;
    auto operator<=>(const Sky&) const = default;

    Plane plane() const { return {tilt, azimuth < 0 ? std::numeric_limits<double>::quiet_NaN() : azimuth}; }
};

Sky sky_of(const ClockKey& key) { return {key.tilt, key.azimuth, key.absorptance, key.emittance, key.cover}; }
Sky sky_of(const MovementKey& key, const Adherend& adherend) {
    return {key.tilt, key.azimuth, adherend.absorptance, adherend.emittance, key.cover};
}

/// Mean temperature of the two adherends over the hours that both are known.
double mean_of(const Column& a, const Column& b) {
    double sum = 0;
    Eigen::Index known = 0;
    for (Eigen::Index i = 0; i < a.size(); ++i)
        if (std::isfinite(a[i]) && std::isfinite(b[i])) {
            sum += 0.5 * (a[i] + b[i]);
            ++known;
        }
    return known > 0 ? sum / static_cast<double>(known) : 0.0;
}

/// The movements of one site: those in proportion to swings that are known need no weather.
class SiteMovements {
public:
    using Known = std::map<detail::SwingKey, std::shared_ptr<const detail::Swings>>;

    SiteMovements(const std::vector<MovementKey>& keys, const std::vector<std::size_t>& asked) {
        for (const std::size_t k : asked) keys_.push_back(&keys[k]);
        for (const MovementKey* key : keys_)
            if (detail::moves_in_proportion(key->movement)) swings_.try_emplace(detail::SwingKey(*key));
    }
    void take_known(const Known& known) {
        for (auto& [key, swings] : swings_)
            if (const auto found = known.find(key); found != known.end()) swings = found->second;
    }
    void leave(Known& known) const { known.insert(swings_.begin(), swings_.end()); }

    /// Surfaces whose temperatures are needed, not filled.
    std::map<Sky, Column> temperatures_wanted() const {
        std::map<Sky, Column> wanted;
        for (const MovementKey* key : keys_) {
            if (detail::moves_in_proportion(key->movement) && swings_.at(detail::SwingKey(*key))) continue;
            for (const Adherend* adherend : {&key->movement.a, &key->movement.b}) wanted.try_emplace(sky_of(*key, *adherend));
        }
        return wanted;
    }
    StrainSummary strain(const MovementKey& key, const std::map<Sky, Column>& temperatures) {
        const auto temperature = [&](const Adherend& adherend) -> const Column& { return temperatures.at(sky_of(key, adherend)); };
        if (!detail::moves_in_proportion(key.movement)) {
            const Column &a = temperature(key.movement.a), &b = temperature(key.movement.b);
            return strain_summary(key.movement, a, b, mean_of(a, b), key.corner, key.exponent);
        }
        const detail::SwingKey place(key);
        auto& swings = swings_.at(place);
        if (!swings) {
            const Column &a = temperature(key.movement.a), &b = temperature(key.movement.b);
            swings = std::make_shared<const detail::Swings>(swings_of(place, a, b, mean_of(a, b)));
        }
        return strain_of(*swings, key);
    }

private:
    std::vector<const MovementKey*> keys_;
    Known swings_;
};

/// Mixes the hashes of members, one after the other.
class Mixed {
public:
    template <class Member>
    Mixed& with(const Member& member) {
        return with_bits(std::hash<Member>{}(member));
    }
    Mixed& with(double number) { return with_bits(std::bit_cast<std::uint64_t>(number + 0.0)); }  // -0 as 0
    std::size_t value() const { return state_; }

private:
    Mixed& with_bits(std::size_t bits) {
        state_ = (state_ ^ bits) * 0x9E3779B97F4A7C15u;
        state_ ^= state_ >> 32;
        return *this;
    }
    std::size_t state_ = 0;
};

}  // namespace

std::size_t KeyHash::operator()(const ClockKey& key) const {
    return Mixed().with(key.site).with(key.tilt).with(key.azimuth).with(key.absorptance).with(key.emittance).with(key.cover)
        .with(key.family).with(key.law).with(key.depth).value();
}

std::size_t KeyHash::operator()(const MovementKey& key) const {
    Mixed mixed;
    mixed.with(key.site).with(key.tilt).with(key.azimuth).with(key.cover).with(key.corner).with(key.exponent);
    const JointMovement& movement = key.movement;
    mixed.with(movement.form).with(movement.width).with(movement.across);
    for (const Adherend* side : {&movement.a, &movement.b})
        mixed.with(side->expansion).with(side->restraint).with(side->absorptance).with(side->emittance);
    return mixed.value();
}

ClockStore::ClockStore(const Catalogue& catalogue, std::shared_ptr<Session> session)
    : session_(session ? std::move(session) : std::make_shared<Session>(catalogue)) {
    if (!detail::age_alike(session_->catalogue(), catalogue))
        throw_value_error("session", "a session of the catalogue of this call", "one of another catalogue",
                          "make a session with the same catalogue, or give the session's catalogue to the call too");
}

int ClockStore::add_site(const Station& station, std::uint64_t seed) { return add_site(nullptr, station, seed); }

int ClockStore::add_site(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station, std::uint64_t seed) {
    return session_->memory_->site_number(std::move(own), station, seed);
}

int ClockStore::add_key(const ClockKey& key) {
    const auto [place, fresh] = index_.try_emplace(key, static_cast<int>(keys_.size()));
    if (fresh) keys_.push_back(key);
    return place->second;
}

int ClockStore::add_movement(const MovementKey& key) {
    const auto [place, fresh] = movement_index_.try_emplace(key, static_cast<int>(movement_keys_.size()));
    if (fresh) movement_keys_.push_back(key);
    return place->second;
}

std::vector<std::shared_ptr<const ClockYear>> ClockStore::known(std::size_t count, const std::function<const ClockKey&(std::size_t)>& key) const {
    Session::Memory& memory = *session_->memory_;
    const std::lock_guard held(memory.lock);
    return memory.clocks.find_all(count, key);
}

void ClockStore::take_known() {
    clocks_.resize(keys_.size());
    movements_.resize(movement_keys_.size());
    Session::Memory& memory = *session_->memory_;
    const std::lock_guard held(memory.lock);
    for (std::size_t k = 0; k < keys_.size(); ++k)
        if (!clocks_[k]) clocks_[k] = memory.clocks.find(keys_[k]);
    for (std::size_t k = 0; k < movement_keys_.size(); ++k) {
        if (movements_[k]) continue;
        if (const auto known = memory.movements.find(movement_keys_[k]); known != memory.movements.end()) movements_[k] = known->second;
    }
}

std::map<int, ClockStore::SiteWork> ClockStore::work_left() const {
    std::map<int, SiteWork> work;
    for (std::size_t k = 0; k < keys_.size(); ++k)
        if (!clocks_[k]) work[keys_[k].site].clocks.push_back(k);
    for (std::size_t k = 0; k < movement_keys_.size(); ++k)
        if (!movements_[k]) work[movement_keys_[k].site].movements.push_back(k);
    return work;
}

void ClockStore::evaluate(int threads, const Watch& watch, bool leave) {
    take_known();
    const std::map<int, SiteWork> work = work_left();
    const std::vector<std::pair<int, SiteWork>> sites(work.begin(), work.end());
    Session::Memory& memory = *session_->memory_;
    // Made here, so that no two threads make the same.
    std::set<std::pair<std::string, Law>> families;
    for (const auto& [site, part] : sites)
        for (const std::size_t k : part.clocks) families.emplace(keys_[k].family, keys_[k].law);
    for (const auto& [family, law] : families) memory.law_clock(family, law);
    ProgressReporter reporter(watch, "climate and ageing");
    parallel_for(
        sites.size(), threads, [&](std::size_t i) { evaluate_site(sites[i].first, sites[i].second, leave); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(sites.size())); });
    const std::lock_guard held(memory.lock);
    const auto note_mean = [&](int site) { mean_air_[site] = memory.sites[static_cast<std::size_t>(site)].mean_air_temperature; };
    for (const ClockKey& key : keys_) note_mean(key.site);
    for (const MovementKey& key : movement_keys_) note_mean(key.site);
}

void ClockStore::evaluate_site(int number, const SiteWork& work, bool leave) {
    Session::Memory& memory = *session_->memory_;
    SiteMovements moving(movement_keys_, work.movements);
    {
        const std::lock_guard held(memory.lock);
        moving.take_known(memory.swings);
    }
    std::map<Sky, Column> temperatures = moving.temperatures_wanted();
    std::map<Sky, std::vector<std::size_t>> skies;
    for (const std::size_t k : work.clocks) skies[sky_of(keys_[k])].push_back(k);
    if (!skies.empty() || !temperatures.empty()) {
        const std::shared_ptr<const detail::SiteWeather> site = memory.weather(number);
        detail::SiteSurfaces surfaces(*site);
        const auto surface_under = [&](const Sky& sky) {
            return surfaces.at(sky.plane(), sky.absorptance, sky.emittance, cover_factors(sky.cover));
        };
        for (const auto& [sky, members] : skies) {
            const detail::SiteSurface surface = surface_under(sky);
            for (const std::size_t k : members)
                clocks_[k] = std::make_shared<const ClockYear>(
                    site->clock(surface, *memory.law_clock(keys_[k].family, keys_[k].law), keys_[k].depth));
            if (const auto wanted = temperatures.find(sky); wanted != temperatures.end())
                wanted->second = site->usual_temperature(surface);
        }
        for (auto& [sky, temperature] : temperatures)
            if (temperature.size() == 0)
                temperature = site->usual_temperature(surface_under(sky));
        const double mean_air = site->mean_air_temperature();
        const std::lock_guard held(memory.lock);
        memory.sites[static_cast<std::size_t>(number)].mean_air_temperature = mean_air;
    }
    for (const std::size_t k : work.movements) movements_[k] = moving.strain(movement_keys_[k], temperatures);
    if (!leave) return;
    const std::lock_guard held(memory.lock);
    for (const std::size_t k : work.clocks) memory.clocks.add(keys_[k], clocks_[k]);
    for (const std::size_t k : work.movements) memory.movements.try_emplace(movement_keys_[k], *movements_[k]);
    moving.leave(memory.swings);
}

}  // namespace libseal
