#include "support/catch.hpp"

#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "libseal/core/csv.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/forecast/calibration.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

/// The usual table, computed once for all tests.
const CalibrationTable& usual() {
    static const CalibrationTable table = calibration_table();
    return table;
}

CalibrationTable table_with(const std::string& values, std::vector<std::string> places = {"south bend"}) {
    CalibrationOptions options;
    options.catalogue = options.catalogue.with_overlay("{\"schema\": \"libseal/catalogue/1\", \"values\": {" + values + "}}", "test");
    options.places = std::move(places);
    return calibration_table(options);
}

std::string entry(const std::string& id, const std::string& values) {
    return "\"" + id + "\": {" + values + ", \"source\": \"made up for this test\", \"mark\": \"judgement\"}";
}

struct Check {
    std::string subject;
    double value;
    bool inside;
    std::string verdict;
};

/// Rows of a rule whose subject holds all the words.
std::vector<Check> checks_of(const CalibrationTable& table, const std::string& rule, const std::vector<std::string>& words = {}) {
    std::vector<Check> rows;
    for (std::size_t i = 0; i < table.checks.rule.size(); ++i) {
        bool wanted = table.checks.rule[i] == rule;
        for (const auto& word : words) wanted = wanted && table.checks.subject[i].find(word) != std::string::npos;
        if (wanted)
            rows.push_back({table.checks.subject[i], table.checks.value[static_cast<Eigen::Index>(i)],
                            table.checks.verdict[i] == "inside", table.checks.verdict[i]});
    }
    REQUIRE_FALSE(rows.empty());
    return rows;
}

double ratio(const std::string& family, const std::string& place, const std::string& surface) {
    return usual().lives.ratio[usual().lives.row(family, "cap_bead", place, surface)];
}

double median(const std::string& family, const std::string& layer, const std::string& place, const std::string& surface) {
    return usual().lives.median[usual().lives.row(family, layer, place, surface)];
}

const std::vector<std::string> lit = {"self_levelling_lap", "non_sag_lap", "polyurethane", "silyl_modified", "polysulfide", "seam_tape"};

}  // namespace

TEST_CASE("every row of the calibration table is inside its range or says why not", "[forecast]") {
    for (const auto& row : unexplained(usual())) FAIL_CHECK(row);
    CalibrationOptions building;
    building.catalogue = Catalogue::preset("building");
    for (const auto& row : unexplained(calibration_table(building))) FAIL_CHECK("building: " + row);
    CHECK(usual().lives.size() == 14 * 7 * 5);
    CHECK(usual().checks.size() > 300);
    const std::set<std::string> rules(usual().checks.rule.begin(), usual().checks.rule.end());
    CHECK(rules == std::set<std::string>{"place_order", "ultraviolet_roof_to_south_wall", "clock_roof_to_south_wall", "cover_lengthens",
                                         "dark_finish_shortens", "corner_goes_first", "silicone_lasts_longest", "median_in_trade_range",
                                         "law_gives_the_life", "first_visible_ageing", "building_survey"});
}

TEST_CASE("what sunlight drives ages faster in the desert than in the subtropics, at the lakes and in the north-west", "[forecast]") {
    // Wanted ordering of the project, consistent with the place factors of coatings; common practice, no source.
    for (const auto& family : lit) {
        INFO(family);
        const auto rows = checks_of(usual(), "place_order", {family});
        CHECK(rows.size() == 6);
        for (const auto& row : rows) {
            INFO(row.subject);
            CHECK(row.inside);
        }
    }
    for (const auto& row : checks_of(usual(), "place_order", {"first visible ageing"})) CHECK(row.inside);
    // Silicone is led by damp: known to break the order between the desert and the damp subtropics, and only there.
    for (const auto& row : checks_of(usual(), "place_order", {"neutral_cure_silicone"})) {
        INFO(row.subject);
        CHECK(row.inside == (row.subject.find("Phoenix") == std::string::npos));
    }
}

TEST_CASE("a roof receives about twice the ultraviolet of a south wall", "[published]") {
    // Utrillas et al. 2012: yearly erythemal dose on the horizontal about twice that on the best wall, read as 1.7 to 2.3.
    // Theirs is erythemal near 39.5 degrees north; all ultraviolet, whose longer waves come more from a low sun, is lower.
    int counted = 0;
    for (const auto& row : checks_of(usual(), "ultraviolet_roof_to_south_wall")) {
        INFO(row.subject);
        if (row.subject == "Fairbanks Intl") {
            CHECK(row.value > 1.3);  // 65 degrees north: outside the check
            continue;
        }
        CHECK(row.value > 1.7 - 0.03);
        CHECK(row.value < 2.3);
        if (row.inside) ++counted;
    }
    CHECK(counted >= 4);
    libseal_test::count_published("Utrillas et al. 2012", counted);
}

TEST_CASE("dose ratios agree with those of measured hourly years", "[reference]") {
    // Computed for this project over hourly TMY3 years with another program; a made typical year and another diffuse share
    // in the ultraviolet: 5 %.
    const std::map<std::string, double> expected = {
        {"Phoenix, AZ", 1.97}, {"South Bend", 1.87}, {"Seattle-Tacoma", 1.76}, {"Miami Intl", 2.12}, {"Fairbanks Intl", 1.49}};
    for (const auto& [place, value] : expected) {
        INFO(place);
        CHECK(checks_of(usual(), "ultraviolet_roof_to_south_wall", {place}).front().value == Approx(value).epsilon(0.05));
    }
}

TEST_CASE("place ratios and lives agree with those of measured hourly years", "[reference]") {
    // As above, with the same values of the clock. Yearly damage of typical years lies within some 5 % of the files'.
    const auto near = [](double value) { return Approx(value).epsilon(0.05); };
    CHECK(ratio("self_levelling_lap", "Phoenix, AZ", "roof_light") == near(2.22));
    CHECK(ratio("self_levelling_lap", "Phoenix, AZ", "covered") == near(2.14));
    CHECK(ratio("self_levelling_lap", "Phoenix, AZ", "roof_dark") == near(2.63));
    CHECK(ratio("neutral_cure_silicone", "Phoenix, AZ", "mean_of_walls") == near(1.60));
    CHECK(ratio("neutral_cure_silicone", "Phoenix, AZ", "covered") == near(1.58));
    CHECK(median("self_levelling_lap", "cap_bead", "Phoenix, AZ", "roof_light") == near(1.80));
    CHECK(median("neutral_cure_silicone", "cap_bead", "Phoenix, AZ", "mean_of_walls") == near(7.5));
    CHECK(median("neutral_cure_silicone", "cap_bead", "Miami Intl", "mean_of_walls") == near(6.2));
    CHECK(median("neutral_cure_silicone", "cap_bead", "Miami Intl", "south_wall") == near(6.1));
    CHECK(median("epdm_gasket", "gasket", "Phoenix, AZ", "roof_light") == near(2.1));
    CHECK(median("pvc_insert", "insert", "Phoenix, AZ", "roof_light") == near(1.0));
    CHECK(median("putty_tape", "bedding", "Phoenix, AZ", "roof_light") == Approx(3.1).epsilon(0.12));
    // Under a cap the heat is half-way between surface and air: surfaces of typical years are a little cooler in the mean.
    CHECK(median("butyl_tape", "bedding", "South Bend", "roof_light") == Approx(15).epsilon(0.08));
}

TEST_CASE("cover, finish and corner act the way they must", "[forecast]") {
    for (const auto& row : checks_of(usual(), "cover_lengthens")) {
        INFO(row.subject);
        CHECK(row.value > 1);
        CHECK(row.value < 2.8);
        if (!row.inside) CHECK((row.subject.find("polyurethane") == 0 || row.subject.find("polysulfide") == 0));
    }
    for (const auto& row : checks_of(usual(), "dark_finish_shortens")) CHECK(row.inside);
    for (const auto& row : checks_of(usual(), "corner_goes_first", {"skylight_flange"})) CHECK(row.inside);
    for (const auto& row : checks_of(usual(), "corner_goes_first", {"front_cap_to_roof, strain"})) CHECK(row.inside);
    for (const auto& row : checks_of(usual(), "corner_goes_first", {"front_cap_to_roof, ageing"})) CHECK(row.value == 1);
    for (const auto& row : checks_of(usual(), "clock_roof_to_south_wall")) {
        INFO(row.subject);
        for (const auto& family : lit)
            if (row.subject.starts_with(family)) CHECK(row.inside);
    }
    for (const auto& row : checks_of(usual(), "silicone_lasts_longest"))
        CHECK(row.inside == (row.subject.find("covered") == std::string::npos || row.value > 1));
}

TEST_CASE("at the reference lives lie in the trade's ranges and ageing shows at about three years", "[forecast]") {
    // Trade planning ranges: judgement of this project beside the figures found; three years: common practice, no source.
    CHECK(checks_of(usual(), "median_in_trade_range").size() == 14);
    for (const char* rule : {"median_in_trade_range", "law_gives_the_life", "first_visible_ageing"})
        for (const auto& row : checks_of(usual(), rule)) {
            INFO(rule << " " << row.subject);
            CHECK(row.inside);
        }
    CHECK(median("self_levelling_lap", "cap_bead", "South Bend", "roof_light") == Approx(4));
    // The set law of EPDM with its limit gives the life that the forecast uses, and so does the loss of plasticiser.
    for (const auto& row : checks_of(usual(), "law_gives_the_life", {"epdm"})) CHECK(row.value == Approx(8).epsilon(0.02));
    for (const auto& row : checks_of(usual(), "law_gives_the_life", {"pvc"})) CHECK(row.value == Approx(4).epsilon(0.02));
}

TEST_CASE("the life of a building joint of unknown family has the figures of the surveys", "[published]") {
    const Catalogue building = Catalogue::preset("building");
    const double life = building.number("sealant/unknown/median_life");
    const LifeBelief marginal(life_prior(life_spread(building)), life, 1);
    // UK survey 1990 (RILEM TC 190-SBJ): 55 % failed within 10 years, 5 % lasted over 20.
    CHECK(marginal.due({10}) == Approx(0.55).margin(0.005));
    CHECK(marginal.due({20}) == Approx(0.95).margin(0.005));
    libseal_test::count_published("UK sealant survey 1990 (RILEM TC 190-SBJ)", 2);
    // NIST 2011: about half fail in under 10 years.
    CHECK(marginal.due({10}) >= 0.5);
    libseal_test::count_published("NIST 2011", 1);
    // Japanese government durability programme 1980-84: after early failures the rate is least before wear-out from year 7.
    const auto quiet = checks_of(usual(), "building_survey", {"least failures"});
    CHECK(quiet.front().value > 3);
    CHECK(quiet.front().value < 7);
    const auto yearly = [&](double t) { return (marginal.due({t + 1}) - marginal.due({t})) / (1 - marginal.due({t})); };
    CHECK(yearly(7) > 1.5 * yearly(3));
    CHECK(yearly(10) > yearly(7));
    libseal_test::count_published("Japanese durability programme 1980-84", 1);
    // The table says the same of itself.
    CHECK(checks_of(usual(), "building_survey", {"unknown family, failed within 10"}).front().value == Approx(marginal.due({10})));
}

TEST_CASE("values that break a rule are told, not passed over", "[forecast]") {
    const auto holds = [](const CalibrationTable& table, const std::string& words) {
        for (const auto& row : unexplained(table))
            if (row.find(words) != std::string::npos) return true;
        return false;
    };
    CHECK(holds(table_with(entry("sealant/silyl_modified/median_life", "\"value\": 20, \"high\": 30")), "median_in_trade_range, silyl"));
    CHECK(holds(table_with(entry("sealant/silyl_modified/median_life", "\"value\": 20, \"high\": 30")), "silicone_lasts_longest"));
    CHECK(holds(table_with(entry("sealant/non_sag_lap/appearance_life", "\"value\": 4.5")), "first_visible_ageing, non_sag_lap"));
    CHECK(holds(table_with(entry("sealant/pvc_insert/shrink_rate", "\"value\": 0.05")), "law_gives_the_life, pvc_insert"));
    CHECK(holds(table_with(entry("calibration/ultraviolet_roof_to_south_wall", "\"value\": 2.2, \"low\": 2.1")),
                "ultraviolet_roof_to_south_wall, south bend"));
    const std::string dry = entry("sealant/polyurethane/weight_light", "\"value\": 0, \"low\": 0") + ", " +
                            entry("sealant/polyurethane/weight_heat", "\"value\": 0, \"low\": 0") + ", " +
                            entry("sealant/polyurethane/weight_moisture", "\"value\": 1, \"high\": 1");
    CHECK(holds(table_with(dry), "clock_roof_to_south_wall, polyurethane"));
}

TEST_CASE("a calibration table does not hang on the number of threads", "[law]") {
    CalibrationOptions options;
    options.places = {"phoenix, az", "seattle-tacoma"};
    options.threads = 1;
    const CalibrationTable one = calibration_table(options);
    options.threads = 3;
    const CalibrationTable three = calibration_table(options);
    CHECK((one.lives.rate == three.lives.rate).all());
    CHECK((one.checks.value == three.checks.value).all());
    CHECK(calibration_text(one) == calibration_text(three));
    CHECK(one.lives.row("polyurethane", "cap_bead", "phoenix, az", "roof_light") >= 0);
    CHECK(one.lives.row("polyurethane", "cap_bead", "nowhere", "roof_light") == -1);
}

TEST_CASE("the table can be read back from its comma-separated text", "[forecast]") {
    const std::string lives = calibration_csv(usual()), checks = calibration_checks_csv(usual());
    for (const auto& [text, rows, columns] : {std::tuple{&lives, usual().lives.size(), 12}, {&checks, usual().checks.size(), 8}}) {
        CsvReader reader(*text);
        std::vector<CsvField> record;
        Eigen::Index count = -1;  // the header
        while (reader.next(record)) {
            CHECK(record.size() == static_cast<std::size_t>(columns));
            ++count;
        }
        CHECK(count == rows);
    }
    const std::string text = calibration_text(usual());
    for (const auto& rule : usual().checks.rule) CHECK(text.find("\n" + rule + ": ") != std::string::npos);
    CHECK(text.find(usual().reference) != std::string::npos);
}

TEST_CASE("a place that no station is called is an error", "[bad_input]") {
    CalibrationOptions options;
    options.places = {"Atlantis"};
    CHECK_THROWS_AS(calibration_table(options), ValueError);
}
