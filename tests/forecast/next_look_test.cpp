#include "libseal/forecast/next_look.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/place.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/belief.hpp"
#include "support/catch.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2024, 6, 1);
const double no_limit = std::numeric_limits<double>::infinity();

/// Synthetic: stands at the reference place since it was built.
Coach coach_of_layout(const std::string& layout, const std::string& fitted) {
    LayoutOptions options = layout_options(layout);
    options.id = "t1";
    options.installed_from = options.installed_to = parse_date(fitted);
    Coach coach = layout == "fifth_wheel" ? fifth_wheel(11.0, options) : travel_trailer(8.0, options);
    coach.stays = {libseal_test::stay_since(make_date(1980, 1, 1))};
    return coach;
}

Finding clean_look(const std::string& joint, const std::string& layer, Date day) {
    Finding finding;
    finding.coach = "t1";
    finding.joint = joint;
    finding.layer = layer;
    finding.sign = "clean_look";
    finding.date = day;
    return finding;
}

/// Every layer that can be seen looked at and found clean; of every n-th joint.
std::vector<Finding> all_clean(const Coach& coach, Date day, std::size_t every = 1) {
    std::vector<Finding> findings;
    for (std::size_t i = 0; i < coach.joints.size(); i += every)
        for (const auto& layer : coach.joints[i].layers)
            if (layer.kind != "bedding") findings.push_back(clean_look(coach.joints[i].id, layer.kind, day));
    return findings;
}

struct Told {
    double bits = 0, minutes = 0;
    bool roof = false, overdue = false;
};

/// All joints of a plan, whether looked at or not.
std::map<std::string, Told> told_by(const InspectionPlan& plan, const Coach& coach) {
    std::map<std::string, Told> all;
    for (const auto& stop : plan.stops) all[stop.joint] = {stop.bits, stop.minutes, false, stop.overdue};
    for (const auto& left : plan.left_out) all[left.joint] = {left.bits, left.minutes, false, false};
    for (auto& [id, told] : all) {
        const std::string& surface = joint_of(coach, id).surface;
        told.roof = surface == "roof" || surface == "slide_roof";
    }
    return all;
}

std::set<std::string> joints_in(const InspectionPlan& plan) {
    std::set<std::string> ids;
    for (const auto& stop : plan.stops) ids.insert(stop.joint);
    return ids;
}

double mutual_information(const std::vector<std::array<double, 2>>& table) {
    double total = 0, bits = 0;
    std::array<double, 2> column{0, 0};
    for (const auto& row : table)
        for (const int d : {0, 1}) {
            total += row[d];
            column[d] += row[d];
        }
    for (const auto& row : table)
        for (const int d : {0, 1})
            if (row[d] > 0) bits += row[d] / total * std::log2(row[d] * total / ((row[0] + row[1]) * column[d]));
    return bits;
}

double chance_of_grade(int grade, double worn, double early, const GradeScale& scale) {
    Look look;
    look.lowest = look.highest = grade;
    look.early = early;
    return look_chance(look, scale, grade_of_worn_share(scale, worn));
}

std::vector<Eigen::Index> seen_rows(const Forecast& forecast, const Joint& joint) {
    std::vector<Eigen::Index> rows;
    for (const auto& layer : joint.layers)
        if (layer.kind != "bedding" || !layer_of(joint, "cap_bead")) rows.push_back(forecast.row("t1", joint.id, layer.kind));
    return rows;
}

}  // namespace

TEST_CASE("what a look tells of one layer is the mutual information counted from the posterior", "[reference][next_look]") {
    const Coach coach = coach_of_layout("travel_trailer", "2021-05-01");
    ForecastOptions options;
    options.findings = all_clean(coach, as_of + -200, 3);
    for (const char* id : {"skylight", "window_1", "rear_cap_to_roof"}) {  // what a bedding shows bears on its cap
        options.findings.push_back(clean_look(id, "bedding", as_of + -100));
        options.findings.back().sign = "bedding_shrunk";
        options.findings.back().size = "severe";
        options.findings.push_back(clean_look(id, "cap_bead", as_of + -100));
        options.findings.back().moisture = 30;
        options.findings.back().moisture_dry = 10;
    }
    const Forecast now = forecast(coach, as_of, 2, options), then = forecast(coach, add_months(as_of, 12), 2, options);
    const InspectionPlan plan = inspection_plan(coach, now);
    const auto told = told_by(plan, coach);
    const GradeScale scale = grade_scale(Catalogue::built_in());
    int compared = 0;
    for (const auto& joint : coach.joints) {
        const auto rows = seen_rows(now, joint);
        if (rows.size() != 1) continue;
        const LayerPosterior belief = now.posterior(rows[0]);
        const double half = std::sqrt(belief.life[1] / belief.life[0]), until = then.effective_age[rows[0]];
        std::vector<std::array<double, 2>> table(6, {0, 0});
        for (Eigen::Index i = 0; i < belief.life.size(); ++i) {
            // Share of the cell that is due: cells are even in the logarithm.
            const double due = std::clamp((std::log(until / belief.life[i]) / std::log(half) + 1) / 2, 0.0, 1.0);
            for (int g = 0; g < 6; ++g) {
                const double chance = belief.probability[i] * chance_of_grade(g, now.effective_age[rows[0]] / belief.life[i],
                                                                              now.early_defect[rows[0]], scale);
                table[static_cast<std::size_t>(g)][0] += chance * (1 - due);
                table[static_cast<std::size_t>(g)][1] += chance * due;
            }
        }
        INFO(joint.id);
        CHECK(told.at(joint.id).bits == Approx(mutual_information(table)).epsilon(2e-3).margin(1e-6));  // the tabulated look
        ++compared;
    }
    CHECK(compared > 40);
    for (const auto& stop : plan.stops) {
        const auto rows = seen_rows(now, joint_of(coach, stop.joint));
        if (rows.size() == 1) CHECK(stop.due == Approx(now.due_1_year[rows[0]]).epsilon(1e-3));
    }
}

TEST_CASE("the chance a plan speaks of is the forecast's, also where the fitting is known as an interval", "[next_look]") {
    Coach coach = coach_of_layout("travel_trailer", "2021-05-01");
    for (auto& joint : coach.joints)
        for (auto& layer : joint.layers) layer.installed_to = layer.installed_from + (layer.kind == "bedding" ? 90 : 300);
    ForecastOptions options;
    options.findings = all_clean(coach, as_of + -200, 3);
    const Forecast now = forecast(coach, as_of, 2, options);
    int compared = 0;
    for (const auto& stop : inspection_plan(coach, now).stops) {
        const auto rows = seen_rows(now, joint_of(coach, stop.joint));
        if (rows.size() != 1) continue;
        INFO(stop.joint);
        CHECK(stop.due == Approx(now.due_1_year[rows[0]]).epsilon(1e-3));  // the tails of the shared effects are cut
        ++compared;
    }
    CHECK(compared > 20);
}

TEST_CASE("what a look tells of two layers is counted over the effects they share", "[reference][next_look]") {
    const Coach coach = coach_of_layout("travel_trailer", "2021-05-01");
    const Forecast now = forecast(coach, as_of, 2), then = forecast(coach, add_months(as_of, 12), 2);
    const auto told = told_by(inspection_plan(coach, now), coach);
    const GradeScale scale = grade_scale(Catalogue::built_in());
    const double shape = Catalogue::built_in().number("model/shape");
    int compared = 0;
    for (const char* id : {"roof_edge_street", "corner_rear_curb"}) {
        const auto rows = seen_rows(now, joint_of(coach, id));
        REQUIRE(rows.size() == 2);
        const LayerPosterior shared = now.posterior(rows[0]);
        std::vector<std::array<double, 2>> table(36, {0, 0});
        for (Eigen::Index k = 0; k < shared.effect.size(); ++k) {
            // Given s the life is Weibull: scale 1 where the grid of the logarithm has its zero, shrunk by exp(s).
            double all[2][6] = {}, sound[2][6] = {};
            for (const int l : {0, 1}) {
                const double life_scale = now.posterior(rows[l]).life[0] / std::exp(LifePrior::life_node(0)) * std::exp(-shared.effect[k]);
                const double age = now.effective_age[rows[l]], until = then.effective_age[rows[l]];
                const int parts = 6000;
                for (int i = 0; i < parts; ++i) {
                    const double life = life_scale * std::pow(-std::log1p(-(i + 0.5) / parts), 1 / shape);
                    for (int g = 0; g < 6; ++g) {
                        const double chance = chance_of_grade(g, age / life, now.early_defect[rows[l]], scale) / parts;
                        all[l][g] += chance;
                        if (life > until) sound[l][g] += chance;
                    }
                }
            }
            for (int a = 0; a < 6; ++a)
                for (int b = 0; b < 6; ++b) {
                    const double both = shared.effect_probability[k] * sound[0][a] * sound[1][b];
                    table[static_cast<std::size_t>(6 * a + b)][0] += both;
                    table[static_cast<std::size_t>(6 * a + b)][1] += shared.effect_probability[k] * all[0][a] * all[1][b] - both;
                }
        }
        INFO(id);
        CHECK(told.at(id).bits == Approx(mutual_information(table)).epsilon(5e-3));  // cells of 1 % of life
        ++compared;
    }
    CHECK(compared == 2);
}

TEST_CASE("a look at what is certain tells nothing", "[law][next_look]") {
    for (const char* fitted : {"2024-05-31", "1984-05-01"}) {
        const Coach coach = coach_of_layout("travel_trailer", fitted);
        const Forecast result = forecast(coach, as_of, 2);
        for (const auto& [id, told] : told_by(inspection_plan(coach, result), coach)) {
            INFO(fitted << " " << id);
            CHECK(told.bits < 0.01);
            CHECK(told.bits >= 0);
        }
    }
}

TEST_CASE("right after a clean look a further one tells less, and a look never tells more than is open", "[law][next_look]") {
    for (const char* fitted : {"2022-05-01", "2020-05-01", "2015-05-01"}) {
        const Coach coach = coach_of_layout("travel_trailer", fitted);
        const Forecast before = forecast(coach, as_of, 2);
        ForecastOptions options;
        options.findings = all_clean(coach, as_of);
        const Forecast after = forecast(coach, as_of, 2, options);
        InspectionOptions everything;
        everything.least_bits_per_minute = 0;
        const InspectionPlan plan = inspection_plan(coach, before, everything);
        const auto told = told_by(plan, coach), again = told_by(inspection_plan(coach, after), coach);
        for (const auto& stop : plan.stops) {
            INFO(fitted << " " << stop.joint << " due " << stop.due);
            CHECK(stop.bits >= 0);
            CHECK(stop.bits <= -stop.due * std::log2(stop.due) - (1 - stop.due) * std::log2(1 - stop.due) + 1e-12);
            // A clean look at what was thought done for opens the question anew.
            if (stop.due < 0.5) CHECK(again.at(stop.joint).bits < told.at(stop.joint).bits);
        }
    }
}

TEST_CASE("a sharper eye is told more", "[law][next_look]") {
    const Coach coach = coach_of_layout("travel_trailer", "2021-05-01");
    ForecastOptions options;
    options.look_noise = {{"sharp", 0.2}, {"dull", 1.2}};
    const Forecast result = forecast(coach, as_of, 2, options);
    InspectionOptions usual, sharp, dull;
    sharp.inspector = "sharp";
    dull.inspector = "dull";
    const auto a = told_by(inspection_plan(coach, result, sharp), coach), b = told_by(inspection_plan(coach, result, usual), coach),
               c = told_by(inspection_plan(coach, result, dull), coach);
    for (const auto& [id, told] : b) {
        INFO(id);
        CHECK(a.at(id).bits > told.bits);
        CHECK(told.bits > c.at(id).bits);
    }
}

TEST_CASE("what is overdue is looked at whatever the budget, each joint is there once, and sums are sums", "[next_look]") {
    const Coach coach = coach_of_layout("fifth_wheel", "2022-05-01");
    ForecastOptions seen;
    seen.findings = all_clean(coach, as_of + -40, 2);
    const Forecast result = forecast(coach, as_of, 2, seen);
    const double target = Catalogue::built_in().number("model/target_probability");
    std::set<std::string> overdue;
    for (const auto& joint : coach.joints) {
        for (const auto row : seen_rows(result, joint))
            if (result.inspect_by[row] <= as_of.days) overdue.insert(joint.id);
        for (const auto row : result.rows_of("t1"))
            if (result.joint[static_cast<std::size_t>(row)] == joint.id && result.due_now[row] >= target) overdue.insert(joint.id);
    }
    REQUIRE(overdue.size() > 20);
    REQUIRE(overdue.size() < coach.joints.size() - 20);
    double alone = 0;
    for (const double budget : {0.0, 200.0, 300.0, 400.0, no_limit}) {
        InspectionOptions options;
        options.budget = budget;
        options.least_bits_per_minute = 0;
        const InspectionPlan plan = inspection_plan(coach, result, options);
        INFO("budget " << budget);
        std::set<std::string> late;
        double minutes = plan.fixed_minutes + plan.roof_set_up_minutes, bits = 0;
        bool up = false;
        for (std::size_t i = 0; i < plan.stops.size(); ++i) {
            const InspectionStop& stop = plan.stops[i];
            CHECK(stop.number == static_cast<int>(i) + 1);
            CHECK(stop.cautions == joint_type(Catalogue::built_in(), joint_of(coach, stop.joint).type).cautions);
            CHECK(stop.reason.find("overdue since") == (stop.overdue ? stop.reason.find("overdue since") : std::string::npos));
            CHECK(stop.reason.find("a look would tell") != std::string::npos);
            if (stop.overdue) late.insert(stop.joint);
            up = up || stop.trip == "roof";
            minutes += stop.minutes;
            bits += stop.bits;
        }
        CHECK(late == overdue);
        CHECK(plan.minutes == Approx(minutes));
        CHECK(plan.bits == Approx(bits));
        CHECK((plan.roof_set_up_minutes > 0) == up);
        CHECK(told_by(plan, coach).size() == coach.joints.size());
        CHECK(plan.stops.size() + plan.left_out.size() == coach.joints.size());
        CHECK(std::is_sorted(plan.left_out.begin(), plan.left_out.end(),
                             [](const auto& a, const auto& b) { return a.bits_per_minute > b.bits_per_minute; }));
        if (budget == 0) {
            alone = plan.minutes;
            CHECK(plan.stops.size() == overdue.size());
        }
        CHECK(plan.minutes <= std::max(budget, alone) + 1e-9);
    }
}

TEST_CASE("the minutes are those of the catalogue", "[next_look]") {
    const Coach coach = coach_of_layout("travel_trailer", "2022-05-01");
    const InspectionPlan plan = inspection_plan(coach, forecast(coach, as_of, 2));
    const Catalogue c = Catalogue::built_in();
    REQUIRE_FALSE(plan.stops.empty());
    for (const auto& stop : plan.stops)
        CHECK(stop.minutes == Approx(c.number("labour/survey_item") + c.number("labour/photo_and_record") +
                                     c.number("labour/survey_walk") * path_length(joint_of(coach, stop.joint).path)));
    CHECK(plan.fixed_minutes == c.number("labour/survey_fixed"));
    CHECK(plan.roof_set_up_minutes == c.number("labour/roof_trip_set_up"));
}

TEST_CASE("the walk goes once round the coach, then over the roof back to the ladder", "[next_look]") {
    for (const char* layout : {"travel_trailer", "fifth_wheel"}) {
        const Coach coach = coach_of_layout(layout, "2022-05-01");
        const InspectionPlan plan = inspection_plan(coach, forecast(coach, as_of, 2));
        REQUIRE(plan.stops.size() > 50);
        const double ladder = middle_of(joint_of(coach, "ladder_roof_foot_1")).u;
        int part = -1;
        double along = 0, away = 1e9;
        for (const auto& stop : plan.stops) {
            INFO(layout << " stop " << stop.number << " " << stop.joint);
            const Joint& joint = joint_of(coach, stop.joint);
            const bool of_slide = joint.surface.rfind("slide_", 0) == 0;
            const Place at = place_of(coach, joint.surface, of_slide ? joint.slide : "", middle_of(joint));
            if (stop.trip == "roof") {
                part = 9;
                CHECK((joint.surface == "roof" || joint.surface == "slide_roof"));
                // What the ladder reaches, half a metre round it, comes last.
                CHECK(std::abs(at.x - ladder) <= std::max(away, 0.55));
                away = std::abs(at.x - ladder);
                continue;
            }
            const bool curb = at.y >= 0;
            const int here = joint.surface == "rear_cap" ? 1 : joint.surface == "front_cap" ? 3 : curb ? 0 : 2;
            const double way = here == 0 ? at.x : here == 1 ? -at.y : here == 2 ? -at.x : at.y;
            CHECK(here >= part);
            if (here == part) CHECK(way >= along - 1e-9);
            part = here;
            along = way;
        }
        CHECK(part == 9);
        CHECK(away < 0.55);
        // Round the shell at least, past the slide-outs at most; over the roof there and back.
        const double round = 2 * (coach.length + coach.width);
        CHECK(plan.ground_walk > 0.9 * round);
        CHECK(plan.ground_walk < 1.5 * round);
        CHECK(plan.roof_walk > 2 * 0.8 * ladder);
        CHECK(plan.roof_walk < 8 * coach.length);
    }
}

namespace {

/// Few joints, a third of them overdue or none at all.
Coach small_coach(bool overdue) {
    Coach coach = coach_of_layout("travel_trailer", "2023-08-01");
    std::vector<Joint> kept;
    for (std::size_t i = 0; i < coach.joints.size(); i += 5) kept.push_back(coach.joints[i]);
    for (std::size_t i = 0; i < kept.size(); ++i)
        for (auto& layer : kept[i].layers)
            layer.installed_from = layer.installed_to = overdue && i % 3 == 0 ? parse_date("2022-02-01") : as_of + -40 * static_cast<int>(i % 9);
    coach.joints = kept;
    return coach;
}

double weight_of(const Coach& coach, const std::string& id) {
    return joint_type(Catalogue::built_in(), joint_of(coach, id).type).consequence / 4.0;  // the catalogue's weights
}

/// Most that any set of looks with all that is overdue brings within the budget, less the worth of its minutes.
double best_by_counting(const std::vector<Told>& joints, double budget, double rate) {
    const Catalogue c = Catalogue::built_in();
    double best = -1e9;
    for (std::size_t set = 0; set < (std::size_t{1} << joints.size()); ++set) {
        double bits = 0, minutes = 0;
        bool up = false, allowed = true;
        for (std::size_t i = 0; i < joints.size(); ++i) {
            if (!(set >> i & 1)) {
                allowed = allowed && !joints[i].overdue;
                continue;
            }
            bits += joints[i].bits;
            minutes += joints[i].minutes;
            up = up || joints[i].roof;
        }
        if (set) minutes += c.number("labour/survey_fixed") + (up ? c.number("labour/roof_trip_set_up") : 0.0);
        if (allowed && minutes <= budget + 1e-9) best = std::max(best, bits - rate * minutes);
    }
    return best;
}

}  // namespace

TEST_CASE("no other choice of looks brings more, by counting all of them", "[reference][next_look]") {
    for (const bool overdue : {false, true}) {
        const Coach coach = small_coach(overdue);
        REQUIRE(coach.joints.size() < 15);
        const Forecast result = forecast(coach, as_of, 2);
        for (const bool weigh : {false, true})
            for (const double rate : {0.0, 0.002, 0.02})
                for (const double budget : {55.0, 65.0, 75.0, 90.0, no_limit}) {
                    InspectionOptions options;
                    options.budget = budget;
                    options.least_bits_per_minute = rate;
                    options.weigh_consequence = weigh;
                    const InspectionPlan plan = inspection_plan(coach, result, options);
                    std::vector<Told> joints;
                    for (auto [id, told] : told_by(plan, coach)) {
                        if (weigh) told.bits *= weight_of(coach, id);
                        joints.push_back(told);
                    }
                    double reached = -rate * plan.minutes;
                    for (const auto& stop : plan.stops) reached += stop.bits * (weigh ? weight_of(coach, stop.joint) : 1.0);
                    INFO("overdue " << overdue << " budget " << budget << " rate " << rate << " weighed " << weigh);
                    const double best = best_by_counting(joints, budget, rate);
                    if (best > -1e8) CHECK(reached == Approx(best).margin(1e-9));  // exact, not only near
                }
    }
}

TEST_CASE("nobody goes up to the roof for less than the way is worth", "[next_look]") {
    const Coach coach = small_coach(false);
    const Forecast result = forecast(coach, as_of, 2);
    const auto ups = [&](double rate) {
        InspectionOptions options;
        options.least_bits_per_minute = rate;
        const InspectionPlan plan = inspection_plan(coach, result, options);
        return std::count_if(plan.stops.begin(), plan.stops.end(), [](const auto& stop) { return stop.trip == "roof"; });
    };
    const auto told = told_by(inspection_plan(coach, result), coach);
    double dearest = 0;
    for (const auto& [id, one] : told)
        if (one.roof) dearest = std::max(dearest, one.bits / one.minutes);
    REQUIRE(dearest > 0);
    CHECK(ups(0) > 0);
    CHECK(ups(0.99 * dearest) == 0);  // worth its own minutes, not the ladder's
    InspectionOptions dear;
    dear.least_bits_per_minute = 10;
    const InspectionPlan none = inspection_plan(coach, result, dear);
    CHECK(none.stops.empty());
    CHECK(none.minutes == 0);
    CHECK(none.ground_walk == 0);
    CHECK(none.roof_walk == 0);
}

TEST_CASE("later, more is overdue; the order of findings changes nothing", "[law][next_look]") {
    const Coach coach = coach_of_layout("travel_trailer", "2022-05-01");
    ForecastOptions options;
    options.findings = all_clean(coach, as_of + -100, 2);
    const Forecast one = forecast(coach, as_of, 2, options);
    std::reverse(options.findings.begin(), options.findings.end());
    const Forecast other = forecast(coach, as_of, 2, options);
    const InspectionPlan a = inspection_plan(coach, one), b = inspection_plan(coach, other);
    REQUIRE(a.stops.size() == b.stops.size());
    for (std::size_t i = 0; i < a.stops.size(); ++i) {
        CHECK(a.stops[i].joint == b.stops[i].joint);
        CHECK(a.stops[i].bits == b.stops[i].bits);
        CHECK(a.stops[i].reason == b.stops[i].reason);
    }
    CHECK(a.minutes == b.minutes);
    InspectionOptions none, later;
    none.budget = later.budget = 0;
    later.day = as_of + 300;
    const auto now = joints_in(inspection_plan(coach, one, none)), then = joints_in(inspection_plan(coach, one, later));
    CHECK(std::includes(then.begin(), then.end(), now.begin(), now.end()));
    CHECK(then.size() > now.size());
}

TEST_CASE("what cannot be planned is refused by name", "[bad_input][next_look]") {
    const Coach coach = small_coach(true);
    const Forecast result = forecast(coach, as_of, 2);
    const auto field_of = [&](auto change) {
        InspectionOptions options;
        change(options);
        try {
            inspection_plan(coach, result, options);
        } catch (const ValueError& error) {
            return error.problems().front().field;
        }
        return std::string("accepted");
    };
    CHECK(field_of([](auto& o) { o.budget = -1; }) == "budget");
    CHECK(field_of([](auto& o) { o.budget = std::nan(""); }) == "budget");
    CHECK(field_of([](auto& o) { o.horizon = 0; }) == "horizon");
    CHECK(field_of([](auto& o) { o.horizon = std::nan(""); }) == "horizon");
    CHECK(field_of([](auto& o) { o.horizon = 51; }) == "horizon");
    CHECK(field_of([](auto& o) { o.least_bits_per_minute = -0.1; }) == "least_bits_per_minute");
    CHECK(field_of([](auto& o) { o.day = as_of + -1; }) == "day");
    CHECK(field_of([](auto& o) { o.inspector = "nobody"; }) == "inspector");
    CHECK_THROWS_AS(inspection_plan(coach, Forecast{}), StateError);
    Coach other = coach;
    other.id = "t2";
    CHECK_THROWS_AS(inspection_plan(other, result), ValueError);
    Coach more = coach;
    more.joints.push_back(more.joints.back());
    more.joints.back().id = "one_more";
    CHECK_THROWS_AS(inspection_plan(more, result), ValueError);
    Coach fewer = coach;
    fewer.joints.pop_back();
    CHECK_THROWS_AS(inspection_plan(fewer, result), ValueError);
    Coach empty = coach;
    empty.joints.clear();
    const InspectionPlan nothing = inspection_plan(empty, forecast(empty, as_of, 2));
    CHECK(nothing.stops.empty());
    CHECK(nothing.minutes == 0);
}
