// Tiny plans of one or two coaches: the quick planner against the thorough one, which tries all orders; both are judged by
// the verifier.

#include "libseal/schedule/schedule.hpp"
#include "libseal/schedule/verify.hpp"
#include "small_plans.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

WorkPlan plan_of(Bytes& bytes, const std::string& coach) {
    std::vector<double> minutes;
    std::vector<SmallEdge> edges;
    const int steps = 1 + bytes.below(3);
    for (int i = 0; i < steps; ++i) {
        minutes.push_back(15.0 * bytes.below(20));
        const std::uint8_t before = bytes.byte();
        for (int j = 0; j < i; ++j)
            if ((before >> j) & 1) edges.push_back({j, i, before & 64 ? 60.0 * bytes.below(24) : 0.0});
    }
    WorkPlan plan = small_plan(coach, minutes, edges);
    for (Step& step : plan.steps) {
        const std::uint8_t kind = bytes.byte();
        step.unbroken = kind & 1;
        step.people = step.minutes.mode > 0 ? 1 + (kind >> 1) % 2 : 0;
        if (kind & 8) step.reach = "ladder";
    }
    return plan;
}

Schedule judged(const std::vector<Booking>& bookings, const Shop& shop, Date start, int work_limit) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    Schedule result = schedule(bookings, shop, start, options);
    if (result.outcome == Outcome::infeasible || result.outcome == Outcome::none_found) return result;
    for (const std::string& fault : verify(result, bookings, shop, start, options)) broken(fault);
    require(result.end >= result.lower_bound, "no schedule ends before its lower bound");
    return result;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Bytes bytes(data, size);
    Shop shop = small_shop(2, 1 + bytes.below(2));
    shop.people[1].from = 480 + 60 * bytes.below(4);
    const Date start = make_date(2027, 3, 1) + bytes.below(7);
    std::vector<Booking> bookings;
    for (int i = 0, coaches = 1 + bytes.below(2); i < coaches; ++i) {
        Booking booking;
        booking.plan = plan_of(bytes, "t" + std::to_string(i));
        if (const int hours = bytes.below(120)) booking.promised = minute_of(start, 60 * hours);
        bookings.push_back(booking);
    }
    const Schedule quick = judged(bookings, shop, start, 1), thorough = judged(bookings, shop, start, 200);
    require(quick.steps.empty() || !thorough.steps.empty(), "more work finds what less work finds");
    if (quick.steps.empty()) return 0;
    require(thorough.score <= quick.score, "more work finds nothing worse");
    require(quick.lower_bound <= thorough.end && thorough.lower_bound <= quick.end, "bounds hold for every schedule");
    // What is called optimal is so in days and stay; changes of people and sides are only few.
    const auto proved = [](ScheduleScore score) {
        score.changes = 0;
        return score;
    };
    require(quick.outcome != Outcome::optimal || proved(quick.score) <= proved(thorough.score), "nothing is better than what is called optimal");
    return 0;
}
