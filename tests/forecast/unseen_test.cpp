// Joints that nobody looked at: shared tables and few questions give what each joint's own sums and plain bisection give.
#include "support/catch.hpp"

#include <cmath>
#include <memory>

#include "core/recent.hpp"
#include "forecast/basis.hpp"
#include "forecast/day_search.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/random.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {

const Date as_of = make_date(2026, 11, 25);

/// Synthetic: a coach that stands at a station; of `months` its layers may be fitted on any day.
Coach placed(Coach (*make)(double, const LayoutOptions&), const std::string& layout, double length, const std::string& station, int months) {
    LayoutOptions options = layout_options(layout);
    options.id = "t1";
    options.installed_from = make_date(2017, 5, 1);
    options.installed_to = add_months(options.installed_from, months);
    Coach coach = make(length, options);
    coach.stays = {libseal_test::stay_since(make_date(2015, 1, 1), station)};
    return coach;
}

Coach trailer(int months) { return placed(travel_trailer, "travel_trailer", 8.0, "725350", months); }

/// Looks that say nothing: any likelihood to the power 0 is 1.
JointLooks silent_looks() {
    JointLooks silent;
    for (const char* kind : {"cap_bead", "gasket"}) {
        Look look{make_date(2024, 6, 1), 4, 4};
        look.weight = 0;
        silent.layers[kind].push_back(look);
    }
    return silent;
}

/// Is what is believed of a layer that nobody looked at the same as with silent looks, but for rounding? Another layer of
/// the joint hears what the ends of the looked-at layer's grid leave out.
bool hears_nothing(const JointBelief& belief, std::size_t l) {
    return belief.is_coupled(l) || belief.layer(l).layer->kind == "cap_bead" || belief.size() == 1;
}

/// First day after `low` on which a layer is due with probability p, by halves.
Date bisected(const JointBelief& belief, std::size_t l, double p) {
    Date low = belief.layer(l).installed.front(), high = add_years(low, 1000);
    if (belief.due(l, high) < p) return high;
    while (high - low > 1) {
        const Date middle{low.days + (high.days - low.days) / 2};
        (belief.due(l, middle) >= p ? high : low) = middle;
    }
    return high;
}

/// All joints of a coach, settled, with the same looks at each of them (null: none).
class Joints {
public:
    Joints(const Coach& coach, const JointLooks* looks, const EffectMoments& others = {0.07, 0.06})
        : fleet_(fleet_of(coach)), clocks_(fleet_, fleet_, as_of, {}), model_(life_model(Catalogue::built_in())) {
        clocks_.store.evaluate(0, {});
        tracks_ = std::make_unique<CoachTracks>(clocks_, 0, as_of);
        for (std::size_t first = 0, end; first < clocks_.layers.size(); first = end) {
            for (end = first + 1; end < clocks_.layers.size() && clocks_.layers[end].joint == clocks_.layers[first].joint;) ++end;
            all.push_back(std::make_unique<JointBelief>(clocks_, model_, catalogue_, first, end, looks, *tracks_, as_of));
            all.back()->settle(others);
        }
    }
    std::vector<std::unique_ptr<JointBelief>> all;

private:
    Catalogue catalogue_ = Catalogue::built_in();
    Fleet fleet_;
    FleetClocks clocks_;
    LifeModel model_;
    std::unique_ptr<CoachTracks> tracks_;
};

}  // namespace

TEST_CASE("the table of an unseen pair gives what its sums give", "[law]") {
    const LifePrior prior = life_prior({2.75, 0.30, 0.01, 1.5});
    const int count = GENERATE(8, 64);
    const UnseenPair pair(prior, effect_weights(prior, -0.12, 0.07), cap_classes(prior, count));
    RandomStream random(3);
    double total = 0;
    for (Eigen::Index c = 0; c < pair.classes(); ++c) total += pair.weight(c);
    CHECK(total == Approx(1).epsilon(1e-12));
    for (int i = 0; i < 3000; ++i) {
        const auto c = static_cast<Eigen::Index>(random.below(static_cast<std::uint64_t>(count)));
        const double position = -700 + 2200 * random.uniform();  // both ends lie off the table
        REQUIRE(pair.beyond(c, position) == Approx(pair.sums().beyond(c, position)).epsilon(1e-12).margin(1e-17));
        double from = 0;
        for (Eigen::Index d = c; d < pair.classes(); ++d) from += pair.sums().beyond(d, position);
        REQUIRE(pair.beyond_from(c, position) == Approx(from).epsilon(1e-12).margin(1e-17));
        REQUIRE(pair.sums().beyond_from(c, position) == Approx(from).epsilon(1e-12).margin(1e-17));
    }
    CHECK(pair.beyond_from(0, -std::numeric_limits<double>::infinity()) == 0);
}

TEST_CASE("a joint that nobody looked at is believed as one of which a look says nothing", "[law]") {
    const Coach coach = trailer(GENERATE(0, 5, 14));
    const JointLooks silent = silent_looks();
    const Joints plain(coach, nullptr), general(coach, &silent);
    for (std::size_t j = 0; j < plain.all.size(); ++j)
        for (std::size_t l = 0; l < plain.all[j]->size(); ++l) {
            const JointBelief &a = *plain.all[j], &b = *general.all[j];
            const bool own = hears_nothing(a, l);
            const double margin = own ? 1e-12 : 2e-6;
            for (const Date day : {as_of - 2000, as_of, as_of + 700, as_of + 4000}) {
                REQUIRE(a.due(l, day) == Approx(b.due(l, day)).epsilon(margin).margin(1e-14));
                REQUIRE(a.expected_grade(l, day) == Approx(b.expected_grade(l, day)).epsilon(margin).margin(1e-14));
                REQUIRE(a.worse_than(l, day, 1.6) == Approx(b.worse_than(l, day, 1.6)).epsilon(margin).margin(1e-14));
                // Several shares asked for at once are those asked for one by one.
                for (const JointBelief* belief : {&a, &b}) {
                    const std::vector<double> together = belief->worse_than(l, day, {0.6, 1.0, 1.6});
                    REQUIRE(together[0] == Approx(belief->worse_than(l, day, 0.6)).epsilon(1e-12).margin(1e-15));
                    REQUIRE(together[1] == Approx(belief->due(l, day)).epsilon(1e-12).margin(1e-15));
                    REQUIRE(together[2] == Approx(belief->worse_than(l, day, 1.6)).epsilon(1e-12).margin(1e-15));
                }
            }
            REQUIRE(a.mean_age(l, as_of).total() == Approx(b.mean_age(l, as_of).total()).epsilon(1e-12));
            if (own) REQUIRE(a.day_of(l, 0.1) == b.day_of(l, 0.1));
        }
}

TEST_CASE("looks of a layer of which nothing was seen are those of a belief without looks", "[law]") {
    const LifeModel model = life_model(Catalogue::built_in());
    const AppearanceLives lives(model.appearance, model.prior);
    for (const double mean : {-0.3, 0.0, 0.2}) {
        const Column effect = effect_weights(model.prior, mean, 0.1);
        const UnseenAppearance unseen(lives, effect);
        const AppearanceBelief belief(model.appearance, model.prior, 5);
        double last = 0;
        for (const double age : {0.0, 0.1, 1.0, 2.0, 3.5, 5.0, 8.0, 20.0, 200.0}) {
            INFO(mean << ", " << age << " years");
            const double grade = unseen.expected_grade(age / 5);
            CHECK(grade == Approx(belief.expected_grade(age, effect)).epsilon(1e-10).margin(1e-12));
            CHECK(grade >= last);
            last = grade;
        }
        CHECK(last == Approx(2).epsilon(1e-9));
    }
}

TEST_CASE("the ends of the grid of an unseen pair move no chance by 2e-6, whatever the coach and what others teach", "[law]") {
    const Coach coach = GENERATE(placed(fifth_wheel, "fifth_wheel", 11.0, "722780", 14), placed(motorhome, "motorhome", 9.5, "725350", 0),
                                 placed(camper_van, "camper_van", 5.5, "722780", 0), placed(truck_camper, "truck_camper", 5.0, "725350", 5));
    const EffectMoments others = GENERATE(EffectMoments{-0.5, 0.02}, EffectMoments{0, 0.09}, EffectMoments{0.5, 0.05});
    const JointLooks silent = silent_looks();
    const Joints plain(coach, nullptr, others), general(coach, &silent, others);
    double worst = 0, worst_own = 0;
    std::size_t asked = 0;
    for (std::size_t j = 0; j < plain.all.size(); ++j)
        for (std::size_t l = 0; l < plain.all[j]->size(); ++l) {
            const JointBelief &a = *plain.all[j], &b = *general.all[j];
            for (const Date day : {as_of - 1500, as_of, as_of + 365, as_of + 1825, as_of + 7000}) {
                double& most = hears_nothing(a, l) ? worst_own : worst;
                most = std::max({most, std::abs(a.due(l, day) - b.due(l, day)), std::abs(a.worse_than(l, day, 1.6) - b.worse_than(l, day, 1.6)),
                                 std::abs(a.open(day) - b.open(day))});
                ++asked;
            }
        }
    CAPTURE(coach.id, others.mean, others.variance, asked);
    CHECK(asked > 100);
    CHECK(worst < 2e-6);
    CHECK(worst_own < 2e-6);
}

TEST_CASE("states work out their own clocks, and what is not asked for costs none", "[law]") {
    ForecastOptions options;
    options.session = std::make_shared<Session>();
    const Coach coach = placed(motorhome, "motorhome", 9.5, "725350", 5);
    const Forecast f = forecast(coach, as_of, 2, options);
    const std::size_t before = options.session->clock_count();
    std::vector<Eigen::Index> beads;
    for (Eigen::Index i = 0; i < f.size(); ++i)
        if (f.layer[static_cast<std::size_t>(i)] == "cap_bead") beads.push_back(i);
    REQUIRE(beads.size() > 10);
    const LayerStates one = f.states({beads.back()});
    CHECK(options.session->clock_count() == before + 1);
    const LayerStates all = f.states({});
    const std::size_t after = options.session->clock_count();
    CHECK(after > before + 1);
    CHECK(one.bond_left[0] == all.bond_left[beads.back()]);
    for (const Eigen::Index i : beads) CHECK((all.bond_left[i] > 0 && all.bond_left[i] < 1));
    // A forecast without a session has them too, with the same bits.
    const LayerStates alone = forecast(coach, as_of, 2).states(beads);
    for (std::size_t n = 0; n < beads.size(); ++n) CHECK(alone.bond_left[static_cast<Eigen::Index>(n)] == all.bond_left[beads[n]]);
    CHECK(options.session->clock_count() == after);
}

TEST_CASE("nothing seen leaves the shared effects as the others have them", "[law]") {
    const Joints plain(trailer(0), nullptr);
    for (const auto& joint : plain.all) CHECK(joint->effect_mean() == Approx(0.07).epsilon(1e-9));
}

TEST_CASE("due dates are those of plain bisection, seen or not", "[law]") {
    JointLooks looks;
    looks.layers["cap_bead"].push_back({make_date(2023, 6, 1), 1, 1});
    looks.layers["bedding"].push_back({make_date(2024, 6, 1), 2, 2});
    looks.layers["gasket"].push_back({make_date(2024, 6, 1), 3, 3});
    const Joints joints(trailer(GENERATE(0, 14)), GENERATE(false, true) ? &looks : nullptr);
    RandomStream random(5);
    for (const auto& joint : joints.all)
        for (std::size_t l = 0; l < joint->size(); ++l)
            for (const double p : {0.01 + 0.98 * random.uniform(), 0.1, 0.9})
                REQUIRE(joint->day_of(l, p) == bisected(*joint, l, p));
}

TEST_CASE("the first day of a chance is found from any guess", "[law]") {
    RandomStream random(8);
    for (int i = 0; i < 4000; ++i) {
        const Date low{static_cast<std::int32_t>(random.below(20000))}, high = low + 1 + static_cast<int>(random.below(365000));
        const Date true_day = low + 1 + static_cast<int>(random.below(static_cast<std::uint64_t>(2 * (high - low))));
        const bool sudden = random.below(3) == 0;
        const double width = 1 + 3000 * random.uniform();
        int asked = 0;
        const auto chance = [&](Date day) {
            ++asked;
            if (sudden) return day >= true_day ? 0.8 : 0.2;
            return std::clamp(0.5 + (day - true_day) / width, 0.0, 1.0);
        };
        const Date near = low + static_cast<int>(random.below(400000)) - 1000, other = low + static_cast<int>(random.below(400000));
        const Date expected = true_day < high ? true_day : high;
        REQUIRE(DaySearch(low, high, chance).first_day(0.5, near, other) == expected);
        REQUIRE(asked < 90);
        asked = 0;
        REQUIRE(DaySearch(low, high, chance).first_day(0.5, expected, expected) == expected);
        REQUIRE(asked <= 2);
    }
}

TEST_CASE("what one search has asked changes no later one", "[law]") {
    RandomStream random(9);
    for (int i = 0; i < 1000; ++i) {
        const Date low{static_cast<std::int32_t>(random.below(20000))}, high = low + 2 + static_cast<int>(random.below(40000));
        const double middle = low.days + random.uniform() * (high - low), width = 1 + 2000 * random.uniform();
        const auto chance = [&](Date day) { return 1 / (1 + std::exp(-(day.days - middle) / width)); };
        DaySearch search(low, high, chance);
        const auto any_day = [&] { return low + static_cast<int>(random.below(50000)) - 1000; };
        for (int k = 0; k < 3; ++k) {
            const Date day = any_day();
            REQUIRE(search.ask(day) == chance(day));
        }
        for (int k = 0; k < 5; ++k) {
            const double p = 0.01 + 0.98 * random.uniform();
            Date expected = low + 1;  // plain counting
            while (expected < high && chance(expected) < p) expected = expected + 1;
            REQUIRE(search.first_day(p, any_day(), any_day()) == expected);
        }
    }
}

TEST_CASE("a joint that takes over the answers of an equal one has the bits of its own", "[law]") {
    const Coach coach = trailer(GENERATE(0, 7));
    const Forecast f = forecast(coach, as_of, 5);
    std::size_t equal = 0;
    f.basis->each_joint(0, [&](const JointBelief& belief, std::size_t first) {
        for (std::size_t l = 0; l < belief.size(); ++l) {
            const auto i = static_cast<Eigen::Index>(first + l);
            REQUIRE(f.due_now[i] == belief.due(l, as_of));
            REQUIRE(f.due_5_years[i] == belief.due(l, add_months(as_of, 60)));
            REQUIRE(f.condition[i] == belief.expected_grade(l, as_of));
            REQUIRE(f.effective_age[i] == belief.mean_age(l, as_of).total());
            REQUIRE(f.open_1_year[i] == belief.open(add_months(as_of, 12)));
            REQUIRE(f.due_10[i] == belief.day_of(l, 0.1).days);
            REQUIRE(f.due_90[i] == belief.day_of(l, 0.9).days);
            const double odds = belief.layer(l).early_odds;
            REQUIRE(f.early_defect[i] == odds / (1 + odds));
            REQUIRE(f.inspect_by[i] >= as_of.days);
            for (Eigen::Index k = 0; k < i; ++k) equal += f.due_now[k] == f.due_now[i] && f.due_50[k] == f.due_50[i] ? 1 : 0;
        }
    });
    CHECK(equal > 5);  // else nothing was taken over
}

TEST_CASE("what is asked for again is kept, up to the bound", "[law]") {
    Recent<int, int> recent(3);
    int made = 0;
    const auto value = [&](int key) { return recent.get(key, [&] { ++made; return 10 * key; }); };
    for (const int key : {1, 2, 3, 1, 2, 3}) CHECK(*value(key) == 10 * key);
    CHECK(made == 3);
    const auto held = value(1);
    value(4);  // 2 was not asked for longest
    CHECK(made == 4);
    CHECK(value(1) == held);
    CHECK(made == 4);
    value(2);
    CHECK(made == 5);
}
