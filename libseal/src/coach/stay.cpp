#include "libseal/coach/stay.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

bool same_stay(const Stay& a, const Stay& b) {
    return a.place == b.place && a.station == b.station && a.cover == b.cover && same(a.latitude, b.latitude) &&
           same(a.longitude, b.longitude) && same(a.heading, b.heading);
}

void find_problems(const Stay& stay, const std::string& field, std::vector<Problem>& problems) {
    const auto add = [&](const char* part, std::string expected, std::string got, std::string hint = "") {
        problems.push_back(detail::field_problem(field + part, std::move(expected), std::move(got), std::move(hint)));
    };
    if (stay.to <= stay.from) add(".to", "a day after " + to_text(stay.from), to_text(stay.to), "`to` does not count");
    static const Date earliest = make_date(1950, 1, 1), latest = make_date(2201, 1, 1), open_end = make_date(9999, 1, 1);
    if (stay.from < earliest || stay.from >= latest) add(".from", "a day of the years 1950 to 2200", to_text(stay.from));
    if (stay.to < earliest || (stay.to > latest && stay.to < open_end))
        add(".to", "a day of the years 1950 to 2200, or the year 9999", to_text(stay.to), "9999-12-31 means until further notice");
    const auto& covers = cover_names();
    if (std::find(covers.begin(), covers.end(), stay.cover) == covers.end()) {
        const std::string near = nearest_name(stay.cover, covers);
        add(".cover", "open, carport, covered or indoors", "\"" + stay.cover + "\"",
            near.empty() ? "" : "did you mean \"" + near + "\"?");
    }
    if (std::isnan(stay.latitude) != std::isnan(stay.longitude))
        add(".latitude", "both latitude and longitude, or neither", "one of them");
    if (stay.latitude < -90 || stay.latitude > 90) add(".latitude", "a number from -90 to 90", number_text(stay.latitude));
    if (stay.longitude < -180 || stay.longitude > 180)
        add(".longitude", "a number from -180 to 180", number_text(stay.longitude));
    if (std::isinf(stay.heading)) add(".heading", "a finite angle", number_text(stay.heading));
}

}  // namespace

const std::vector<std::string>& cover_names() {
    static const std::vector<std::string> names{"open", "carport", "covered", "indoors"};
    return names;
}

Itinerary checked_itinerary(Itinerary stays) {
    constexpr std::size_t most = 50;
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < stays.size() && problems.size() < most; ++i)
        find_problems(stays[i], "itinerary[" + std::to_string(i) + "]", problems);
    if (!problems.empty()) {
        problems.resize(std::min(problems.size(), most));
        throw ValueError(std::move(problems));
    }
    std::stable_sort(stays.begin(), stays.end(), [](const Stay& a, const Stay& b) { return a.from < b.from; });
    Itinerary merged;
    for (Stay& stay : stays) {
        if (!merged.empty() && merged.back().to != stay.from && problems.size() < most) {
            problems.push_back(detail::field_problem("itinerary", "a stay from " + to_text(merged.back().to) + ", when the one before ends",
                                                     (stay.from > merged.back().to ? "a gap until " : "an overlap from ") + to_text(stay.from)));
        }
        if (!merged.empty() && merged.back().to == stay.from && same_stay(merged.back(), stay))
            merged.back().to = stay.to;
        else
            merged.push_back(std::move(stay));
    }
    if (!problems.empty()) throw ValueError(std::move(problems));
    return merged;
}

}  // namespace libseal
