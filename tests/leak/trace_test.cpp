#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>

#include "exact.hpp"
#include "generator.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;
using libseal_test::ExactLeak;
using libseal_test::forecast_of;
using libseal_test::LeakCase;
using libseal_test::LeakGenerator;

namespace {

std::vector<Coach> one_of_each_layout() {
    const auto with_year = [](const char* layout) {
        LayoutOptions options = layout_options(layout);
        options.model_year = 2018;
        return options;
    };
    return {travel_trailer(8.5, with_year("travel_trailer")), fifth_wheel(11, with_year("fifth_wheel")), motorhome(9.5, with_year("motorhome")),
            camper_van(6.5, with_year("camper_van")), truck_camper(4.2, with_year("truck_camper"))};
}

const LeakCandidate* candidate(const LeakTrace& trace, const std::string& joint) {
    for (const auto& one : trace.candidates)
        if (one.joint == joint) return &one;
    return nullptr;
}

TraceOptions all_of_them(const std::vector<LeakTest>& tests = {}) {
    TraceOptions options;
    options.tests = tests;
    options.most = 1000;
    return options;
}

/// The rule of thumb: of the joints above the mark, the nearest ones.
std::vector<std::string> nearest_above(const Drainage& drainage, int mark) {
    const Place at = drainage.places[static_cast<std::size_t>(mark)].place;
    std::map<std::string, double> away;
    for (const auto& place : drainage.places) {
        if (place.kind != "joint" || place.place.z < at.z - 0.01) continue;
        const double d = std::hypot(place.place.x - at.x, place.place.y - at.y, place.place.z - at.z);
        const auto [found, fresh] = away.emplace(place.joint, d);
        if (!fresh) found->second = std::min(found->second, d);
    }
    std::vector<std::string> joints;
    for (const auto& [id, d] : away) joints.push_back(id);
    std::stable_sort(joints.begin(), joints.end(), [&](const auto& a, const auto& b) { return away.at(a) < away.at(b); });
    return joints;
}

struct Score {
    int cases = 0;
    double first = 0, expected_first = 0, among_three = 0, expected_three = 0, rule_first = 0, rule_three = 0, noise_three = 0, noise_first = 0;
    std::vector<double> sum_p = std::vector<double>(10, 0.0), hits = sum_p, variance = sum_p;
    std::vector<int> count = std::vector<int>(10, 0);
};

bool any_in(const std::vector<std::string>& list, std::size_t most, const std::set<std::string>& causes) {
    for (std::size_t k = 0; k < std::min(most, list.size()); ++k)
        if (causes.contains(list[k])) return true;
    return false;
}

void score_case(const Coach& coach, const LeakTracer& tracer, const LeakGenerator& generator, const LeakCase& one, const Catalogue& catalogue,
                Score& score) {
    const LeakTrace trace = tracer.trace(one.stains, {}, forecast_of(coach, one.prior), all_of_them(one.tests));
    std::vector<std::string> ranked;
    std::set<std::size_t> three;
    for (const auto& c : trace.candidates) {
        ranked.push_back(c.joint);
        const auto bin = std::min<std::size_t>(9, static_cast<std::size_t>(c.probability * 10));
        score.sum_p[bin] += c.probability;
        score.hits[bin] += one.causes.contains(c.joint);
        score.variance[bin] += c.probability * (1 - c.probability);
        ++score.count[bin];
    }
    for (std::size_t k = 0; k < std::min<std::size_t>(3, ranked.size()); ++k)
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            if (coach.joints[j].id == ranked[k]) three.insert(j);
    // What the exact posterior allows, from the other way of working it out.
    const ExactLeak exact(coach, tracer.drainage(), catalogue, generator.runs(), one);
    const double p1 = trace.candidates.empty() ? 0 : trace.candidates[0].probability, p3 = exact.made(three);
    ++score.cases;
    score.first += any_in(ranked, 1, one.causes);
    score.among_three += any_in(ranked, 3, one.causes);
    score.expected_first += p1;
    score.expected_three += p3;
    score.noise_first += p1 * (1 - p1);
    score.noise_three += p3 * (1 - p3);
    int mark = -1;
    for (std::size_t k = 0; k < one.stains.size() && mark < 0; ++k)
        if (one.stains[k].wet) mark = one.places[k];
    const auto rule = nearest_above(tracer.drainage(), mark);
    score.rule_first += any_in(rule, 1, one.causes);
    score.rule_three += any_in(rule, 3, one.causes);
}

/// A sunny-day coach for single questions.
struct Simple {
    Coach coach = one_of_each_layout()[0];
    LeakTracer tracer{coach};
    std::vector<double> prior = std::vector<double>(coach.joints.size(), 0.02);

    void set(const std::string& joint, double p) {
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            if (coach.joints[j].id == joint) prior[j] = p;
    }
    Stain under(const std::string& part, double du = 0) const {
        for (const auto& p : coach.parts)
            if (p.id == part) {
                Stain stain;
                stain.surface = p.surface;
                stain.at = {(p.low.u + p.high.u) / 2 + du, (p.low.v + p.high.v) / 2};
                stain.appears = {"standing_rain"};
                return stain;
            }
        throw std::logic_error(part);
    }
    LeakTrace trace(const std::vector<Stain>& stains, const std::vector<LeakTest>& tests = {}) const {
        return tracer.trace(stains, {}, forecast_of(coach, prior), all_of_them(tests));
    }
    double made(const LeakTrace& trace_of, const std::string& joint) const {
        const auto* one = candidate(trace_of, joint);
        return one ? one->probability : 0.0;
    }
};

}  // namespace

TEST_CASE("a trace equals the sum over all subsets of marks, worked out apart", "[leak][reference]") {
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& coach : one_of_each_layout()) {
        const LeakTracer tracer(coach);
        LeakGenerator generator(coach, tracer.drainage(), catalogue, 20261125);
        for (int k = 0; k < 12; ++k) {
            const LeakCase one = generator.next();
            const LeakTrace trace = tracer.trace(one.stains, {}, forecast_of(coach, one.prior), all_of_them(one.tests));
            const ExactLeak exact(coach, tracer.drainage(), catalogue, generator.runs(), one);
            INFO(coach.kind << " case " << k);
            CHECK(trace.evidence == Approx(exact.evidence()).epsilon(1e-6));
            for (std::size_t j = 0; j < coach.joints.size(); ++j) {
                const auto* found = candidate(trace, coach.joints[j].id);
                CHECK((found ? found->probability : 0.0) == Approx(exact.made({j})).margin(1e-6).epsilon(0));
            }
        }
    }
}

TEST_CASE("simulated leaks on all layouts: probabilities are honest and the source is found as often as can be", "[leak][law]") {
    Score score;
    const char* wanted = std::getenv("LIBSEAL_LEAK_CASES");
    const int cases = wanted ? std::atoi(wanted) : 60;  // a layout
    std::uint64_t seed = 1;
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& coach : one_of_each_layout()) {
        const LeakTracer tracer(coach);
        LeakGenerator generator(coach, tracer.drainage(), catalogue, ++seed);
        for (int k = 0; k < cases; ++k) score_case(coach, tracer, generator, generator.next(), catalogue, score);
    }
    const double n = score.cases;
    std::cout << "simulated leaks: " << score.cases << " cases; first " << 100 * score.first / n << " % (exact posterior allows "
              << 100 * score.expected_first / n << "), among three " << 100 * score.among_three / n << " % (" << 100 * score.expected_three / n
              << "); nearest joint above " << 100 * score.rule_first / n << " % and " << 100 * score.rule_three / n << " %\n";
    for (std::size_t b = 0; b < 10; ++b) {
        if (score.count[b] < 20) continue;
        INFO("said " << score.sum_p[b] / score.count[b] << ", seen " << score.hits[b] / score.count[b] << " of " << score.count[b]);
        std::cout << "  said " << score.sum_p[b] / score.count[b] << ", seen " << score.hits[b] / score.count[b] << " (" << score.count[b] << ")\n";
        CHECK(std::abs(score.hits[b] - score.sum_p[b]) < 3.5 * std::sqrt(score.variance[b]));  // ten bins: one false alarm in 200 runs
    }
    // Two points, or the sampling error where that is larger.
    CHECK(std::abs(score.first - score.expected_first) / n < std::max(0.02, 3 * std::sqrt(score.noise_first) / n));
    CHECK(std::abs(score.among_three - score.expected_three) / n < std::max(0.02, 3 * std::sqrt(score.noise_three) / n));
    CHECK(score.first / n > score.rule_first / n + 0.05);
    CHECK(score.among_three / n > score.rule_three / n + 0.05);
}

TEST_CASE("a stain under a vent speaks for the vent, and a vent found open explains its neighbour away", "[leak][law]") {
    Simple s;
    s.set("roof_vent_1", 0.1);
    s.set("front_cap_to_roof", 0.1);
    const Stain stain = s.under("roof_vent_1", -0.4);
    const LeakTrace alone = s.trace({stain});
    CHECK(alone.candidates[0].joint == "roof_vent_1");
    CHECK(alone.candidates[0].probability > alone.candidates[0].before);
    const LeakTrace found = s.trace({stain}, {{"roof_vent_1", true}});
    CHECK(s.made(found, "roof_vent_1") > s.made(alone, "roof_vent_1"));
    CHECK(s.made(found, "front_cap_to_roof") < s.made(alone, "front_cap_to_roof"));
    const LeakTrace dry = s.trace({stain}, {{"roof_vent_1", false}});
    CHECK(s.made(dry, "roof_vent_1") < s.made(alone, "roof_vent_1"));
    CHECK(s.made(dry, "front_cap_to_roof") > s.made(alone, "front_cap_to_roof"));
    // The way it takes: from the joint to the mark, each step with its words.
    const auto& path = alone.candidates[0].path;
    REQUIRE(path.size() >= 2);
    CHECK(path.front().place.joint == "roof_vent_1");
    CHECK(path.front().way.empty());
    CHECK(path.back().place.kind == "ceiling");
    for (std::size_t k = 1; k < path.size(); ++k) CHECK_FALSE(path[k].way.empty());
    CHECK_FALSE(alone.candidates[0].reasons.empty());
}

TEST_CASE("what the owner noticed turns the suspicion: rain, road, cooling, cold mornings, dry weather", "[leak][law]") {
    Simple s;
    const auto with = [&](Stain stain, std::vector<std::string> appears, std::vector<std::string> dry = {}) {
        stain.appears = std::move(appears);
        stain.stays_dry = std::move(dry);
        return s.trace({stain});
    };
    const auto other = [](const LeakTrace& t, const std::string& name) {
        for (const auto& o : t.others)
            if (o.name == name) return o.probability;
        return 0.0;
    };
    const Stain ceiling = s.under("air_conditioner", 0.1);
    CHECK(other(with(ceiling, {"cooling_on"}, {"standing_rain"}), "cooling_condensate") > 0.5);
    CHECK(other(with(ceiling, {"standing_rain"}, {"cooling_on"}), "cooling_condensate") < 0.1);
    CHECK(with(ceiling, {"standing_rain"}).candidates[0].joint == "air_conditioner_gasket");
    Stain wall;
    wall.surface = "curb_wall";
    wall.at = {6.0, 1.0};
    CHECK(other(with(wall, {"cold_morning"}, {"standing_rain"}), "condensation") > other(with(wall, {"standing_rain"}), "condensation"));
    Stain floor;
    floor.surface = "underside";
    floor.at = {6.0, 0.8};
    CHECK(other(with(floor, {"always"}), "plumbing") > 0.3);
    CHECK(other(with(floor, {"standing_rain"}), "plumbing") < other(with(floor, {"always"}), "plumbing"));
    // Only in driving rain: what faces the road gains on the roof.
    Stain front;
    front.surface = "front_cap";
    front.at = {0.0, 2.2};
    const LeakTrace standing = with(front, {"standing_rain"}), driving = with(front, {"driving_rain"}, {"standing_rain"});
    CHECK(s.made(driving, "front_cap_to_roof") < s.made(standing, "front_cap_to_roof"));
    // At the opening of the slide-out: only with the slide-out extended points at the box, not at the frame.
    Stain slide;
    slide.surface = "slide_roof";
    slide.slide = "slide_1";
    const Surface& roof = surface_of(s.coach, "slide_roof", "slide_1");
    slide.at = {(roof.low.u + roof.high.u) / 2, (roof.low.v + roof.high.v) / 2};
    const LeakTrace extended = with(slide, {"slide_out"}, {"slide_in"});
    CHECK(extended.candidates[0].joint.starts_with("slide_1"));
    // A slide-out that stands retracted keeps its box out of the rain.
    Coach retracted = s.coach;
    for (auto& part : retracted.parts)
        if (part.kind == "slide_out") part.state = "in";
    slide.appears = {"standing_rain"};
    slide.stays_dry = {};
    const LeakTrace in = trace_leak(retracted, slide, {}, forecast_of(s.coach, s.prior), all_of_them());
    CHECK(s.made(in, "slide_1_roof_seam") < 0.3 * s.made(s.trace({slide}), "slide_1_roof_seam"));
}

TEST_CASE("several marks are weighed together, and a dry place clears what would have wet it", "[leak][law]") {
    Simple s;
    s.set("skylight", 0.1);
    s.set("roof_vent_2", 0.1);
    const Stain here = s.under("roof_vent_2", 0.3);
    Stain there = s.under("skylight", 0.0);
    const double one = s.made(s.trace({here}), "roof_vent_2");
    Stain directly = s.under("roof_vent_2", 0.0);
    directly.wet = false;
    directly.appears = {};
    directly.stays_dry = {"standing_rain"};
    CHECK(s.made(s.trace({here, directly}), "roof_vent_2") < one);
    directly.wet = true;
    std::swap(directly.appears, directly.stays_dry);
    CHECK(s.made(s.trace({here, directly}), "roof_vent_2") > one);
    const LeakTrace both = s.trace({here, there});
    CHECK(s.made(both, "skylight") > 0.2);
    CHECK(s.made(both, "roof_vent_2") > 0.2);
    // The order in which marks are told does not matter.
    const LeakTrace turned = s.trace({there, here});
    for (const auto& c : both.candidates) CHECK(s.made(turned, c.joint) == Approx(c.probability).margin(1e-12));
}

TEST_CASE("tests go from the lowest joint upwards and say how", "[leak]") {
    Simple s;
    s.prior.assign(s.prior.size(), 0.1);
    Stain wall;
    wall.surface = "curb_wall";
    wall.at = {4.5, 0.9};
    wall.appears = {"standing_rain"};
    const LeakTrace trace = s.trace({wall});
    REQUIRE(trace.tests.size() >= 2);
    const auto lowest = [&](const std::string& joint) {
        double z = 1e9;
        for (const int run : s.tracer.drainage().runs_of(joint)) z = std::min(z, s.tracer.drainage().places[static_cast<std::size_t>(run)].place.z);
        return z;
    };
    for (std::size_t k = 1; k < trace.tests.size(); ++k) CHECK(lowest(trace.tests[k - 1].joint) <= lowest(trace.tests[k].joint));
    for (const auto& test : trace.tests) {
        CHECK(test.minutes > 0);
        CHECK(test.chance_wet > 0);
        CHECK(test.chance_wet < 1);
        CHECK_FALSE(test.how.empty());
    }
    CHECK(trace.others.size() >= 3);
    for (const auto& other : trace.others) CHECK_FALSE(other.check.empty());
}

TEST_CASE("findings that the forecast does not know yet are worked in before tracing", "[leak]") {
    LayoutOptions options = layout_options("travel_trailer");
    options.model_year = 2016;
    Coach coach = travel_trailer(8.5, options);
    Stay stay;
    stay.from = make_date(2015, 7, 1);
    stay.to = make_date(9999, 12, 31);
    stay.station = "725350";
    coach.stays = {stay};
    const Date as_of = make_date(2026, 5, 1);
    Finding gap;
    gap.coach = coach.id;
    gap.joint = "roof_vent_1";
    gap.layer = "cap_bead";
    gap.sign = "gap";
    gap.value = 3;
    gap.unit = "mm";
    gap.share = 0.3;
    gap.bedding_seen = "absent";
    gap.date = make_date(2026, 4, 20);
    const Forecast without = forecast(coach, as_of, 5);
    ForecastOptions knows;
    knows.findings = {gap};
    const Forecast with = forecast(coach, as_of, 5, knows);
    Stain stain;
    stain.surface = "roof";
    stain.at = {coach.length * 0.3, 0.2};
    const LeakTrace worked_in = trace_leak(coach, {stain}, {gap}, without), known = trace_leak(coach, {stain}, {gap}, with);
    const LeakTrace plain = trace_leak(coach, {stain}, {}, without);
    const auto* a = candidate(worked_in, "roof_vent_1");
    const auto* b = candidate(known, "roof_vent_1");
    const auto* c = candidate(plain, "roof_vent_1");
    REQUIRE((a && b && c));
    CHECK(a->before == Approx(b->before).epsilon(1e-6));
    CHECK(a->before > 2 * c->before);
    CHECK(a->probability > c->probability);
    CHECK(std::any_of(a->reasons.begin(), a->reasons.end(), [](const auto& r) { return r == "gap seen on 2026-04-20"; }));
    // What was looked for and not there was not seen, nor was a clean look.
    Finding none = gap, clean = gap;
    none.size = "none";
    none.value = std::nan("");
    none.unit = none.bedding_seen = "";
    none.sign = "rust_run";
    none.layer = clean.layer = "";
    clean.sign = "clean_look";
    clean.value = clean.share = std::nan("");
    clean.unit = clean.bedding_seen = "";
    const LeakTrace looked = trace_leak(coach, {stain}, {none, clean}, without, all_of_them());
    const auto* d = candidate(looked, "roof_vent_1");
    REQUIRE(d);
    for (const auto& reason : d->reasons) CHECK(reason.find("seen on") == std::string::npos);
    CHECK(d->before < c->before);
}

TEST_CASE("a test of a joint whose water does not get to the mark says nothing of the others", "[leak][law]") {
    Simple s;
    const Stain stain = s.under("roof_vent_1", -0.4);
    const LeakTrace plain = s.trace({stain});
    std::string apart;
    for (const Joint& joint : s.coach.joints)
        if (!candidate(plain, joint.id) && !s.tracer.drainage().runs_of(joint.id).empty()) apart = joint.id;
    REQUIRE_FALSE(apart.empty());
    const Catalogue catalogue = Catalogue::built_in();
    const double finds = catalogue.number("leak/test/finds"), mistaken = catalogue.number("leak/test/mistaken");
    for (const bool wet : {true, false}) {
        const LeakTrace tested = s.trace({stain}, {{apart, wet}});
        REQUIRE(tested.candidates.size() == plain.candidates.size());
        for (const auto& one : plain.candidates) CHECK(s.made(tested, one.joint) == Approx(one.probability).margin(1e-12));
        // Independent of the mark: the evidence is the product. Open with 0.02.
        const double seen_wet = 1 - (1 - mistaken) * (1 - finds * 0.02);
        CHECK(tested.evidence / plain.evidence == Approx(wet ? seen_wet : 1 - seen_wet).epsilon(1e-9));
    }
}

TEST_CASE("a trace tells as many candidates as asked for, the likeliest, and at least one", "[leak][bad_input]") {
    Simple s;
    const Stain stain = s.under("roof_vent_1");
    const LeakTrace all = s.trace({stain});
    REQUIRE(all.candidates.size() > 3);
    TraceOptions options;
    for (const std::size_t most : {std::size_t{1}, std::size_t{3}}) {
        options.most = most;
        const LeakTrace few = s.tracer.trace({stain}, {}, forecast_of(s.coach, s.prior), options);
        REQUIRE(few.candidates.size() == most);
        for (std::size_t k = 0; k < most; ++k) CHECK(few.candidates[k].joint == all.candidates[k].joint);
        CHECK(few.tests.size() == all.tests.size());  // tests are of all
    }
    options.most = 0;
    CHECK_THROWS_AS(s.tracer.trace({stain}, {}, forecast_of(s.coach, s.prior), options), ValueError);
}

TEST_CASE("questions that make no sense are refused with their field", "[leak][bad_input]") {
    Simple s;
    const Stain good = s.under("roof_vent_1");
    const auto refused = [&](Stain stain, const std::string& field) {
        try {
            s.trace({stain});
            FAIL("not refused: " << field);
        } catch (const ValueError& error) {
            CHECK(error.problems()[0].field == field);
        }
    };
    Stain bad = good;
    bad.kind = "stian";
    refused(bad, "stains[0].kind");
    bad = good;
    bad.appears = {"raining"};
    refused(bad, "stains[0].appears");
    bad = good;
    bad.appears = bad.stays_dry = {"standing_rain"};
    refused(bad, "stains[0].stays_dry");
    bad = good;
    bad.wet = false;
    bad.appears = {};
    refused(bad, "stains");
    bad.appears = {"standing_rain"};
    refused(bad, "stains[0].appears");
    bad = good;
    bad.surface = "cellar";
    CHECK_THROWS_AS(s.trace({bad}), ValueError);
    CHECK_THROWS_AS(s.trace({good}, {{"no_such_joint", true}}), ValueError);
    // Findings are worked into a forecast that knows how it was made, and into no other.
    Finding crack;
    crack.coach = s.coach.id;
    crack.joint = "roof_vent_1";
    crack.date = make_date(2026, 4, 20);
    crack.sign = "deep_crack";
    try {
        trace_leak(s.coach, good, {crack}, forecast_of(s.coach, s.prior));
        FAIL("not refused");
    } catch (const ValueError& error) {
        CHECK(error.problems()[0].field == "findings");
        CHECK(error.problems()[0].got == "1 findings that it does not know");
    }
    crack.coach = "another";  // of no matter here
    CHECK_NOTHROW(trace_leak(s.coach, good, {crack}, forecast_of(s.coach, s.prior)));
    CHECK_THROWS_AS(s.tracer.trace({good}, {}, Forecast{}, {}), ValueError);
    CHECK_THROWS_AS(s.trace(std::vector<Stain>(13, good)), ValueError);
}

// Synthetic marks; a law of the model: all that a mark can do to a joint is to make it more likely open.
TEST_CASE("a wet mark never speaks for a joint being shut, and runs whose water does not get to it stay as open as they were", "[leak][law]") {
    std::size_t longer = 0;
    for (const Coach& coach : one_of_each_layout()) {
        const Forecast forecast = forecast_of(coach, std::vector<double>(coach.joints.size(), 0.4));
        const LeakTracer tracer(coach, Catalogue::built_in());
        std::map<std::string, int> runs;
        for (const auto& place : tracer.drainage().places)
            if (place.kind == "joint") ++runs[place.joint];
        for (const Surface& surface : coach.surfaces) {
            if (!surface.slide.empty()) continue;
            for (const double along : {0.02, 0.5, 0.9}) {
                Stain stain;
                stain.surface = surface.name;
                stain.at = {surface.low.u + along * (surface.high.u - surface.low.u), (surface.low.v + surface.high.v) / 2};
                const LeakTrace trace = tracer.trace({stain}, {}, forecast, all_of_them());
                for (const auto& one : trace.candidates) {
                    INFO(coach.id << " " << surface.name << " " << along << " " << one.joint);
                    CHECK(one.open >= one.before - 1e-12);
                    CHECK(one.open <= 1);
                    CHECK(one.open >= one.probability);
                    longer += runs[one.joint] > 3;
                }
            }
        }
    }
    CHECK(longer > 50);
}
