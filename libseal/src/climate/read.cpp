#include "libseal/climate/read.hpp"

#include "climate/read_table.hpp"
#include "climate/weather_store.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

enum class Format { epw, tmy3, csv };

Format format_of(std::string_view text) {
    detail::LineCursor lines(text);
    std::string_view first, second;
    lines.next(first);
    lines.next(second);
    if (first.starts_with("LOCATION,")) return Format::epw;
    if (second.starts_with("Date (")) return Format::tmy3;
    return Format::csv;
}

void check_options(const ReadWeatherOptions& options) {
    if (options.gaps != "report" && options.gaps != "interpolate" && options.gaps != "refuse")
        throw_value_error("gaps", "\"report\", \"interpolate\" or \"refuse\"", detail::quoted(options.gaps));
    if (options.hours != "auto" && options.hours != "local" && options.hours != "utc")
        throw_value_error("hours", "\"auto\", \"local\" or \"utc\"", detail::quoted(options.hours));
    if (options.longest_fill < 0)
        throw_value_error("longest_fill", "a number of intervals, 0 or more", std::to_string(options.longest_fill));
}

}  // namespace

Weather read_weather(const std::string& path, const ReadWeatherOptions& options, const std::string& cache) {
    check_options(options);
    const auto read = [&] { return read_weather_text(read_text_file(path), path, options); };
    const std::string stamp = cache.empty() ? std::string() : detail::stamp_of_file(path);
    if (stamp.empty()) return read();
    return detail::WeatherStore(cache).get(stamp + " gaps " + options.gaps + " " + std::to_string(options.longest_fill) + " hours " + options.hours, read);
}

Weather read_weather_text(std::string_view text, const std::string& name, const ReadWeatherOptions& options) {
    check_options(options);
    if (text.size() > limits::file_octets)
        throw_value_error(name, "a text of at most " + std::to_string(limits::file_octets) + " octets", std::to_string(text.size()), "split the file");
    detail::SourceText source{text, name, {}};
    detail::RawWeather raw;
    switch (format_of(text)) {
        case Format::epw: raw = detail::read_epw(source, options); break;
        case Format::tmy3: raw = detail::read_tmy3(source, options); break;
        case Format::csv: raw = detail::read_csv(source); break;
    }
    Weather weather = detail::arrange(source, raw);
    weather.notes = std::move(raw.notes);
    detail::treat_gaps(source, options, weather);
    return weather;
}

}  // namespace libseal
