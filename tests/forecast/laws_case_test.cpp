// The cases of tests/cases/forecast_laws.json from C++; tests/python/laws_case_test.py runs the same file.
#include "support/catch.hpp"

#include <map>

#include "core/json.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/forecast.hpp"

using namespace libseal;

namespace {

const std::string folder = std::string(LIBSEAL_SOURCE_DIR) + "/tests/cases/";

std::string filled(std::string text, const std::map<std::string, std::string>& words) {
    for (const auto& [word, value] : words)
        for (std::size_t at; (at = text.find("@" + word + "@")) != std::string::npos;) text.replace(at, word.size() + 2, value);
    return text;
}

std::map<std::string, std::string> words_of(const detail::JsonView& view) {
    std::map<std::string, std::string> words;
    if (view.present())
        for (const auto& [key, value] : view.members()) words[key] = value.text();
    return words;
}

/// The file with its base forecast.
class Laws {
public:
    Laws() : document_(read_text_file(folder + "forecast_laws.json"), "forecast_laws.json"),
             root_(detail::JsonView::root(document_, problems_)),
             coach_(read_text_file(folder + "forecast_laws_coach.json.in")),
             weather_(typical_year(find_station(root_.member("station").text()))),
             years_(root_.member("years").number(1, 50, 1)) {}

    std::vector<detail::JsonView> cases() { return root_.member("cases").items(); }
    Forecast base() { return run(words_of(root_.member("base")), weather_, root_.member("as_of").date({})); }
    Forecast changed(const detail::JsonView& law) {
        auto words = words_of(root_.member("base"));
        for (const auto& [word, value] : words_of(law.member("change"))) words[word] = value;
        Weather weather = weather_;
        if (const auto scale = law.member("scale"); scale.present())
            for (const auto& [name, value] : scale.members()) weather_column(weather, name) *= value.number(0, 10, 1);
        if (const auto add = law.member("add"); add.present())
            for (const auto& [name, value] : add.members()) weather_column(weather, name) += value.number(-50, 50, 0);
        if (const auto zone = law.member("utc_offset_add"); zone.present()) weather.site.utc_offset += zone.number(-12, 12, 0);
        return run(words, weather, law.member("as_of").date(root_.member("as_of").date({})));
    }

private:
    Forecast run(const std::map<std::string, std::string>& words, const Weather& weather, Date as_of) {
        ForecastOptions options;
        options.weather[""] = weather;
        return forecast(read_coach_text(filled(coach_, words), "laws"), as_of, years_, options);
    }

    detail::JsonDocument document_;
    detail::Problems problems_;
    detail::JsonView root_;
    std::string coach_;
    Weather weather_;
    double years_;
};

}  // namespace

TEST_CASE("laws of the forecast hold for every family, layer and state", "[law]") {
    Laws laws;
    const Forecast base = laws.base();
    REQUIRE(base.size() > 40);
    for (const auto& law : laws.cases()) {
        const std::string name = law.member("name").text(), due = law.member("due").text();
        const int slack = static_cast<int>(law.member("days").integer(0, 30, 0));
        const Forecast other = laws.changed(law);
        REQUIRE(other.size() == base.size());
        for (Eigen::Index i = 0; i < base.size(); ++i) {
            INFO(name << ": " << base.joint[static_cast<std::size_t>(i)] << " " << base.layer[static_cast<std::size_t>(i)]);
            for (const auto column : {&Forecast::due_10, &Forecast::due_50, &Forecast::due_90}) {
                const int move = (other.*column)[i] - (base.*column)[i];
                if (due == "not_later") CHECK(move <= slack);
                else if (due == "not_earlier") CHECK(move >= -slack);
                else CHECK(std::abs(move) <= slack);
            }
        }
    }
}

TEST_CASE("survival starts at one and never rises, for every family and layer", "[law]") {
    Laws laws;
    const Forecast base = laws.base();
    const std::string coach = read_text_file(folder + "forecast_laws_coach.json.in");
    const Forecast fresh = forecast(read_coach_text(filled(coach, {{"installed", "2026-11-25"}, {"roof", "white_membrane"},
        {"wall", "white_gelcoat"}, {"screws", "150 mm"}, {"stays", R"({"from": "2015-01-01", "to": "9999-12-31", "station": "725350"})"}}), "laws"),
        base.as_of, 20);
    const ForecastCurves curves = fresh.monthly({});
    for (Eigen::Index i = 0; i < fresh.size(); ++i) {
        INFO(fresh.joint[static_cast<std::size_t>(i)] << " " << fresh.layer[static_cast<std::size_t>(i)]);
        CHECK(curves.due(i, 0) < 1e-9);
        CHECK(curves.condition(i, 0) < 0.01);
        for (Eigen::Index m = 1; m < curves.due.cols(); ++m) {
            CHECK(curves.due(i, m) >= curves.due(i, m - 1));
            CHECK(curves.condition(i, m) >= curves.condition(i, m - 1));
            CHECK(curves.open(i, m) >= curves.open(i, m - 1));
        }
        CHECK(curves.due(i, curves.due.cols() - 1) > 0.3);
    }
}
