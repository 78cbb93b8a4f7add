#include "libseal/schedule/gates.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "schedule/stretch.hpp"

namespace libseal {
namespace {

constexpr double year_seconds = 365 * 86400.0;

Minute floor_div(Minute a, Minute b) { return a >= 0 ? a / b : -((b - 1 - a) / b); }

/// The same month, day and minute in the year that typical series carry.
Minute in_typical_year(Minute t) {
    const Date day = day_of(t);
    const YearMonthDay date = year_month_day(day);
    const bool leap = date.month == 2 && date.day == 29;
    return minute_of(make_date(2001, date.month, leap ? 28 : date.day), static_cast<int>(t - minute_of(day)));
}

/// A wait that no minute can count is none.
Minute whole(double lag) { return static_cast<Minute>(std::ceil(require_between(lag, -1e12, 1e12, "lag") - 1e-9)); }

Minute hours(double h) { return static_cast<Minute>(std::llround(h * 60)); }

bool rains(const GateWeather::Hour& hour) { return hour.known && hour.rain > 0; }
bool dews(const GateWeather::Hour& hour) { return hour.known && hour.temperature <= hour.dew_point; }

/// What counts under this roof.
Gate under(const Bay& bay, const Gate& gate) {
    if (bay.heated) return {};
    Gate left = gate;
    if (bay.roofed) {
        const Gate none;
        left.dew_margin = none.dew_margin;
        left.highest_humidity = none.highest_humidity;
        left.highest_wind = none.highest_wind;
        left.dry_before = none.dry_before;
        left.no_dew_after = 0;
        left.daylight = false;
    }
    return left;
}

/// The limits of the hour itself.
bool fine(const Gate& gate, const GateWeather::Hour& hour) {
    if (!hour.known) return true;
    // Written so that a temperature that nobody knows closes nothing.
    return !(hour.temperature < gate.lowest_temperature) && !(hour.temperature > gate.highest_temperature) &&
           !(hour.temperature - hour.dew_point < gate.dew_margin) && hour.humidity <= gate.highest_humidity &&
           hour.wind <= gate.highest_wind && !(gate.dry_before >= 0 && hour.rain > 0);
}

/// Does any interval that meets [from, to) show it?
template <class Test>
bool any_hour(const GateWeather& weather, Minute from, Minute to, const Test& test) {
    for (Minute t = from; t < to; t = weather.next_change(t))
        if (test(weather.at(t))) return true;
    return false;
}

std::vector<TimeSpan> without(const std::vector<TimeSpan>& open, std::vector<TimeSpan> closed) {
    std::sort(closed.begin(), closed.end(), [](const TimeSpan& a, const TimeSpan& b) { return a.from < b.from; });
    std::vector<TimeSpan> left;
    std::size_t next = 0;
    for (const TimeSpan& span : open) {
        Minute from = span.from;
        while (next < closed.size() && closed[next].to <= from) ++next;
        for (std::size_t i = next; i < closed.size() && closed[i].from < span.to; ++i) {
            if (closed[i].from > from) left.push_back({from, closed[i].from});
            from = std::max(from, closed[i].to);
        }
        if (from < span.to) left.push_back({from, span.to});
    }
    return left;
}

}  // namespace

struct GateWeather::Series {
    Site site;
    bool typical = false;
    double first = 0;   ///< local time at which the first interval begins [s]
    double step = 3600;  ///< [s]; not always whole minutes
    Column temperature, dew_point, humidity, wind, rain;

    /// Index of the interval that holds the beginning of minute t; -1 for none.
    Eigen::Index index(Minute t) const {
        double since = 60 * static_cast<double>(typical ? in_typical_year(t) : t) - first;
        if (typical) since -= std::floor(since / year_seconds) * year_seconds;
        const double i = std::floor(since / step);
        return i >= 0 && i < static_cast<double>(temperature.size()) ? static_cast<Eigen::Index>(i) : -1;
    }

    /// First minute after t whose beginning lies in another interval.
    Minute next_change(Minute t) const {
        const double next = first + (std::floor((60 * static_cast<double>(t) - first) / step) + 1) * step;
        return static_cast<Minute>(std::ceil(next / 60));
    }
};

GateWeather::GateWeather(const std::vector<Weather>& series) {
    for (const bool typical : {false, true})
        for (const Weather& weather : series) {
            if (weather.typical != typical || weather.size() == 0) continue;
            auto own = std::make_shared<Series>();
            own->site = weather.site;
            own->typical = typical;
            own->step = std::max(1.0, weather.step);
            own->first = static_cast<double>(weather.time_utc(0) + std::llround(weather.site.utc_offset * 3600)) - own->step;
            own->temperature = weather.air_temperature;
            own->dew_point = weather.dew_point;
            own->humidity = weather.relative_humidity;
            own->wind = weather.wind_speed;
            own->rain = weather.precipitation;
            series_.push_back(std::move(own));
        }
}

GateWeather::Hour GateWeather::at(Minute t) const {
    Hour hour;
    bool warmth = false, dew = false, humidity = false, wind = false, rain = false;
    const auto fill = [](bool& have, double& value, const Column& column, Eigen::Index i) {
        if (have || column.size() <= i || std::isnan(column(i))) return;
        value = column(i);
        have = true;
    };
    // What the first series does not know is taken from those behind it; what none knows keeps nobody from working.
    for (const auto& series : series_) {
        const Eigen::Index i = series->index(t);
        if (i < 0) continue;
        if (series->typical && warmth != dew) {
            // Dew depends on how far the air is from its own dew point: of a typical year that distance is taken, not one of the two.
            fill(warmth, hour.temperature, series->temperature, i);
            dew = warmth && series->dew_point.size() > i && std::isfinite(series->temperature(i) - series->dew_point(i));
            if (dew) hour.dew_point = hour.temperature - (series->temperature(i) - series->dew_point(i));
        } else {
            fill(warmth, hour.temperature, series->temperature, i);
            fill(dew, hour.dew_point, series->dew_point, i);
        }
        fill(humidity, hour.humidity, series->humidity, i);
        fill(wind, hour.wind, series->wind, i);
        fill(rain, hour.rain, series->rain, i);
        if (warmth && dew && humidity && wind && rain) break;
    }
    hour.known = warmth || dew || humidity || wind || rain;
    if (hour.known && !warmth) hour.temperature = std::nan("");
    if (hour.known && !dew) hour.dew_point = -1e9;
    return hour;
}

Minute GateWeather::next_change(Minute t) const {
    Minute next = (floor_div(t, 60) + 1) * 60;
    for (const auto& series : series_) next = std::min(next, series->next_change(t));
    return std::max(next, t + 1);
}

bool GateWeather::sun_is_up(Minute t) const {
    if (series_.empty()) return true;
    const Site& site = series_.front()->site;
    constexpr double horizon = 90.833;  // refraction and the half disc
    return sun_angles(t * 60 - std::llround(site.utc_offset * 3600), site.latitude, site.longitude).zenith <= horizon;
}

std::vector<TimeSpan> GateWeather::daylight_spans(Date day) const {
    const Minute midnight = minute_of(day), end = midnight + 1440;
    if (series_.empty()) return {{midnight, end}};
    const Site& site = series_.front()->site;
    const SunTimes sun = sun_times(day, site.latitude, site.longitude, site.utc_offset);
    const auto local = [&](Instant utc) { return floor_div(static_cast<Minute>(utc) + std::llround(site.utc_offset * 3600), 60); };
    std::vector<TimeSpan> spans;
    if (sun.rise && sun.set && *sun.set - *sun.rise > 2 * 3600 && *sun.set - *sun.rise < 22 * 3600) {
        Minute from = local(*sun.rise), to = local(*sun.set);
        while (from > midnight && sun_is_up(from - 1)) --from;
        while (from < to && !sun_is_up(from)) ++from;
        while (to < end && sun_is_up(to)) ++to;
        while (to > from && !sun_is_up(to - 1)) --to;
        spans.push_back({from, to});
        return spans;
    }
    // Near the polar circles the sun may set after midnight, or only touch the horizon: minute by minute.
    for (Minute t = midnight; t < end; ++t) {
        if (!sun_is_up(t)) continue;
        if (!spans.empty() && spans.back().to == t) ++spans.back().to;
        else spans.push_back({t, t + 1});
    }
    return spans;
}

TimeSpan GateWeather::daylight(Date day) const {
    const std::vector<TimeSpan> spans = daylight_spans(day);
    if (spans.empty()) return {minute_of(day), minute_of(day)};
    return {spans.front().from, spans.back().to};
}

const std::vector<std::string>& gate_names() {
    static const std::vector<std::string> names{"wash", "bond", "coat", "climb", "test"};
    return names;
}

Gate gate_for(const std::string& name, const std::string& family, const Catalogue& catalogue) {
    Gate gate;
    const auto number = [&](const char* id) { return catalogue.number(std::string("gate/") + id); };
    if (name == "bond" || name == "coat") {
        const bool known = !family.empty() && catalogue.has("sealant/" + family + "/lowest_temperature");
        gate.lowest_temperature = known ? sealant(catalogue, family).lowest_temperature : number("lowest_temperature");
        gate.highest_temperature = known ? sealant(catalogue, family).highest_temperature : number("highest_temperature");
        gate.dew_margin = number("dew_margin");
        gate.highest_wind = number("highest_wind");
        gate.dry_before = number("drying_hours_cloth");
        // Tapes hold at once: no hours behind them.
        const bool holds_at_once = known && sealant(catalogue, family).cure_rate == 0 && sealant(catalogue, family).first_water_hours == 0;
        gate.dry_after = holds_at_once ? 0 : number("rain_free_hours");
        gate.no_dew_after = holds_at_once ? 0 : number("dew_lead_hours");
        gate.daylight = true;
        if (name == "coat") gate.highest_humidity = number("highest_humidity");
    } else if (name == "climb") {
        gate.lowest_temperature = number("lowest_water_temperature");
        gate.highest_wind = number("highest_wind");
        gate.dry_before = 0;
        gate.daylight = true;
    } else if (name == "wash" || name == "test") {
        gate.lowest_temperature = number("lowest_water_temperature");
        gate.highest_wind = number("highest_wind");
    } else {
        const std::string near = nearest_name(name, gate_names());
        throw_value_error("gate", "one of wash, bond, coat, climb, test", "\"" + name + "\"", near.empty() ? "" : "did you mean " + near + "?");
    }
    return gate;
}

bool gate_open(const Gate& full, const GateWeather& weather, const Bay& bay, Minute t) {
    const Gate gate = under(bay, full);
    if (!fine(gate, weather.at(t))) return false;
    if (gate.dry_before >= 0 && any_hour(weather, t - hours(gate.dry_before), t + 1 + hours(gate.dry_after), rains)) return false;
    if (gate.no_dew_after > 0 && any_hour(weather, t, t + 1 + hours(gate.no_dew_after), dews)) return false;
    return !gate.daylight || weather.sun_is_up(t);
}

std::vector<TimeSpan> open_spans(const Gate& full, const GateWeather& weather, const Bay& bay, Minute begin, Minute end) {
    detail::check_stretch(begin, end, 2);
    const Gate gate = under(bay, full);
    std::vector<TimeSpan> closed;
    const Minute before = gate.dry_before >= 0 ? hours(gate.dry_before) : 0;
    const Minute after = std::max(gate.dry_before >= 0 ? hours(gate.dry_after) : 0, hours(gate.no_dew_after));
    for (Minute t = begin - before; t < end + after;) {
        const Minute next = weather.next_change(t);
        const GateWeather::Hour hour = weather.at(t);
        if (!fine(gate, hour)) closed.push_back({t, next});
        // Work of the minute m lasts until m + 1: rain from a to b closes those with rain in [m - before, m + 1 + after).
        if (gate.dry_before >= 0 && rains(hour)) closed.push_back({t - hours(gate.dry_after), next + before});
        if (gate.no_dew_after > 0 && dews(hour)) closed.push_back({t - hours(gate.no_dew_after), next});
        t = next;
    }
    std::vector<TimeSpan> open{{begin, end}};
    if (gate.daylight) {
        open.clear();
        for (Date day = day_of(begin); minute_of(day) < end; day = day + 1)
            for (const TimeSpan& light : weather.daylight_spans(day)) {
                const TimeSpan cut{std::max(light.from, begin), std::min(light.to, end)};
                if (cut.from < cut.to) open.push_back(cut);
            }
    }
    std::vector<TimeSpan> left;
    for (const TimeSpan& span : without(open, std::move(closed)))
        if (!left.empty() && left.back().to == span.from) left.back().to = span.to;
        else left.push_back(span);
    return left;
}

std::string why_closed(const Gate& full, const GateWeather& weather, const Bay& bay, Minute t) {
    const Gate gate = under(bay, full);
    if (gate_open(full, weather, bay, t)) return "";
    const GateWeather::Hour hour = weather.at(t);
    std::vector<std::string> reasons;
    const auto say = [&](bool wrong, const std::string& text) {
        if (wrong) reasons.push_back(text);
    };
    if (hour.known) {
        say(hour.temperature < gate.lowest_temperature, "air " + number_text(hour.temperature, 1) + " degC, at least " + number_text(gate.lowest_temperature, 1) + " needed");
        say(hour.temperature > gate.highest_temperature, "air " + number_text(hour.temperature, 1) + " degC, at most " + number_text(gate.highest_temperature, 1) + " allowed");
        say(hour.temperature - hour.dew_point < gate.dew_margin, "air " + number_text(hour.temperature - hour.dew_point, 1) + " K above its dew point, " + number_text(gate.dew_margin, 1) + " needed");
        say(hour.humidity > gate.highest_humidity, "humidity " + number_text(hour.humidity, 0) + " %, at most " + number_text(gate.highest_humidity, 0) + " allowed");
        say(hour.wind > gate.highest_wind, "wind " + number_text(hour.wind, 1) + " m/s, at most " + number_text(gate.highest_wind, 1) + " allowed");
    }
    if (gate.dry_before >= 0) {
        say(rains(hour), "it rains");
        say(!rains(hour) && any_hour(weather, t - hours(gate.dry_before), t, rains), "rain in the last " + number_text(gate.dry_before) + " h");
        say(!rains(hour) && any_hour(weather, t, t + 1 + hours(gate.dry_after), rains), "rain within " + number_text(gate.dry_after) + " h");
    }
    say(gate.no_dew_after > 0 && any_hour(weather, t, t + 1 + hours(gate.no_dew_after), dews), "dew within " + number_text(gate.no_dew_after) + " h");
    say(gate.daylight && !weather.sun_is_up(t), "dark");
    std::string text;
    for (const auto& reason : reasons) text += (text.empty() ? "" : "; ") + reason;
    return text;
}

double cure_rate_at(const GateWeather& weather, Minute t, double bay_temperature, const Catalogue& catalogue) {
    const GateWeather::Hour hour = weather.at(t);
    if (!hour.known || std::isnan(hour.temperature)) return 1;
    if (hour.temperature < catalogue.number("gate/cure_stops_below")) return 0;
    return std::pow(catalogue.number("gate/cure_factor_per_10k"), (hour.temperature - bay_temperature) / 10);
}

CureClock::CureClock(const GateWeather& weather, const Bay& bay, double bay_temperature, const Catalogue& catalogue, Minute from, Minute to) {
    detail::check_stretch(from, to, 2);
    double done = 0;
    Minute t = from;
    // A bead laid on the last day still has to cure.
    while (t < to + 30 * 1440) {
        const double rate = bay.heated ? 1 : cure_rate_at(weather, t, bay_temperature, catalogue);
        const Minute next = weather.next_change(t);
        at_.push_back(t);
        done_.push_back(done);
        rate_.push_back(rate);
        done += rate * static_cast<double>(next - t);
        t = next;
    }
    // Beyond the horizon nothing is known: by the clock of the bay.
    at_.push_back(t);
    done_.push_back(done);
    rate_.push_back(1);
}

Minute CureClock::ready(Minute finish, double lag) const {
    if (const Minute need = whole(lag); lag <= 0 || finish < at_.front()) return finish + need;
    const auto here = static_cast<std::size_t>(std::upper_bound(at_.begin(), at_.end(), finish) - at_.begin()) - 1;
    const double goal = done_[here] + rate_[here] * static_cast<double>(finish - at_[here]) + lag;
    auto there = static_cast<std::size_t>(std::lower_bound(done_.begin(), done_.end(), goal) - done_.begin());
    if (there > 0) --there;
    // Cure falls short of the goal there and reaches it later on: the rate is not 0.
    return std::max(finish, at_[there] + static_cast<Minute>(std::ceil((goal - done_[there]) / rate_[there] - 1e-9)));
}

WorkingClock::WorkingClock(const Shop& shop, Minute from, Minute to) {
    detail::check_stretch(from, to, 2);
    Person everybody;
    everybody.from = 0;
    everybody.to = 1440;
    Minute open = 0;
    for (Date day = day_of(from); minute_of(day) < to + 30 * 1440; day = day + 1)
        for (const TimeSpan& span : working_spans(shop, everybody, day)) {
            open_.push_back(span);
            before_.push_back(open);
            open += span.to - span.from;
        }
}

Minute WorkingClock::ready(Minute finish, double lag) const {
    const Minute need = whole(lag);
    if (need <= 0 || open_.empty()) return finish + std::max<Minute>(0, need);
    auto here = std::upper_bound(open_.begin(), open_.end(), finish, [](Minute t, const TimeSpan& s) { return t < s.to; });
    if (here == open_.end()) return finish + need * 3;
    const auto i = static_cast<std::size_t>(here - open_.begin());
    const Minute goal = before_[i] + std::max<Minute>(0, finish - open_[i].from) + need;
    const auto j = static_cast<std::size_t>(std::lower_bound(before_.begin(), before_.end(), goal) - before_.begin()) - 1;
    const Minute end = open_[j].from + goal - before_[j];
    return end <= open_[j].to ? end : finish + need * 3;
}

}  // namespace libseal
