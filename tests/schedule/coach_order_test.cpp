// The search over orders of coaches, from four coaches on: against trying all orders, and its shortened passes against whole ones.

#include <numeric>
#include <tuple>

#include "libseal/schedule/verify.hpp"
#include "schedule/generate.hpp"
#include "schedule/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Synthetic: one person and one bay, open day and night, each coach with one step of whole hours and a promised hand-over.
struct Yard {
    std::vector<Booking> bookings;
    std::vector<int> hours, promised;
    Shop shop = plain_shop();
};

Yard yard_of(std::uint64_t seed, int coaches) {
    RandomStream random(seed, 21);
    Yard yard;
    yard.shop.open_from = yard.shop.break_from = yard.shop.break_to = 0;
    yard.shop.open_to = 1440;
    yard.shop.working_days.fill(true);
    yard.shop.people[0].from = 0;
    yard.shop.people[0].to = 1440;
    for (int g = 0; g < coaches; ++g) {
        yard.hours.push_back(static_cast<int>(1 + random.below(12)));
        yard.promised.push_back(static_cast<int>(4 + random.below(40)));
        yard.bookings.push_back({plan_with({plain_step("work", 60.0 * yard.hours.back())}, {}, "coach " + std::to_string(g))});
        yard.bookings.back().promised = hour(yard.promised.back());
    }
    return yard;
}

/// Minutes late and stay, as if the coaches were served in this order without a pause: no pause makes either less.
std::pair<Minute, Minute> served(const Yard& yard, const std::vector<int>& order) {
    Minute now = 0, late = 0, stay = 0;
    for (const int g : order) {
        now += 60 * yard.hours[at(g)];
        late += std::max<Minute>(0, now - 60 * yard.promised[at(g)]);
        stay += now;
    }
    return {late, stay};
}

/// The best of all orders.
std::pair<Minute, Minute> best_order(const Yard& yard) {
    std::vector<int> order(yard.hours.size());
    std::iota(order.begin(), order.end(), 0);
    std::pair<Minute, Minute> best = served(yard, order);
    while (std::next_permutation(order.begin(), order.end())) best = std::min(best, served(yard, order));
    return best;
}

ScheduleOptions limited(int work_limit, std::uint64_t seed) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    options.seed = seed;
    return options;
}

/// Synthetic: coaches that share people, bays and a ladder, some with marks in time, cures, longest waits or a bay of their own.
std::vector<Booking> mixed_coaches(std::uint64_t seed, int coaches) {
    RandomStream random(seed, 22);
    const auto draw = [&](int n) { return static_cast<int>(random.below(static_cast<std::uint64_t>(n))); };
    std::vector<Booking> bookings;
    for (int g = 0; g < coaches; ++g) {
        std::vector<Step> steps;
        std::vector<Edge> edges;
        for (int j = 0, n = 1 + draw(4); j < n; ++j) {
            steps.push_back(plain_step("s" + std::to_string(j), 30.0 * (1 + draw(8)), 1 + (draw(4) == 0 ? 1 : 0), draw(3) == 0));
            if (draw(5) == 0) steps.back().people = 0, steps.back().minutes = {};
            if (draw(3) == 0) steps.back().reach = "ladder";
            if (j == 0) continue;
            edges.push_back(plain_edge(draw(j), j, draw(3) == 0 ? 60.0 * draw(30) : 0));
            if (draw(4) == 0) edges.back().longest = edges.back().lag + 60.0 * (20 + draw(60));
        }
        bookings.push_back({plan_with(steps, edges, "coach " + std::to_string(g))});
        if (draw(3) == 0) bookings.back().arrival = hour(draw(60));
        if (draw(2) == 0) bookings.back().promised = hour(24 * draw(5) + 17);
        if (draw(4) == 0) bookings.back().bay = draw(2);
    }
    return bookings;
}

/// Keys by which the coaches are served in this order.
detail::ShopKeys keys_of(const detail::Jobs& jobs, const std::vector<int>& order) {
    detail::ShopKeys keys;
    keys.job.resize(jobs.jobs.size());
    keys.guest.resize(jobs.guests.size());
    keys.kind.assign(jobs.guests.size(), -1);
    for (std::size_t k = 0; k < order.size(); ++k) {
        const detail::Guest& guest = jobs.guests[at(order[k])];
        keys.guest[at(order[k])] = 1e7 * static_cast<double>(k) - 1e6;
        for (int j = guest.first; j < guest.last; ++j) keys.job[at(j)] = 1e7 * static_cast<double>(k) - static_cast<double>(jobs.jobs[at(j)].tail);
    }
    return keys;
}

}  // namespace

TEST_CASE("coaches one after the other: the order found is never better and seldom worse than the best of all orders", "[schedule][reference]") {
    int best_found = 0;
    constexpr int yards = 12;
    for (std::uint64_t seed = 0; seed < yards; ++seed) {
        const Yard yard = yard_of(seed, 7);
        const auto best = best_order(yard);
        const ScheduleOptions options = limited(600, seed);
        const Schedule result = schedule(yard.bookings, yard.shop, monday, options);
        INFO("seed " << seed << ": " << result.stopped << ", late " << result.score.late << " min, best " << best.first);
        REQUIRE(result.stays.size() == yard.hours.size());
        CHECK(verify(result, yard.bookings, yard.shop, monday, options).empty());
        CHECK(std::pair(result.score.late, result.score.stay) >= best);
        CHECK(result.bound.late <= best.first);
        best_found += std::pair(result.score.late, result.score.stay) == best;
    }
    CHECK(best_found >= yards - 1);
}

TEST_CASE("many coaches: with work left for orders the schedule is valid, alike in each run, and no worse than the first ones", "[schedule][law]") {
    int better = 0, schedules = 0;
    for (std::uint64_t seed = 0; seed < 8; ++seed) {
        const std::vector<Booking> bookings = mixed_coaches(seed, 5 + static_cast<int>(seed % 4));
        Shop shop = plain_shop(2, 2);
        shop.ladders = 1;
        const ScheduleOptions options = limited(120, seed);
        const Schedule result = schedule(bookings, shop, monday, options);
        INFO("seed " << seed << ": " << result.stopped);
        if (result.steps.empty()) continue;
        ++schedules;
        CHECK(result.tried <= options.work_limit + 1);  // the last one may end beyond it
        CHECK(verify(result, bookings, shop, monday, options).empty());
        CHECK(schedule_json(result, bookings, shop) == schedule_json(schedule(bookings, shop, monday, options), bookings, shop));
        // The first eight are the same whatever the limit is.
        for (const int fewer : {1, 8}) {
            const Schedule first = schedule(bookings, shop, monday, limited(fewer, seed));
            if (first.steps.empty()) continue;
            CHECK(result.score <= first.score);
            better += result.score < first.score;
        }
    }
    CHECK(schedules >= 6);
    CHECK(better >= 1);
}

TEST_CASE("only the coaches behind a change are placed again: the same schedule as from scratch, for its share of the work", "[schedule][law]") {
    int compared = 0;
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const std::vector<Booking> bookings = mixed_coaches(seed, 6);
        Shop shop = plain_shop(2, 2);
        shop.ladders = 1;
        const ScheduleOptions options;
        detail::ShopHours hours(shop, monday, 92, options);
        const detail::Jobs jobs = detail::jobs_of(bookings, hours, monday, options);
        detail::ShopGenerator generator(jobs, hours);
        RandomStream random(seed, 23);
        std::vector<int> order(jobs.guests.size());
        std::iota(order.begin(), order.end(), 0);
        const auto shuffle_from = [&](std::size_t first) {
            for (std::size_t k = order.size(); k-- > first + 1;) std::swap(order[k], order[first + random.below(k - first + 1)]);
        };
        // Marks in time alone hold no bay and are placed again.
        std::vector<char> works(jobs.guests.size(), 0);
        for (const detail::BookedStep& job : jobs.jobs)
            if (job.work > 0) works[at(job.booking)] = 1;
        shuffle_from(0);
        detail::ShopDraft base;
        generator.generate(keys_of(jobs, order), base);
        for (std::size_t first = 0; base.complete && first <= order.size(); ++first) {
            shuffle_from(first);
            std::vector<char> stays(order.size(), 0);
            std::size_t kept = 0;
            for (std::size_t k = 0; k < first; ++k) {
                const detail::Guest& guest = jobs.guests[at(order[k])];
                stays[at(order[k])] = 1;
                kept += works[at(order[k])] ? at(guest.last - guest.first) : 0;
            }
            detail::ShopDraft whole, part;
            const double before = generator.worked();
            generator.generate_after(keys_of(jobs, order), base, stays, part);
            CHECK(generator.worked() - before == Approx(1 - 0.9 * static_cast<double>(kept) / static_cast<double>(jobs.jobs.size())));
            generator.generate(keys_of(jobs, order), whole);
            INFO("seed " << seed << ", " << first << " coaches stay");
            REQUIRE(part.complete == whole.complete);
            if (!whole.complete) break;
            ++compared;
            CHECK(part.score == whole.score);
            for (std::size_t g = 0; g < jobs.guests.size(); ++g)
                if (works[g]) CHECK(part.bay[g] == whole.bay[g]);
            CHECK(part.begin == whole.begin);
            CHECK(part.end == whole.end);
            int other = 0;
            for (std::size_t j = 0; j < jobs.jobs.size(); ++j)
                other += std::tuple(part.jobs[j].start, part.jobs[j].end, part.jobs[j].team) != std::tuple(whole.jobs[j].start, whole.jobs[j].end, whole.jobs[j].team) ||
                         part.jobs[j].pieces != whole.jobs[j].pieces;
            CHECK(other == 0);
            base = whole;
        }
    }
    CHECK(compared >= 100);
}
