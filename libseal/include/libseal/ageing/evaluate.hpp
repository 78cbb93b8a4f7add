#pragma once
// Each distinct (site, plane, finish, cover, family) is evaluated once, however many joints share it.

#include <compare>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "libseal/ageing/clock.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/progress.hpp"

namespace libseal {

/// What wears a layer out.
enum class Law {
    surface,    ///< the three-term clock of what lies in the sun: beads, tapes, moving seals
    set,        ///< compression set of a gasket: heat alone, at flange temperature
    shrinkage   ///< loss of plasticiser from an insert: heat alone, at its surface
};

/// Law of a layer of a kind.
Law law_of_layer(const std::string& layer);
/// The family as it ages by a law: set and shrinkage depend on an equivalent time at 25 degC alone, and a fixed limit of
/// either is a fixed equivalent time, so each is a clock with the heat term alone.
Sealant family_under_law(const Catalogue& catalogue, const std::string& family, Law law);
/// Where a layer of a kind sits.
Depth depth_of_layer(const std::string& layer);

/// What decides how fast a layer ages. Angles and finish are compared exactly; azimuth -1 stands for "unknown".
struct ClockKey {
    int site = 0;
    double tilt = 0;
    double azimuth = 0;
    double absorptance = 0;
    double emittance = 0;
    std::string cover;
    std::string family;
    Law law = Law::surface;
    Depth depth = Depth::exposed;
    auto operator<=>(const ClockKey&) const = default;
};

/// Collects keys, evaluates them together, hands out their clocks.
///
/// @threads  One thread adds keys and evaluates; then any number may read.
class ClockStore {
public:
    explicit ClockStore(const Catalogue& catalogue) : catalogue_(catalogue) {}

    /// Adds a site of the station table; its typical year is made when keys are evaluated. Returns its number.
    int add_site(const Station& station, std::uint64_t seed);
    /// Adds a site with its own weather, checked before. Days that no dated part knows are those of its typical part,
    /// else of the typical year of `station`, else of the means of the same calendar month in the dated parts.
    int add_site(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station, std::uint64_t seed);
    /// Number of a key, new or known.
    int add_key(const ClockKey& key);

    /// Evaluates all keys not yet evaluated. Same bits for any number of threads.
    void evaluate(int threads, const Watch& watch);

    const ClockYear& clock(int key) const { return *clocks_[static_cast<std::size_t>(key)]; }
    /// Of the site's typical year, once a key of it has been evaluated. [degC]
    double mean_air_temperature(int site) const { return sites_[static_cast<std::size_t>(site)].mean_air_temperature; }
    const ClockKey& key(int number) const { return keys_[static_cast<std::size_t>(number)]; }
    std::size_t key_count() const { return keys_.size(); }

private:
    struct SiteEntry {
        std::shared_ptr<const PlaceWeather> own;
        std::optional<Station> station;
        std::uint64_t seed = 0;
        double mean_air_temperature = 0;
    };
    using References = std::map<std::pair<std::string, Law>, ClockTerms>;
    void evaluate_site(int site, const std::vector<int>& keys, const References& references);

    Catalogue catalogue_;
    std::vector<SiteEntry> sites_;
    std::vector<ClockKey> keys_;
    std::map<ClockKey, int> index_;
    std::vector<std::shared_ptr<const ClockYear>> clocks_;
    std::size_t evaluated_ = 0;
};

}  // namespace libseal
