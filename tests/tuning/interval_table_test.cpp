// Simulated years against the formulas where the formulas hold, and the table against itself. All lives and costs are synthetic.
#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/forecast/calibration.hpp"
#include "libseal/life/intervals.hpp"
#include "libseal/tuning/interval_table.hpp"
#include "support/published.hpp"
#include "tuning/interval_cells.hpp"
#include "tuning/interval_years.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

struct Estimate {
    double mean = 0, error = 0;
    bool agrees(double value) const { return std::abs(mean - value) < 4 * error; }
};

/// Mean and standard error of value(joint) over joints.
template <class Value>
Estimate over_joints(int joints, Value&& value) {
    double sum = 0, squares = 0;
    for (int i = 0; i < joints; ++i) {
        const double x = value(static_cast<std::uint64_t>(i));
        sum += x;
        squares += x * x;
    }
    const double mean = sum / joints;
    return {mean, std::sqrt((squares / joints - mean * mean) / (joints - 1))};
}

/// Lives that keep no memory of the joint: what the formulas assume.
template <class Draw>
JointYears follow_fresh(const LayerPolicy& policy, double start, double end, std::uint64_t joint, Draw&& draw) {
    RandomStream stream(7, joint);
    const double phase = stream.uniform();
    return follow_joint(policy, start, end, phase, [&](std::size_t) { return draw(stream); });
}

IntervalTableOptions small_options() {
    IntervalTableOptions options;
    options.stations = {"Phoenix, AZ", "Seattle-Tacoma", "South Bend"};
    options.joint_types = {"roof_vent_flange", "window_frame", "metal_roof_seam"};
    options.layers = 600;
    return options;
}

const IntervalTable& small_table() {
    static const IntervalTable table = interval_table(small_options());
    return table;
}

bool same(const Eigen::ArrayXXd& a, const Eigen::ArrayXXd& b) { return a.rows() == b.rows() && a.cols() == b.cols() && (a == b || (a != a && b != b)).all(); }

}  // namespace

TEST_CASE("simulated age replacement costs what the formula says", "[tuning]") {
    const auto simulated = [](double scale, double shape, double failure_cost, double age) {
        return over_joints(2000, [&](std::uint64_t joint) {
            const JointYears years = follow_fresh({never, age}, 20 * scale, 60 * scale, joint, [&](RandomStream& stream) {
                return DrawnLife{never, scale * std::pow(-std::log(stream.uniform()), 1 / shape), 0};
            });
            CHECK(years.looks == 0);
            return (years.reseals + failure_cost * years.failures) / (40 * scale);
        });
    };
    // The documentation of the Python package reliability prints age 493.19 and cost 0.0035 for this case; more digits: renewal reward, worked out by quadrature.
    const Estimate printed = simulated(1000, 2.5, 5, 493.19);
    CHECK(printed.agrees(0.00346204273879));
    CHECK(printed.error < 2e-5);
    CHECK(std::abs(printed.mean - 0.0035) < 5e-5);
    libseal_test::count_published("documentation of the Python package reliability, age replacement", 1);
    CHECK(simulated(1000, 2.5, 5, never).agrees(0.00563530249));
    CHECK(simulated(1, 2, 10, .3364511913).agrees(6.0561214426));
    CHECK(simulated(1, 3, 5, .5026095821).agrees(3.0313967043));
    CHECK_FALSE(simulated(1, 3, 5, .3).agrees(3.0313967043));
}

TEST_CASE("simulated looks leave as many failures, at the cost, that the delay-time formula says", "[tuning]") {
    // Defects that come without memory and seldom against the interval: the formula's assumptions.
    const auto check = [](double interval, double detection, const LifeLaw& delay, auto draw_delay) {
        constexpr double seldom = 300;
        const double start = 10 * seldom, end = 40 * seldom;
        double ends = 0;
        std::vector<JointYears> all;
        const Estimate share = over_joints(6000, [&](std::uint64_t joint) {
            const JointYears years = follow_fresh({interval, never}, start, end, joint, [&](RandomStream& stream) {
                const double visible = -seldom * std::log(stream.uniform()), after = draw_delay(stream.uniform());
                return DrawnLife{visible, visible + after, misses_of(stream.uniform(), detection)};
            });
            all.push_back(years);
            ends += years.failures + years.reseals;
            return static_cast<double>(years.failures);
        });
        const double b = defect_failure_share(delay, detection, Column::Constant(1, interval))[0];
        const double per_joint = ends / 6000;
        INFO("interval " << interval << " detection " << detection << " share " << share.mean / per_joint << " formula " << b);
        CHECK(Estimate{share.mean / per_joint, share.error / per_joint}.agrees(b));
        // Cost: the rate at which defects come as counted, repair 150, failure 1200, look 60.
        const double rate = per_joint / (end - start);
        const Estimate cost = over_joints(6000, [&](std::uint64_t joint) {
            const JointYears& y = all[joint];
            return (60.0 * y.looks + 150.0 * y.reseals + 1200.0 * y.failures) / (end - start);
        });
        CHECK(cost.agrees(inspection_cost_curve(rate, delay, detection, 60, 150, 1200, Column::Constant(1, interval))[0]));
        return share.mean / per_joint;
    };
    const auto exponential = [](double mean) { return [mean](double u) { return -mean * std::log(u); }; };
    // Closed forms of exponential delay: .454141531249, .612699836780, .523240145828, .367879441171.
    CHECK(check(1, .8, LifeLaw::exponential(1), exponential(1)) == Approx(.454141531249).margin(.01));
    CHECK(check(2, .5, LifeLaw::exponential(2), exponential(2)) == Approx(.612699836780).margin(.01));
    CHECK(check(6, .25, LifeLaw::exponential(1 / .9), exponential(1 / .9)) > .8);
    CHECK(check(1, 1, LifeLaw::exponential(1), exponential(1)) == Approx(.367879441171).margin(.01));
    check(3, .7, LifeLaw::uniform(0, 4), [](double u) { return 4 * u; });
}

TEST_CASE("events of a joint by hand", "[tuning]") {
    // Visible at 1.2, open at 2.1 in each generation; looks at 0.5, 1.5, 2.5, ...
    const auto lives = [](double open, double misses) { return [=](std::size_t) { return DrawnLife{1.2, open, misses}; }; };
    const JointYears found = follow_joint({1, never}, 0, 10, .5, lives(2.1, 0));
    CHECK(found.looks == 10);
    CHECK(found.reseals == 5);  // 1.5, 3.5, 5.5, 7.5, 9.5
    CHECK(found.failures == 0);
    const JointYears missed = follow_joint({1, never}, 0, 10, .5, lives(2.1, 1));
    CHECK(missed.reseals == 0);   // the second look after 1.2 is at 2.5: too late, open at 2.1, 4.2, 6.3, 8.4
    CHECK(missed.failures == 4);
    const JointYears late = follow_joint({1, never}, 4.2, 10, .5, lives(2.1, 1));
    CHECK(late.failures == 2);  // what happens as the count begins is not counted
    CHECK(late.looks == 6);
    const JointYears aged = follow_joint({never, 1.9}, 0, 10, .5, lives(2.1, 0));
    CHECK(aged.reseals == 5);
    CHECK(aged.looks == 0);
    // Looks every 2^-30 years find it as it shows: 10 * 2^30 of them, more than an int holds, and a reseal every 1.2 years.
    const JointYears dense = follow_joint({std::exp2(-30), never}, 0, 10, .5, lives(2.1, 0));
    CHECK(dense.looks == std::ldexp(10, 30));
    CHECK(dense.reseals == 8);
    CHECK(dense.failures == 0);
    const JointYears left = follow_joint({never, never}, 4, 10, .5, lives(2, 0));
    CHECK(left.failures == 3);  // 6, 8, 10
    CHECK(left.reseals == 0);
    // A look that comes as the joint opens comes too late.
    CHECK(follow_joint({1, never}, 0, 2, .5, lives(1.5, 0)).failures == 1);
    CHECK(misses_of(.5, 1) == 0);
    CHECK(misses_of(.2, .9) == 0);   // found by the first look with a chance of 0.9
    CHECK(misses_of(.05, .9) == 1);
    CHECK(misses_of(.005, .9) == 2);
}

TEST_CASE("lives that are drawn follow the marginal life of the model", "[tuning]") {
    const UnitLife life{IntervalTableOptions{}};
    const JointDraws::Law law{1, life.spread.shape, life.spread.log_sd, life.visible, life.open, life.detection};
    for (const double t : {.3, .7, life.median, 1.4}) {
        const Estimate due = over_joints(20000, [&](std::uint64_t joint) {
            JointDraws draws(law, 3, joint);
            return draws(1).open / life.open <= t ? 1.0 : 0.0;
        });
        INFO(t);
        CHECK(due.agrees(1 - life.due.survival(t)));
    }
    CHECK(life.due.survival(life.median) == Approx(.5).margin(1e-4));
    JointDraws draws(law, 3, 1), other(law, 3, 1);
    const double third = other(2).open;
    CHECK(draws(0).open != draws(1).open);
    CHECK(draws(2).open == third);  // the same whatever was asked before
    CHECK(draws(0).visible / draws(0).open == Approx(life.visible / life.open));
}

TEST_CASE("rows of a table cost what renewal reward says where joints are all alike", "[tuning]") {
    // Without shared effects, lives of a joint are independent, as the formula of age replacement has them.
    IntervalTableOptions options = small_options();
    options.catalogue = options.catalogue.with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"model/log_sd": {"value": 0, "low": 0, "source": "synthetic", "mark": "judgement"}}})", "overlay.json");
    options.years = 150;
    options.layers = 2000;
    const IntervalTable table = interval_table(options);
    REQUIRE(table.size() == 9);
    const Eigen::Index age = table.policy("best_age"), failure = table.policy("run_to_failure");
    const Weibull unit(1, options.catalogue.number("model/shape"));
    for (Eigen::Index i = 0; i < table.size(); ++i) {
        INFO(table.station[static_cast<std::size_t>(i)] << " " << table.joint_type[static_cast<std::size_t>(i)]);
        REQUIRE(std::isfinite(table.formula_age[i]));
        CHECK(Estimate{table.cost(i, age), table.cost_error(i, age)}.agrees(table.formula_age_cost[i]));
        const double mean = table.open_life[i] / unit.quantile(.5) * unit.mean();
        CHECK(Estimate{table.cost(i, failure), table.cost_error(i, failure)}.agrees(table.failure_cost[i] / mean));
        CHECK(Estimate{table.failures(i, failure), table.failures_error(i, failure)}.agrees(1000 / mean));
    }
}

TEST_CASE("best by formula is best by a dense search", "[tuning]") {
    const IntervalTableOptions options = small_options();
    const UnitLife life(options);
    for (const JointCosts costs : {JointCosts{1, .05, 12}, JointCosts{2, .08, 17}, JointCosts{1, .05, 1.5}}) {
        const double scale = 5, window = (life.open - life.visible) * scale;
        const FormulaBest best = formula_best(life, scale, costs);
        const Column ages = Column::LinSpaced(4000, .01, 4), rates = replacement_cost_curve(life.due, costs.reseal, costs.failure, ages);
        Eigen::Index at = 0;
        CHECK(best.age_cost * life.open * scale <= rates.minCoeff(&at) * (1 + 1e-9));
        if (costs.failure > 2 * costs.reseal) CHECK(best.age / (life.open * scale) == Approx(ages[at]).margin(.002));
        else CHECK(std::isinf(best.age));  // too little to lose
        // How often defects come, back from the cost; then every interval costs at least as much.
        const double taken = best.interval / window;
        const double b = defect_failure_share(life.due, life.detection, Column::Constant(1, taken))[0];
        const double defects = (best.interval_cost * window - costs.look / taken) / (b * costs.failure + (1 - b) * costs.reseal);
        const double mean = life.due.mean() * scale / window;
        CHECK(defects < 1 / (life.visible * mean));
        CHECK(defects > 1 / (life.open * mean));
        const Column tried = Column::LinSpaced(3000, .005, 8);
        const Column cost = inspection_cost_curve(defects, life.due, life.detection, costs.look, costs.reseal, costs.failure, tried);
        CHECK(best.interval_cost * window <= cost.minCoeff(&at) * (1 + 1e-9));
        CHECK(taken == Approx(tried[at]).margin(.004));
    }
}

TEST_CASE("the best is the cheapest of what was tried and saves on every rule", "[tuning]") {
    const IntervalTable& t = small_table();
    REQUIRE(t.size() == 9);
    for (Eigen::Index i = 0; i < t.size(); ++i) {
        const Eigen::Index best = t.policy(t.best[static_cast<std::size_t>(i)]);
        CHECK(t.saving.row(i).minCoeff() == 0);
        CHECK(t.saving(i, best) == 0);
        CHECK(t.cost(i, t.policy("best_interval")) <= t.interval_cost.row(i).minCoeff());
        CHECK(t.cost(i, t.policy("best_interval")) <= t.cost(i, t.policy("run_to_failure")));
        for (Eigen::Index k = 0; k < t.cost.cols(); ++k) {
            CHECK(t.saving(i, k) == Approx(t.cost(i, k) - t.cost(i, best)).margin(1e-12));
            CHECK(t.more_failures(i, k) == Approx(t.failures(i, best) - t.failures(i, k)).margin(1e-9));
            CHECK(t.cost(i, k) == Approx(t.look_cost[i] * t.looks(i, k) + t.reseal_cost[i] * t.reseals(i, k) + t.failure_cost[i] * t.failures(i, k) / 1000));
            CHECK(t.found(i, k) == Approx(t.reseals(i, k) / (t.reseals(i, k) + t.failures(i, k) / 1000)));
        }
        CHECK(t.looks(i, t.policy("half_yearly")) == Approx(2));
        CHECK(t.failures(i, t.policy("every_90_days")) < t.failures(i, t.policy("half_yearly")));
        CHECK(t.failures(i, t.policy("half_yearly")) < t.failures(i, t.policy("yearly")));
        // Pairs of the same layers: surer than the two costs apart.
        const Eigen::Index yearly = t.policy("yearly"), rule = t.policy("every_90_days");
        CHECK(t.saving_error(i, rule) < std::hypot(t.cost_error(i, rule), t.cost_error(i, best)));
        CHECK(t.found(i, t.policy("run_to_failure")) == 0);
        CHECK(t.failures(i, yearly) > 0);
    }
}

TEST_CASE("standard errors hold what another seed gives", "[tuning]") {
    IntervalTableOptions options = small_options();
    options.stations = {"South Bend"};
    options.seed = 1;
    const IntervalTable other = interval_table(options);
    double squares = 0;
    int count = 0;
    for (Eigen::Index i = 0; i < other.size(); ++i) {
        // The seed changes the typical year too: rates as well, a little.
        const Eigen::Index j = small_table().row(other.station[static_cast<std::size_t>(i)], other.joint_type[static_cast<std::size_t>(i)]);
        REQUIRE(j >= 0);
        CHECK(other.rate[i] == Approx(small_table().rate[j]).epsilon(.03));
        for (const Eigen::Index k : {0, 1, 3, 5}) {
            const double z = (other.cost(i, k) / other.rate[i] - small_table().cost(j, k) / small_table().rate[j]) /
                             std::hypot(other.cost_error(i, k) / other.rate[i], small_table().cost_error(j, k) / small_table().rate[j]);
            CHECK(std::abs(z) < 4.5);
            squares += z * z;
            ++count;
        }
    }
    CHECK(squares / count < 4);
    CHECK(squares > 0);
}

TEST_CASE("a hot place is looked at more often than a cool one", "[tuning]") {
    const IntervalTable& t = small_table();
    for (const char* type : {"roof_vent_flange", "metal_roof_seam", "window_frame"}) {
        const Eigen::Index hot = t.row("PHOENIX SKY HARBOR INTL AP", type), cool = t.row("SEATTLE SEATTLE-TACOMA INTL A", type);
        REQUIRE(hot >= 0);
        REQUIRE(cool >= 0);
        CHECK(t.rate[hot] > 1.5 * t.rate[cool]);
        CHECK(t.best_interval[hot] < t.best_interval[cool]);
        CHECK(t.formula_interval[hot] < t.formula_interval[cool]);
        CHECK(t.formula_age[hot] < t.formula_age[cool]);
        CHECK(t.cost(hot, t.policy("best_interval")) > t.cost(cool, t.policy("best_interval")));
    }
    CHECK(t.climate[static_cast<std::size_t>(t.row("PHOENIX SKY HARBOR INTL AP", "window_frame"))] == "hot, sunny, dry");
    CHECK(t.climate[static_cast<std::size_t>(t.row("SEATTLE SEATTLE-TACOMA INTL A", "window_frame"))] == "mild, humid");
    // The life of a family is stated at the reference, on its own surface in a light finish.
    const Eigen::Index home = t.row("SOUTH BEND MICHIANA RGNL AP", "roof_vent_flange");
    CHECK(t.life[home] == Approx(Catalogue::built_in().number("sealant/self_levelling_lap/median_life")).epsilon(.03));
}

TEST_CASE("lives of joints that do not move are those of the calibration table", "[tuning]") {
    IntervalTableOptions options = small_options();
    options.stations = {"Phoenix, AZ"};
    options.joint_types = {"roof_vent_flange"};
    options.finish = "white_gelcoat";  // absorptance 0.35 and emittance 0.9, as at the reference
    options.layers = 2;
    options.catalogue = options.catalogue.with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"sealant/self_levelling_lap/movement_c": {"value": 0, "source": "synthetic", "mark": "judgement"}}})",
        "overlay.json");
    const IntervalTable table = interval_table(options);
    CalibrationOptions calibration;
    calibration.places = {"Phoenix, AZ"};
    const CalibrationLives lives = calibration_table(calibration).lives;
    const Eigen::Index row = lives.row("self_levelling_lap", "cap_bead", "Phoenix, AZ", "roof_light");
    REQUIRE(row >= 0);
    CHECK(table.life[0] == Approx(lives.median[row]).epsilon(1e-9));
    CHECK(table.rate[0] == Approx(lives.rate[row]).epsilon(1e-9));
}

TEST_CASE("limits: nothing to lose, nothing to overlook", "[tuning]") {
    IntervalTableOptions options = small_options();
    options.stations = {"South Bend"};
    options.reseal_cost = 100;
    options.look_cost = 5;
    options.failure_cost = {100, 100, 100, 100};
    const IntervalTable idle = interval_table(options);
    CHECK(idle.cost_unit.empty());
    for (Eigen::Index i = 0; i < idle.size(); ++i) {
        CHECK(idle.best[static_cast<std::size_t>(i)] == "run_to_failure");
        CHECK(std::isinf(idle.best_interval[i]));
        CHECK(std::isinf(idle.formula_interval[i]));
        CHECK(std::isinf(idle.formula_age[i]));
        CHECK(idle.looks(i, idle.policy("best_interval")) == 0);
        CHECK(idle.cost(i, idle.policy("best_age")) == idle.cost(i, idle.policy("run_to_failure")));
    }
    options.failure_cost = {100, 100, 1e6, 1e6};
    options.detection = 1;
    const IntervalTable sure = interval_table(options);
    options.detection = .5;
    const IntervalTable blind = interval_table(options);
    const Eigen::Index quarterly = sure.policy("every_90_days");
    for (Eigen::Index i = 0; i < sure.size(); ++i) {
        CHECK(sure.failures(i, quarterly) < .1 * blind.failures(i, quarterly));
        CHECK(sure.found(i, quarterly) > .99);
        CHECK(blind.best_interval[i] < sure.best_interval[i]);
        CHECK(sure.best_interval[i] < small_table().best_interval[small_table().row("SOUTH BEND MICHIANA RGNL AP", sure.joint_type[static_cast<std::size_t>(i)])]);
    }
}

TEST_CASE("tables do not hang on threads, sessions or company", "[tuning]") {
    IntervalTableOptions options = small_options();
    options.threads = 1;
    const IntervalTable one = interval_table(options);
    options.threads = 3;
    options.session = std::make_shared<Session>(options.catalogue);
    const IntervalTable three = interval_table(options);
    for (const auto field : {&IntervalTable::cost, &IntervalTable::cost_error, &IntervalTable::failures, &IntervalTable::saving, &IntervalTable::saving_error,
                             &IntervalTable::found, &IntervalTable::looks, &IntervalTable::interval_cost})
        CHECK(same(one.*field, three.*field));
    CHECK((one.best_interval == three.best_interval).all());
    CHECK(options.session->site_count() == 3);
    options.stations = {"Seattle-Tacoma"};
    options.joint_types = {"window_frame"};
    options.families = {"non_sag_lap", "neutral_cure_silicone"};
    const IntervalTable alone = interval_table(options);
    REQUIRE(alone.size() == 2);
    CHECK((alone.cost.row(0) == one.cost.row(one.row("SEATTLE SEATTLE-TACOMA INTL A", "window_frame"))).all());
    CHECK(alone.life[1] > alone.life[0]);
    CHECK(alone.row("SEATTLE SEATTLE-TACOMA INTL A", "window_frame", "neutral_cure_silicone") == 1);
    CHECK(alone.row("nowhere", "window_frame") == -1);
    const std::string text = interval_table_text(one);
    for (const char* words : {"simulated", "PHOENIX", "hot, sunny, dry", "roof_vent_flange", "non_sag_lap"}) CHECK(text.find(words) != std::string::npos);
}

TEST_CASE("cover and finish count, wrong options are named", "[tuning]") {
    IntervalTableOptions options = small_options();
    options.stations = {"Phoenix, AZ"};
    options.joint_types = {"roof_vent_flange"};
    options.layers = 50;
    const double open = interval_table(options).life[0];
    options.cover = "covered";
    CHECK(interval_table(options).life[0] > 1.2 * open);
    options.cover = "open";
    options.finish = "black_membrane";
    CHECK(interval_table(options).life[0] < open);
    const auto refuses = [](const char* word, auto change) {
        IntervalTableOptions bad = small_options();
        change(bad);
        try {
            interval_table(bad);
            FAIL("no error for " << word);
        } catch (const ValueError& error) {
            CHECK(std::string(error.what()).find(word) != std::string::npos);
        }
    };
    refuses("cost", [](auto& o) { o.look_cost = 1; });
    refuses("failure_cost", [](auto& o) { o.look_cost = 1, o.reseal_cost = 5, o.failure_cost = {1, 2}; });
    refuses("detection", [](auto& o) { o.detection = 0; });
    refuses("found_grade", [](auto& o) { o.found_grade = 5; });
    refuses("years", [](auto& o) { o.years = 0; });
    refuses("layers", [](auto& o) { o.layers = 1; });
    refuses("joint_types", [](auto& o) { o.joint_types = {"air_conditioner_gasket"}; });
    refuses("window_frame", [](auto& o) { o.joint_types = {"window_fram"}; });
    refuses("non_sag_lap", [](auto& o) { o.families = {"non_sag_lapp"}; });
    refuses("cover", [](auto& o) { o.cover = "tree"; });
    refuses("finish", [](auto& o) { o.finish = "pink"; });
}
