#include "libseal/exposure/itinerary.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "libseal/core/error.hpp"

namespace libseal {
namespace {

/// Where the days of a weather lie: indices of each local day, in order of time.
class DaysOfWeather {
public:
    explicit DaysOfWeather(const Weather& weather) : typical_(weather.typical) {
        const double shift = weather.site.utc_offset * 3600 - weather.step / 2;
        std::map<Date, std::vector<std::pair<Instant, Eigen::Index>>> days;
        for (Eigen::Index i = 0; i < weather.size(); ++i) {
            const Instant middle =
                static_cast<Instant>(std::floor(static_cast<double>(weather.time_utc[i]) + shift));
            const Date day = date_of(middle);
            const Instant second = middle - static_cast<Instant>(day.days) * 86400;
            days[key(day)].push_back({second, i});
        }
        // A typical year counted in another zone than its site's begins within a day and ends within the same day:
        // that day is put together from both ends.
        for (auto& [day, parts] : days) {
            std::sort(parts.begin(), parts.end());
            std::vector<Eigen::Index>& indices = days_[day];
            for (const auto& part : parts) indices.push_back(part.second);
        }
    }

    void append(Date day, std::vector<Eigen::Index>& hours) const {
        const auto found = days_.find(key(day));
        if (found != days_.end()) hours.insert(hours.end(), found->second.begin(), found->second.end());
    }

private:
    Date key(Date day) const {
        if (!typical_) return day;
        const YearMonthDay ymd = year_month_day(day);
        return make_date(2001, ymd.month, ymd.month == 2 ? std::min(ymd.day, 28) : ymd.day);
    }

    bool typical_;
    std::map<Date, std::vector<Eigen::Index>> days_;
};

}  // namespace

CoverFactors cover_factors(const std::string& cover) {
    if (cover == "open") return {1, 1, 1, true};
    // A roof on posts: walls see about half of the sky and sun (judgement); of the driving rain 0.35 as on walls below
    // a steep roof (deposition factor of ASHRAE 160, from memory).
    if (cover == "carport") return {0, 0.5, 0.35, true};
    if (cover == "covered") return {0, 0, 0, true};
    if (cover == "indoors") return {0, 0, 0, false};
    throw_value_error("cover", "open, carport, covered or indoors", "\"" + cover + "\"");
}

std::vector<StayHours> join_weather(const Itinerary& itinerary, Date from, Date to, const WeatherOfStay& weather_of) {
    if (to < from) throw_value_error("to", "a day not before " + to_text(from), to_text(to));
    std::vector<StayHours> joined;
    std::map<const Weather*, DaysOfWeather> known;
    Date next = from;
    for (const Stay& stay : checked_itinerary(itinerary)) {
        if (stay.to <= from || stay.from >= to || next >= to) continue;
        if (stay.from > next) break;
        StayHours part;
        part.weather = &weather_of(stay);
        part.stay = stay;
        part.stay.from = next;
        part.stay.to = std::min(stay.to, to);
        const DaysOfWeather& days = known.try_emplace(part.weather, *part.weather).first->second;
        for (Date day = part.stay.from; day < part.stay.to; day = day + 1) days.append(day, part.hours);
        next = part.stay.to;
        joined.push_back(std::move(part));
    }
    if (next < to)
        throw_value_error("itinerary", "stays that cover " + to_text(from) + " to " + to_text(to),
                          "none on " + to_text(next));
    return joined;
}

}  // namespace libseal
