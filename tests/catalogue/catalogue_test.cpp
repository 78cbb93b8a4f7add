#include "support/catch.hpp"

#include <cmath>
#include <string>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

Problem only_problem(const std::string& text) {
    try {
        Catalogue::built_in().with_overlay(text, "shop.json");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 1);
        return error.problems()[0];
    }
    FAIL("expected a ValueError");
    return {};
}

std::string overlay(const std::string& entry) {
    return "{\"schema\": \"libseal/catalogue/1\",\n \"values\": {\n  " + entry + "\n}}";
}

template <class Call>
std::string message_of(Call call) {
    try {
        call();
    } catch (const ValueError& error) {
        return error.what();
    }
    return "no error";
}

}  // namespace

TEST_CASE("each default of the library says its unit, its range, where it is from and how sure it is", "[catalogue]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto ids = catalogue.ids();
    REQUIRE(ids.size() > 1500);
    for (const auto& id : ids) {
        INFO(id);
        const SourcedValue& value = catalogue.at(id);
        CHECK_FALSE(value.unit.empty());
        CHECK(value.source.size() > 8);
        // Short codes such as S17 or [CP] would mean nothing to a reader.
        CHECK(value.source.find('[') == std::string::npos);
        for (std::size_t i = 0; i + 2 < value.source.size(); ++i)
            if ((i == 0 || value.source[i - 1] == ' ') && value.source[i] == 'S' && std::isdigit(value.source[i + 1]))
                FAIL_CHECK("a short code in the source: " + value.source);
        if (value.mark == Mark::common_practice) CHECK(value.source.find("common practice") != std::string::npos);
        if (value.mark == Mark::from_memory) CHECK(value.source.find("memory") != std::string::npos);
        if (value.mark == Mark::judgement && value.source.find("judgement of this project") == std::string::npos)
            CHECK(value.source.size() > 20);  // then the source says what the judgement leans on
        if (value.unit == "word") {
            CHECK_FALSE(value.text.empty());
            CHECK(std::isnan(value.low));
        } else {
            CHECK(value.text.empty());
            CHECK(std::isfinite(value.low));
            CHECK(value.low <= value.value);
            CHECK(value.value <= value.high);
        }
    }
}

TEST_CASE("every family, joint type, finish and substrate can be read whole", "[catalogue]") {
    const Catalogue catalogue = Catalogue::built_in();
    CHECK(sealant_names(catalogue).size() >= 13);  // none got lost
    CHECK(joint_type_names(catalogue).size() == 44);
    CHECK(catalogue.names("substrate").size() == 14);
    CHECK(catalogue.names("action").size() == 11);
    for (const auto& name : catalogue.names("sealant")) {
        INFO(name);
        const Sealant s = sealant(catalogue, name);
        CHECK(s.median_life > 0);
        CHECK(s.energy_light > 0);
        CHECK(s.cured_share > 0);
        CHECK(s.cured_share <= 1);
        CHECK(s.lowest_temperature < s.highest_temperature);
        CHECK(s.skin_hours <= s.first_water_hours);
        CHECK((s.cure_rate > 0) == (s.package_ml > 0));
    }
    for (const auto& name : joint_type_names(catalogue)) {
        INFO(name);
        const JointType type = joint_type(catalogue, name);
        CHECK(type.consequence >= 1);
        CHECK(type.consequence <= 4);
        CHECK(type.never_seal == !type.never_seal_reason.empty());
        CHECK(type.never_seal == (type.open_edge == "all"));
        CHECK((type.cap.empty() || !type.never_seal));
        CHECK(type.cap.empty() == type.profile.empty());
        for (const auto& family : {type.bedding, type.cap})
            if (!family.empty()) CHECK_NOTHROW(sealant(catalogue, family));
        for (const auto& caution : type.cautions) CHECK(catalogue.has("caution/" + caution + "/text"));
        if (const std::string id = "joint_type/" + name + "/rebed_item"; catalogue.has(id))
            CHECK(catalogue.has("labour/rebed_" + catalogue.word(id)));
    }
    for (const auto& name : catalogue.names("finish")) {
        const Finish f = finish(catalogue, name);
        CHECK(f.absorptance > 0);
        CHECK(f.absorptance < 1);
        CHECK(f.emittance > 0);
        CHECK(f.emittance < 1);
    }
    CHECK_FALSE(catalogue.word("caution/closing/text").empty());
}

TEST_CASE("each new family has an answer for each substrate and for each old family", "[catalogue]") {
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& family : sealant_names(catalogue)) {
        for (const auto& substrate : catalogue.names("substrate")) CHECK_NOTHROW(compatibility(catalogue, family, substrate));
        for (const auto& old : catalogue.names("sealant")) CHECK_NOTHROW(compatibility_over(catalogue, family, old));
    }
    // Sailing trade magazine and marine sealant guide; coach trade newsletter; acetic corrosion: see the catalogue.
    CHECK(compatibility(catalogue, "polyurethane", "polycarbonate") == "never");
    CHECK(compatibility(catalogue, "putty_tape", "epdm_membrane") == "never");
    CHECK(compatibility(catalogue, "acetoxy_cure_silicone", "mill_aluminium") == "never");
    CHECK(compatibility(catalogue, "butyl_tape", "epdm_membrane") == "ok");
    CHECK(compatibility_over(catalogue, "silyl_modified", "neutral_cure_silicone") == "never");
    CHECK(compatibility_over(catalogue, "non_sag_lap", "unknown") == "strip");
    CHECK_THROWS_AS(compatibility(catalogue, "unknown", "glass"), ValueError);
    CHECK_THROWS_AS(compatibility(catalogue, "polyurethane", "glas"), ValueError);
}

TEST_CASE("the conditional Weibull and the shared spread together give the survey of 1990", "[published]") {
    // 55 % of building joints failed within 10 years, 95 % within 20 (UK survey 1990, quoted by RILEM TC 190-SBJ).
    // The coach preset's spread is held against the survey's shape: the median is set to the survey's, 9.29 yr.
    const LifeSpread spread = life_spread(Catalogue::built_in());
    const double median = 9.29, scale = median / 0.8539;
    const auto failed = [&](double t) {
        double sum = 0, weight = 0;
        for (int i = -400; i <= 400; ++i) {
            const double z = i * 0.02, w = std::exp(-0.5 * z * z);
            sum += w * -std::expm1(-std::pow(t * std::exp(spread.log_sd * z) / scale, spread.shape));
            weight += w;
        }
        return sum / weight;
    };
    CHECK(failed(10) == Approx(0.55).margin(0.01));  // the survey is quoted to whole percents; "about" in the quotation
    CHECK(failed(20) == Approx(0.95).margin(0.005));
    libseal_test::count_published("RILEM TC 190-SBJ, UK survey 1990", 2);
}

TEST_CASE("set of the elastomer gasket follows the published lives", "[published]") {
    // Xie, Chen & Zhang 2024: 30.6, 53.1, 89.1 years at 25 degC to 40, 45, 50 % set. The exponent is theirs; the rate
    // is 6 % higher by judgement, so the published rate .1923 is used here.
    const double exponent = Catalogue::built_in().number("sealant/epdm_gasket/set_exponent");
    const auto set = [&](double years) { return -std::expm1(-0.1923 * std::pow(years, exponent)); };
    CHECK(set(30.6) == Approx(0.40).margin(0.0005));
    CHECK(set(53.1) == Approx(0.45).margin(0.0005));
    CHECK(set(89.1) == Approx(0.50).margin(0.0005));
    libseal_test::count_published("Xie, Chen & Zhang 2024", 3);
}

TEST_CASE("a shop's own value lies over the default and says where it is from", "[catalogue]") {
    const Catalogue shop = Catalogue::built_in().with_overlay(
        overlay("\"labour/wash\": {\"value\": 2.2, \"source\": \"own clock 2025\", \"mark\": \"measured\"}"), "shop.json");
    CHECK(shop.number("labour/wash") == 2.2);
    CHECK(shop.at("labour/wash").unit == "min/m");
    CHECK(shop.at("labour/wash").mark == Mark::measured);
    CHECK(shop.number("labour/mask") == Catalogue::built_in().number("labour/mask"));
    CHECK(Catalogue::built_in().number("labour/wash") == 1.5);
    CHECK(read_catalogue("").ids().size() == shop.ids().size());
}

TEST_CASE("what is wrong in an overlay is named with its place", "[bad_input]") {
    const Problem unknown = only_problem(overlay("\"labour/wahs\": {\"value\": 2, \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(unknown.line == 3);
    CHECK(unknown.hint == "did you mean \"labour/wash\"?");
    const Problem high = only_problem(overlay("\"labour/wash\":\n {\"value\": 99, \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(high.line == 4);
    CHECK(high.field == "values.labour/wash.value");
    CHECK(high.expected == "a value from 1 to 3 min/m");
    const Problem unmarked = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"source\": \"clock\"}"));
    CHECK(unmarked.field == "values.labour/wash.mark");
    const Problem unsourced = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"mark\": \"measured\"}"));
    CHECK(unsourced.field == "values.labour/wash.source");
    const Problem unit = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"unit\": \"h/m\", \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(unit.expected == "the unit \"min/m\"");
    const Problem word = only_problem(overlay("\"labour/wash\": {\"value\": \"2\", \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(word.expected == "a number in min/m");
    const Problem mark = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"source\": \"clock\", \"mark\": \"messured\"}"));
    CHECK(mark.hint == "did you mean \"measured\"?");
    const Problem key = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"sorce\": 1, \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(key.hint == "did you mean \"source\"?");
    const Problem range = only_problem(overlay("\"labour/wash\": {\"value\": 2, \"low\": 5, \"source\": \"clock\", \"mark\": \"measured\"}"));
    CHECK(range.expected == "low <= high");
    const Problem never = only_problem(overlay("\"joint_type/slide_bulb_seal/never_seal\": {\"value\": \"no\", \"source\": \"us\", \"mark\": \"judgement\"}"));
    CHECK(never.hint == "never-seal places are a hard constraint");
    const Problem list = only_problem("{\"schema\": \"libseal/catalogue/1\",\n \"values\": [1]}");
    CHECK(list.field == "values");
    CHECK(list.expected == "an object");
    CHECK(list.line == 2);
    const Problem schema = only_problem("{\"schema\": \"libseal/catalog/1\", \"values\": {}}");
    CHECK(schema.field == "schema");
}

TEST_CASE("unknown names come with the nearest known one", "[bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    CHECK(message_of([&] { sealant(catalogue, "polyurethan"); }).find("did you mean \"polyurethane\"?") != std::string::npos);
    CHECK(message_of([&] { joint_type(catalogue, "window_fram"); }).find("did you mean \"window_frame\"?") != std::string::npos);
    CHECK(message_of([&] { finish(catalogue, "white_gelcot"); }).find("did you mean \"white_gelcoat\"?") != std::string::npos);
    CHECK_THROWS_AS(sealant(catalogue, ""), ValueError);
    CHECK_THROWS_AS(catalogue.at("model/shap"), ValueError);
    CHECK_THROWS_AS(catalogue.number("sealant/putty_tape/home"), ValueError);
    CHECK_THROWS_AS(catalogue.word("model/shape"), ValueError);
    CHECK_THROWS_AS(read_catalogue("no/such/file.json"), FileError);
}

namespace {

/// Counts how often it is made.
struct Counted {
    explicit Counted(const Catalogue& catalogue) : ids(catalogue.ids().size()) { ++made; }
    std::size_t ids;
    static inline int made = 0;
};

}  // namespace

TEST_CASE("a table worked out of a catalogue is made once for all its copies", "[catalogue]") {
    const Catalogue own = Catalogue::built_in().with_overlay(
        overlay("\"sealant/polyurethane/median_life\": {\"value\": 9, \"low\": 1, \"high\": 30, \"source\": \"own records\", \"mark\": \"judgement\"}"), "shop.json");
    const Catalogue copy = own;
    const int before = Counted::made;
    CHECK(&own.derived<Counted>() == &copy.derived<Counted>());
    CHECK(Counted::made == before + 1);
    CHECK(own.derived<Counted>().ids == own.ids().size());
    CHECK(&own.derived<Counted>() != &Catalogue::built_in().derived<Counted>());
}

TEST_CASE("families and joint types are those of the catalogue that is asked", "[catalogue]") {
    const Catalogue usual = Catalogue::built_in();
    const Catalogue own = usual.with_overlay(
        overlay("\"sealant/polyurethane/median_life\": {\"value\": 9, \"low\": 1, \"high\": 30, \"source\": \"own records\", \"mark\": \"judgement\"},\n"
                "\"joint_type/window_frame/bead_thickness\": {\"value\": 7, \"low\": 1, \"high\": 30, \"source\": \"own records\", \"mark\": \"judgement\"},\n"
                "\"compatibility/new/polyurethane/epdm_membrane\": {\"value\": \"test\", \"source\": \"own records\", \"mark\": \"judgement\"}"),
        "shop.json");
    CHECK(sealant(own, "polyurethane").median_life == 9);
    CHECK(sealant(usual, "polyurethane").median_life == usual.number("sealant/polyurethane/median_life"));
    CHECK(joint_type(own, "window_frame").bead_thickness == Approx(0.007));
    CHECK(joint_type(usual, "window_frame").bead_thickness == Approx(usual.number("joint_type/window_frame/bead_thickness") / 1000));
    CHECK(compatibility(own, "polyurethane", "epdm_membrane") == "test");
    CHECK(compatibility(usual, "polyurethane", "epdm_membrane") == "never");
    CHECK(message_of([&] { compatibility(own, "polyuretane", "epdm_membrane"); }).find("polyurethane") != std::string::npos);
    CHECK(message_of([&] { compatibility_over(own, "polyurethane", "no_family"); }).find("old family") != std::string::npos);
}

TEST_CASE("a value that no joint type can have is told where it is asked for, not before", "[catalogue][bad_input]") {
    const Catalogue own = Catalogue::built_in().with_overlay(
        overlay("\"joint_type/window_frame/open_edge\": {\"value\": \"left\", \"source\": \"own records\", \"mark\": \"judgement\"}"), "shop.json");
    CHECK(joint_type(own, "entrance_door_frame").name == "entrance_door_frame");
    CHECK(message_of([&] { joint_type(own, "window_frame"); }).find("joint_type/window_frame/open_edge") != std::string::npos);
}
