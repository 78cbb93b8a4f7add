// What water seen at a joint, loose screws and pumped-out bedding teach the forecast. Consistency of the model, not of the world.
#include <algorithm>
#include <cmath>
#include <random>

#include "libseal/coach/layouts.hpp"
#include "libseal/forecast/forecast.hpp"
#include "support/catch.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 5, 4);

Coach trailer(Date fitted = make_date(2014, 5, 1)) {
    return libseal_test::standing(libseal_test::trailer_of(8.0, fitted), libseal_test::stay_since(make_date(2010, 1, 1)));
}

Finding at(const std::string& joint, const std::string& sign, const std::string& size = "", Date day = as_of - 3, const std::string& segment = "") {
    Finding f;
    f.coach = "t1";
    f.joint = joint;
    f.sign = sign;
    f.size = size;
    f.date = day;
    f.segment = segment;
    return f;
}

Forecast with(const std::vector<Finding>& findings, const Coach& coach = trailer(), const std::vector<WorkDone>& work = {}) {
    ForecastOptions options;
    options.findings = findings;
    options.work_done = work;
    return forecast(coach, as_of, 5, options);
}

double open_now(const Forecast& f, const std::string& joint) { return f.open_now[f.row("t1", joint, "bedding")]; }
double strain(const Forecast& f) { return f.utilisation[f.row("t1", "roof_vent_1", "cap_bead")]; }

}  // namespace

TEST_CASE("water seen at a joint raises the chance that it is open, water looked for in vain lowers it", "[law]") {
    const double before = open_now(with({}), "window_1");
    REQUIRE(before > 0.001);
    for (const char* sign : {"rust_run", "stain", "soft_substrate", "delaminated", "fogged_lens"}) {
        INFO(sign);
        const double after = open_now(with({at("window_1", sign)}), "window_1");
        const double none = open_now(with({at("window_1", sign, "none")}), "window_1");
        CHECK(after > before);
        CHECK(none < before);
        // Bayes, by the odds that the catalogue gives: the water is seen a few days before the answer.
        const Catalogue catalogue = Catalogue::built_in();
        const std::string id = std::string("meaning/water/") + sign + "/seen_if_";
        const double ratio = catalogue.number(id + "open") / catalogue.number(id + "closed");
        CHECK(after / (1 - after) == Approx(ratio * before / (1 - before)).epsilon(0.05));
    }
}

TEST_CASE("a water sign is told once: again, in other segments, or in any order, it says no more", "[law]") {
    const auto one = with({at("window_1", "rust_run")});
    CHECK(open_now(with({at("window_1", "rust_run", "", as_of - 3, "top"), at("window_1", "rust_run", "", as_of - 3, "bottom")}), "window_1") ==
          open_now(one, "window_1"));
    CHECK(open_now(with({at("window_1", "rust_run"), at("window_1", "rust_run", "", as_of - 1)}), "window_1") == open_now(one, "window_1"));
    std::vector<Finding> many{at("window_1", "rust_run"), at("window_1", "stain", "", as_of - 40), at("window_1", "skin_cracks", "slight"),
                              at("window_2", "fastener_loose", "clear"), at("window_2", "bedding_squeezed_out", "clear", as_of - 90),
                              at("window_1", "rust_run", "none", as_of - 400)};
    const Forecast first = with(many);
    std::mt19937 order(7);
    for (int k = 0; k < 5; ++k) {
        std::shuffle(many.begin(), many.end(), order);
        const Forecast again = with(many);
        CHECK((again.open_now == first.open_now).all());
        CHECK((again.due_50 == first.due_50).all());
    }
}

TEST_CASE("water counts as evidence of its own, not as a grade of the bead as well", "[law]") {
    // A rust run alone is no look at the bead: the bead's own condition moves only through what is shared, and only for the worse.
    const Coach young = trailer(make_date(2023, 5, 1));
    const Forecast before = with({}, young), after = with({at("window_1", "rust_run", "severe")}, young);
    const Forecast graded = with({at("window_1", "gap", "clear")}, young);
    const auto row = before.row("t1", "window_1", "cap_bead");
    CHECK(after.condition[row] >= before.condition[row]);
    CHECK(after.condition[row] < graded.condition[row]);
    // The reading of moisture says its part once, whatever sign it stands beside.
    Finding wet = at("window_1", "clean_look"), dry = wet;
    wet.moisture = 30;
    wet.moisture_dry = 12;
    CHECK(open_now(with({wet}), "window_1") > open_now(with({dry}), "window_1"));
}

TEST_CASE("screws, latches and parts are no look at the bead", "[law]") {
    const Forecast before = with({});
    for (const char* sign : {"latch_or_handle_loose", "part_cracked", "part_missing", "sealed_shut", "cord_out_of_rail"}) {
        INFO(sign);
        const Forecast after = with({at("window_1", sign, "severe")});
        CHECK((after.condition == before.condition).all());
        CHECK((after.open_now == before.open_now).all());
    }
}

TEST_CASE("loose screws and bedding pumped out late make a joint move more, until they are seen to", "[law]") {
    const double usual = strain(with({}));
    const double loose = strain(with({at("roof_vent_1", "fastener_loose", "severe")}));
    CHECK(loose > usual);
    CHECK(strain(with({at("roof_vent_1", "fastener_loose", "none")})) == usual);
    const double pumped = strain(with({at("roof_vent_1", "bedding_squeezed_out", "clear")}));
    CHECK(pumped > usual);
    CHECK(pumped < loose);
    // Both at once: the worse of the two, not their product.
    CHECK(strain(with({at("roof_vent_1", "bedding_squeezed_out", "clear"), at("roof_vent_1", "fastener_loose", "severe")})) == Approx(loose).epsilon(1e-6));
    // Fresh squeeze-out is that of fitting.
    const Coach fresh = trailer(as_of - 200);
    const double as_fitted = strain(with({}, fresh));  // up to rounding: a joint that was looked at has its sums in another order
    CHECK(strain(with({at("roof_vent_1", "bedding_squeezed_out", "clear")}, fresh)) == Approx(as_fitted).epsilon(1e-12));
    WorkDone work;
    work.coach = "t1";
    work.joint = "roof_vent_1";
    work.layer = "cap_bead";
    work.action = "refasten_and_seal";
    work.family = "self_levelling_lap";
    work.date = as_of - 1;
    CHECK(strain(with({at("roof_vent_1", "fastener_loose", "severe")}, trailer(), {work})) == strain(with({}, trailer(), {work})));
}

TEST_CASE("corners loose on one frame speak for its sisters through what they share, once", "[law]") {
    const Coach young = trailer(make_date(2023, 5, 1));
    const Forecast before = with({}, young);
    std::vector<Finding> corners;
    for (const char* corner : {"corner_front_top", "corner_front_bottom", "corner_rear_top", "corner_rear_bottom"})
        corners.push_back(at("window_1", "corner_loose", "severe", as_of - 3, corner));
    const Forecast after = with(corners, young), single = with({corners[0]}, young);
    const auto sister = before.row("t1", "window_2", "cap_bead"), own = before.row("t1", "window_1", "cap_bead");
    CHECK(after.due_50[sister] < before.due_50[sister]);
    CHECK(before.due_50[own] - after.due_50[own] > before.due_50[sister] - after.due_50[sister]);
    // Four corners of one frame on one day are one look: the worst of them speaks.
    CHECK(after.due_50[sister] == single.due_50[sister]);
}

TEST_CASE("a finding on a part alone leaves the forecast of every joint as it is", "[law]") {
    Finding f = at("", "part_cracked", "severe");
    f.part = "skylight";
    const Forecast before = with({}), after = with({f});
    CHECK((after.due_50 == before.due_50).all());
    CHECK((after.open_now == before.open_now).all());
}
