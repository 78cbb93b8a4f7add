#include <algorithm>
#include <map>
#include <set>

#include "libseal/ageing/rainflow.hpp"
#include "libseal/core/error.hpp"
#include "libseal/leak/network.hpp"
#include "libseal/schedule/verify.hpp"
#include "libseal/work/order.hpp"
#include "schedule/samples.hpp"
#include "support/property.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Steps with edges from lower to higher numbers, then numbered anew at random.
WorkPlan any_plan(const std::string& coach, int most) {
    const int count = *rc::gen::inRange(1, most + 1);
    std::vector<Step> steps;
    for (int i = 0; i < count; ++i) {
        steps.push_back(plain_step("s" + std::to_string(i), 15.0 * *rc::gen::inRange(1, 17), 1 + *rc::gen::inRange(0, 2), *rc::gen::arbitrary<bool>()));
        steps.back().reach = *rc::gen::element<std::string>("", "ladder", "roof");
    }
    std::vector<Edge> edges;
    for (int i = 0; i < count; ++i)
        for (int j = i + 1; j < count; ++j)
            if (*rc::gen::inRange(0, 3) == 0) edges.push_back(plain_edge(i, j, 60.0 * *rc::gen::inRange(0, 30)));
    return plan_with(steps, edges, coach);
}

ScheduleOptions limited() {
    ScheduleOptions options;
    options.work_limit = 30;
    return options;
}

}  // namespace

TEST_CASE("orders heed every edge", "[property][work]") {
    check_property("an order holds each step once, each edge forward, whatever the order of the edges", 150, [] {
        const WorkPlan plan = any_plan("t", 12);
        std::vector<int> place(plan.steps.size(), -1);
        RC_ASSERT(plan.order.size() == plan.steps.size());
        for (std::size_t i = 0; i < plan.order.size(); ++i) place[static_cast<std::size_t>(plan.order[i])] = static_cast<int>(i);
        RC_ASSERT(std::count(place.begin(), place.end(), -1) == 0);
        for (const Edge& edge : plan.edges) RC_ASSERT(place[static_cast<std::size_t>(edge.from)] < place[static_cast<std::size_t>(edge.to)]);
        std::vector<Edge> shuffled(plan.edges.rbegin(), plan.edges.rend());
        RC_ASSERT(ordered_steps(plan.steps, shuffled) == plan.order);
        if (plan.edges.empty()) return;
        shuffled.push_back(plain_edge(plan.edges[0].to, plan.edges[0].from));
        RC_ASSERT_THROWS_AS(ordered_steps(plan.steps, shuffled), ValueError);
    });
}

TEST_CASE("schedules stand before the verifier", "[property][schedule]") {
    check_property("every schedule is valid, and a week later everything is a week later", 40, [] {
        const Shop shop = plain_shop(2, 1 + *rc::gen::inRange(0, 2));
        const WorkPlan plan = any_plan("t", 6);
        const Date start = monday + *rc::gen::inRange(0, 7);
        const Schedule now = schedule(plan, shop, start, limited());
        RC_ASSERT(now.outcome == Outcome::optimal || now.outcome == Outcome::feasible);
        RC_ASSERT(verify(now, plan, shop, start, limited()).empty());
        RC_ASSERT(now.lower_bound <= now.end);
        const int weeks = *rc::gen::inRange(1, 50);
        const Schedule later = schedule(plan, shop, start + 7 * weeks, limited());
        RC_ASSERT(later.score == now.score);
        RC_ASSERT(later.steps.size() == now.steps.size());
        for (std::size_t i = 0; i < now.steps.size(); ++i) {
            RC_ASSERT(later.steps[i].start == now.steps[i].start + Minute{weeks} * 7 * 1440);
            RC_ASSERT(later.steps[i].people == now.steps[i].people);
        }
    });
    check_property("the order of the coaches decides nothing that can be proved", 25, [] {
        const Shop shop = plain_shop(2, 2);
        std::vector<Booking> bookings{{any_plan("a", 3)}, {any_plan("b", 3)}};
        const Schedule one = schedule(bookings, shop, monday, limited());
        RC_ASSERT(verify(one, bookings, shop, monday, limited()).empty());
        std::swap(bookings[0], bookings[1]);
        const Schedule two = schedule(bookings, shop, monday, limited());
        RC_ASSERT(verify(two, bookings, shop, monday, limited()).empty());
        RC_ASSERT(one.bound <= two.score && two.bound <= one.score);
        if (one.outcome != Outcome::optimal || two.outcome != Outcome::optimal) return;  // which speaks of the days and the stay
        RC_ASSERT(one.score.urgent == two.score.urgent && one.score.late == two.score.late && one.score.stay == two.score.stay);
    });
}

TEST_CASE("cycles are counted alike wherever a history is cut, moved or stretched", "[property][ageing]") {
    check_property("rainflow of pieces, of a moved and of a stretched history", 150, [] {
        const auto values = *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(-9, 10)));
        Column series(static_cast<Eigen::Index>(values.size()));
        for (std::size_t i = 0; i < values.size(); ++i) series[static_cast<Eigen::Index>(i)] = values[i];
        const CycleTable whole = rainflow(series);
        RainflowCounter counter;
        const Eigen::Index cut = *rc::gen::inRange<Eigen::Index>(0, series.size() + 1);
        counter.add(series.head(cut));
        counter.add(series.tail(series.size() - cut));
        const CycleTable pieces = table_of(counter.finish()), moved = rainflow(series + 64), stretched = rainflow(series * 4);
        RC_ASSERT(pieces.rows() == whole.rows() && (pieces == whole).all());
        RC_ASSERT(moved.rows() == whole.rows() && stretched.rows() == whole.rows());
        if (whole.rows() > 0) {
            RC_ASSERT((moved.col(0) == whole.col(0)).all() && (moved.col(1) == whole.col(1) + 64).all());
            RC_ASSERT((stretched.col(0) == whole.col(0) * 4).all());
        }
        // Every half cycle of the history is half of one that is counted.
        double halves = 0, turns = 0;
        for (Eigen::Index i = 0; i < whole.rows(); ++i) halves += 2 * whole(i, 2);
        int direction = 0;
        for (Eigen::Index i = 1; i < series.size(); ++i) {
            const int now = series[i] > series[i - 1] ? 1 : series[i] < series[i - 1] ? -1 : 0;
            turns += now != 0 && now != direction;
            if (now != 0) direction = now;
        }
        RC_ASSERT(halves == turns);
    });
}

TEST_CASE("what is seen of causes can be told in any order", "[property][leak]") {
    check_property("evidence in any order, and the sum of both values of a node", 100, [] {
        CauseNetwork net;
        for (int id = 0, count = *rc::gen::inRange(2, 9); id < count; ++id) {
            std::vector<int> parents;
            for (int p = 0; p < id && parents.size() < 4; ++p)
                if (*rc::gen::inRange(0, 3) == 0) parents.push_back(p);
            const auto chance = [] { return (1 + *rc::gen::inRange(0, 99)) / 100.0; };
            if (parents.empty()) {
                net.root(chance());
                continue;
            }
            std::vector<double> passes(parents.size());
            for (double& one : passes) one = chance();
            net.noisy_or(parents, passes, chance());
        }
        std::vector<CauseEvidence> seen;
        for (int id = 0; id < static_cast<int>(net.size()); ++id)
            if (*rc::gen::inRange(0, 3) == 0) seen.push_back({id, *rc::gen::arbitrary<bool>()});
        const CauseAnswer one = infer(net, seen);
        std::reverse(seen.begin(), seen.end());
        const CauseAnswer two = infer(net, seen);
        RC_ASSERT(one.evidence == Approx(two.evidence).epsilon(1e-12));
        for (std::size_t id = 0; id < net.size(); ++id) {
            RC_ASSERT(one.probability[id] == Approx(two.probability[id]).epsilon(1e-12));
            RC_ASSERT(one.probability[id] >= 0 && one.probability[id] <= 1 + 1e-12);
        }
        const int asked = *rc::gen::inRange(0, static_cast<int>(net.size()));
        if (std::any_of(seen.begin(), seen.end(), [&](const CauseEvidence& e) { return e.node == asked; })) return;
        double sum = 0;
        for (const bool value : {false, true}) {
            auto more = seen;
            more.push_back({asked, value});
            try {
                sum += infer(net, more).evidence;
            } catch (const ValueError&) {  // impossible
            }
        }
        RC_ASSERT(sum == Approx(one.evidence).epsilon(1e-9));
    });
}
