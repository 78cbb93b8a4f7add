#pragma once
// Each distinct (site, plane, finish, cover, family) is evaluated once, however many joints share it.

#include <compare>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "libseal/ageing/clock.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/session.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/progress.hpp"

namespace libseal {

/// What wears a layer out. The first three and appearance count years at the reference; the others count real equivalent
/// time, in years at 25 degC (bond: also 50 % humidity, as its law states), for the functions of ageing/laws.hpp.
enum class Law {
    surface,      ///< the three-term clock of what lies in the sun: beads, tapes, moving seals
    set,          ///< compression set of a gasket: heat alone, at flange temperature
    shrinkage,    ///< loss of plasticiser from an insert: heat alone, at its surface
    bond,         ///< loss of bond strength: [A(E,T) (RH/RH_ref)^n]^2, in the moisture term
    set_time,     ///< time of `compression_set`, in the heat term
    shrink_time,  ///< time of `shrinkage`, in the heat term
    flow,         ///< flow age of `squeeze_out`: 1/a(T) of Williams, Landel & Ferry, in the heat term
    appearance    ///< how a family looks: three terms with the weights and energies of model/appearance_...
};

/// Law of a layer of a kind.
Law law_of_layer(const std::string& layer);
/// The family as it ages by a law: weights, energies and exponents of that law. Set and shrinkage depend on an equivalent
/// time at 25 degC alone, and a fixed limit of either is a fixed equivalent time, so each is a clock with the heat term
/// alone. Of flow only the weights are meant: it has no single energy.
/// @throws ValueError  set_time or shrink_time of a family without such a law.
Sealant family_under_law(const Catalogue& catalogue, const std::string& family, Law law);
/// Where a layer of a kind sits.
Depth depth_of_layer(const std::string& layer);

/// What decides how fast a layer ages. Angles and finish are compared exactly; azimuth -1 stands for "unknown".
struct ClockKey {
    int site = 0;            ///< number of the site in its session
    double tilt = 0;         ///< [deg]
    double azimuth = 0;      ///< [deg]
    double absorptance = 0;  ///< [-]
    double emittance = 0;    ///< [-]
    std::string cover;
    std::string family;
    Law law = Law::surface;
    Depth depth = Depth::exposed;
    auto operator<=>(const ClockKey&) const = default;
};

/// What decides how much a joint moves in a usual year of its site.
struct MovementKey {
    int site = 0;        ///< number of the site in its session
    double tilt = 0;     ///< [deg]
    double azimuth = 0;  ///< [deg]; -1 unknown
    std::string cover;
    JointMovement movement;        ///< with the finishes of both adherends
    Corner corner = Corner::side;
    double exponent = 1;           ///< d of the family's crack law [-]
    auto operator<=>(const MovementKey&) const = default;
};

/// Hash of either key: equal keys have equal ones.
struct KeyHash {
    std::size_t operator()(const ClockKey& key) const;
    std::size_t operator()(const MovementKey& key) const;
};

/// Collects keys, evaluates them together, hands out their clocks and movements. Sites, clocks and movements that its
/// session knows are taken from there, new ones are left there.
///
/// @threads  One thread adds keys and evaluates; then any number may read. Several stores may share a session.
class ClockStore {
public:
    /// @param session  Of the same catalogue, or of one that differs in lives of families alone; null: one of its own.
    /// @throws ValueError  if the session is of another catalogue.
    explicit ClockStore(const Catalogue& catalogue, std::shared_ptr<Session> session = nullptr);

    /// Adds a site of the station table; its typical year is made when keys are evaluated. Returns its number.
    int add_site(const Station& station, std::uint64_t seed);
    /// Adds a site with its own weather, checked before. Days that no dated part knows are those of its typical part,
    /// else of the typical year of `station`, else of the means of the same calendar month in the dated parts.
    int add_site(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station, std::uint64_t seed);
    /// Number of a key, new or known.
    int add_key(const ClockKey& key);
    int add_movement(const MovementKey& key);

    /// Evaluates all keys not yet evaluated. Same bits for any number of threads.
    /// @param leave  Whether the session keeps what is new. Sites are kept either way.
    void evaluate(int threads, const Watch& watch, bool leave = true);

    const ClockYear& clock(int key) const { return *clocks_[static_cast<std::size_t>(key)]; }
    std::shared_ptr<const ClockYear> shared_clock(int key) const { return clocks_[static_cast<std::size_t>(key)]; }
    /// Clocks that the session knows of `count` keys, null where it does not, without adding them.
    std::vector<std::shared_ptr<const ClockYear>> known(std::size_t count, const std::function<const ClockKey&(std::size_t)>& key) const;
    /// Strain in a usual year about its mean temperature: the typical year, or the longest dated part where there is none.
    const StrainSummary& movement(int key) const { return *movements_[static_cast<std::size_t>(key)]; }
    /// Of the site's typical year, once a key of it has been evaluated. [degC]
    double mean_air_temperature(int site) const { return mean_air_.at(site); }
    const ClockKey& key(int number) const { return keys_[static_cast<std::size_t>(number)]; }
    std::size_t key_count() const { return keys_.size(); }
    /// The session that numbers its sites; another store may share it.
    const std::shared_ptr<Session>& session() const { return session_; }

private:
    struct SiteWork {
        std::vector<std::size_t> clocks;     ///< keys to evaluate
        std::vector<std::size_t> movements;
    };
    void take_known();
    std::map<int, SiteWork> work_left() const;
    void evaluate_site(int site, const SiteWork& work, bool leave);

    std::shared_ptr<Session> session_;
    std::vector<ClockKey> keys_;
    std::unordered_map<ClockKey, int, KeyHash> index_;
    std::vector<std::shared_ptr<const ClockYear>> clocks_;
    std::vector<MovementKey> movement_keys_;
    std::unordered_map<MovementKey, int, KeyHash> movement_index_;
    std::vector<std::optional<StrainSummary>> movements_;
    std::map<int, double> mean_air_;  ///< by site [degC]
};

}  // namespace libseal
