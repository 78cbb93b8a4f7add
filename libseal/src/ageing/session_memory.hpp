#pragma once
// The inside of a session.

#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "ageing/law_clock.hpp"
#include "ageing/site_weather.hpp"
#include "ageing/swings.hpp"
#include "climate/typical_year_draws.hpp"
#include "climate/weather_store.hpp"
#include "core/recent.hpp"
#include "core/shared_table.hpp"
#include "libseal/ageing/evaluate.hpp"

namespace libseal {

struct Session::Memory {
    Memory(const Catalogue& values, const std::string& cache) : catalogue(values), store(cache) {}

    /// Where the hours of a site come from.
    struct Site {
        std::shared_ptr<const PlaceWeather> own;
        std::optional<Station> station;
        std::uint64_t seed = 0;
        double mean_air_temperature = 0;  ///< NaN until a key of the site has been evaluated
    };
    /// Number of a site, new or known. Takes the lock.
    int site_number(std::shared_ptr<const PlaceWeather> own, const std::optional<Station>& station, std::uint64_t seed);
    /// What a family under a law needs, made once. Takes the lock, and works outside it.
    std::shared_ptr<const detail::LawClock> law_clock(const std::string& family, Law law);
    /// Its hours made ready. Those of typical years are kept for the sites asked for last.
    std::shared_ptr<const detail::SiteWeather> weather(int site);

    const Catalogue catalogue;
    const detail::WeatherStore store;  ///< of typical years
    std::mutex lock;  ///< of all below
    std::vector<Site> sites;
    std::multimap<std::uint64_t, int> sites_by_print;
    detail::SharedTable<ClockKey, ClockYear, KeyHash> clocks;
    std::unordered_map<MovementKey, StrainSummary, KeyHash> movements;
    std::map<detail::SwingKey, std::shared_ptr<const detail::Swings>> swings;
    std::shared_ptr<detail::HomeSurfaces> home;
    std::map<std::pair<std::string, Law>, std::shared_ptr<const detail::LawClock>> laws;

private:
    static constexpr std::size_t most_weathers = 64, most_draws = 4;  // of some 1 MB each
    Weather typical_year_of(const Site& site);

    detail::Recent<int, detail::SiteWeather> weathers_{most_weathers};
    detail::Recent<std::uint64_t, detail::YearDraws> draws_{most_draws};  ///< by seed
};

}  // namespace libseal
