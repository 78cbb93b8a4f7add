#include <functional>
#include <map>
#include <tuple>

#include "libseal/schedule/explain.hpp"
#include "libseal/schedule/verify.hpp"
#include "schedule/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Synthetic: small plans whose every figure is a whole hour, with all that a schedule knows.
struct Case {
    std::vector<Booking> bookings;
    Shop shop;
    ScheduleOptions options;
};

Case small_case(std::uint64_t seed, int jobs_a_coach, int coaches) {
    RandomStream random(seed, 77);
    const auto draw = [&](int n) { return static_cast<int>(random.below(static_cast<std::uint64_t>(n))); };
    Case c;
    c.shop = plain_shop(1 + draw(2), coaches > 1 ? 1 + draw(2) : 1);
    c.shop.people.back().from = 60 * (8 + draw(3));
    c.shop.people.back().skills = {"gas"};
    c.shop.ladders = 1;
    if (draw(3) == 0) c.shop.absences.push_back({c.shop.people[0].id, hour(24), hour(34), "school"});
    if (draw(2) == 0) {
        auto& open = c.options.open_hours["bond"];
        for (int d = 0; d < 40; ++d) {
            const int a = 8 + draw(4), b = a + 3 + draw(6);
            open.push_back({hour(24 * d + a), hour(24 * d + std::min(b, 23))});
        }
    }
    for (int g = 0; g < coaches; ++g) {
        std::vector<Step> steps;
        std::vector<Edge> edges;
        for (int j = 0; j < jobs_a_coach; ++j) {
            Step s = plain_step("s" + std::to_string(j), 60.0 * (1 + draw(4)), draw(5) == 0 ? static_cast<int>(c.shop.people.size()) : 1, draw(2) == 0);
            if (draw(6) == 0) s.people = 0, s.minutes = {};
            if (draw(3) == 0) s.gate = "bond";
            if (draw(3) == 0) s.reach = "ladder";
            if (draw(5) == 0) s.skills = {"gas"};
            s.task = j % 2;
            steps.push_back(s);
            for (int i = 0; i < j; ++i)
                if (draw(3) == 0) {
                    Edge e = plain_edge(i, j, draw(4) == 0 ? 60.0 * draw(20) : 0);
                    if (draw(6) == 0) e.longest = e.lag + 60.0 * (8 + draw(30));
                    edges.push_back(e);
                }
        }
        Booking booking;
        booking.plan = plan_with(steps, edges, "coach " + std::to_string(g));
        for (int t = 0; t < 2; ++t) {
            Task task;
            task.urgency = t == 0 ? Urgency::at_once : Urgency::next_service;
            task.due = monday + draw(3);
            booking.plan.tasks.push_back(task);
        }
        booking.arrival = draw(3) == 0 ? hour(draw(30)) : 0;
        booking.promised = draw(2) == 0 ? hour(24 * (1 + draw(3)) + 17) : 0;
        c.bookings.push_back(booking);
    }
    c.options.work_limit = 4000;
    return c;
}

/// The best score by trying every hour for every step with every team; no code of the library but the data.
class Hours {
public:
    explicit Hours(const Case& c) : c_(c) {
        for (std::size_t g = 0; g < c.bookings.size(); ++g)
            for (const int s : c.bookings[g].plan.order) list_.push_back({static_cast<int>(g), s});
        for (const Booking& booking : c.bookings) end_.emplace_back(booking.plan.steps.size(), 0), start_.emplace_back(booking.plan.steps.size(), 0);
        busy_.resize(c.shop.people.size());
        bay_.assign(c.bookings.size(), 0);
    }
    using Key = std::tuple<std::int64_t, Minute, Minute>;  ///< urgent days, minutes late, stay
    Key best{1 << 30, 0, 0};
    void run(int horizon_hours) { horizon_ = horizon_hours; bays(0); }

private:
    void bays(std::size_t g) {
        if (g == bay_.size()) return place(0);
        for (int b = 0; b < c_.shop.bays; ++b) bay_[g] = b, bays(g + 1);
    }
    bool works(int who, int h) const {
        const Person& p = c_.shop.people[static_cast<std::size_t>(who)];
        const int of_day = h % 24, day = h / 24 % 7;
        if (day > 4 || of_day * 60 < p.from || of_day < 8 || of_day == 12 || of_day >= 17) return false;
        for (const Absence& a : c_.shop.absences)
            if (a.person == p.id && hour(h) >= a.from && hour(h) < a.to) return false;
        return true;
    }
    bool open(const Step& s, int h) const {
        const auto own = c_.options.open_hours.find(s.gate);
        if (own == c_.options.open_hours.end()) return true;
        for (const TimeSpan& span : own->second)
            if (hour(h) >= span.from && hour(h) < span.to) return true;
        return false;
    }
    Key score(std::size_t placed) const {
        std::int64_t urgent = 0;
        Minute late = 0, stay = 0;
        for (std::size_t g = 0; g < end_.size(); ++g) {
            int last = 0;
            std::map<int, int> task_end;
            for (std::size_t k = 0; k < placed; ++k)
                if (list_[k].first == static_cast<int>(g)) {
                    const int e = end_[g][static_cast<std::size_t>(list_[k].second)];
                    last = std::max(last, e);
                    int& t = task_end[c_.bookings[g].plan.steps[static_cast<std::size_t>(list_[k].second)].task];
                    t = std::max(t, e);
                }
            const Minute arrival = std::max(c_.bookings[g].arrival, hour(0));
            const Minute end = std::max(arrival, hour(last));
            const auto at_once = task_end.find(0);
            const Minute due = minute_of(c_.bookings[g].plan.tasks[0].due + 1);
            if (at_once != task_end.end() && hour(at_once->second) > due) urgent += (hour(at_once->second) - due + 1439) / 1440;
            if (c_.bookings[g].promised > 0) late += std::max<Minute>(0, end - c_.bookings[g].promised);
            stay += end - arrival;
        }
        return {urgent, late, stay};
    }
    bool bays_hold() const {
        for (std::size_t a = 0; a < end_.size(); ++a)
            for (std::size_t b = 0; b < a; ++b) {
                if (bay_[a] != bay_[b]) continue;
                const auto span = [&](std::size_t g) {
                    int from = 1 << 20, to = 0;
                    for (std::size_t s = 0; s < end_[g].size(); ++s) {
                        if (c_.bookings[g].plan.steps[s].people > 0) from = std::min(from, start_[g][s]);
                        to = std::max(to, end_[g][s]);
                    }
                    return std::pair(std::min(from, to), to);
                };
                const auto x = span(a), y = span(b);
                if (x.first < y.second && y.first < x.second) return false;
            }
        return true;
    }
    void place(std::size_t k) {
        if (score(k) >= best) return;
        if (k == list_.size()) {
            if (bays_hold()) best = score(k);
            return;
        }
        const auto g = static_cast<std::size_t>(list_[k].first), s = static_cast<std::size_t>(list_[k].second);
        const Booking& booking = c_.bookings[g];
        const Step& step = booking.plan.steps[s];
        int ready = static_cast<int>((std::max(booking.arrival, hour(0)) - hour(0)) / 60), latest = horizon_;
        for (const Edge& e : booking.plan.edges)
            if (e.to == static_cast<int>(s)) {
                const int before = end_[g][static_cast<std::size_t>(e.from)];
                ready = std::max(ready, before + static_cast<int>(e.lag / 60));
                if (std::isfinite(e.longest)) latest = std::min(latest, before + static_cast<int>(e.longest / 60));
            }
        if (step.people == 0) {
            // A mark may wait when a longest wait or its coach's bay asks for it.
            for (int h = ready; h <= latest; ++h) {
                start_[g][s] = end_[g][s] = h;
                place(k + 1);
                if (score(k + 1) >= best) break;
            }
            end_[g][s] = 0;
            return;
        }
        const int people = static_cast<int>(c_.shop.people.size());
        for (int mask = 1; mask < (1 << people); ++mask) {
            std::vector<int> team;
            for (int p = 0; p < people; ++p)
                if (mask >> p & 1) team.push_back(p);
            if (static_cast<int>(team.size()) != step.people) continue;
            if (!step.skills.empty() && team.back() != people - 1) continue;  // only the last one has it
            for (int h = ready; h <= latest; ++h) try_at(k, g, s, step, team, h);
        }
        end_[g][s] = 0;
    }
    void try_at(std::size_t k, std::size_t g, std::size_t s, const Step& step, const std::vector<int>& team, int from) {
        const int need = static_cast<int>(step.minutes.mode / 60);
        std::vector<int> hours;
        for (int h = from; static_cast<int>(hours.size()) < need; ++h) {
            if (h > horizon_) return;
            const bool on = std::all_of(team.begin(), team.end(), [&](int p) { return works(p, h); }) && open(step, h);
            if (h == from && !on) return;
            if (!on && step.unbroken) return;  // all steps here are shorter than a half day
            if (!on) continue;
            for (const int p : team)
                if (busy_[static_cast<std::size_t>(p)].count(h)) return;
            if (step.reach == "ladder" && ladder_.count(h)) return;
            hours.push_back(h);
        }
        for (const int h : hours) {
            for (const int p : team) busy_[static_cast<std::size_t>(p)][h] = 1;
            if (step.reach == "ladder") ladder_[h] = 1;
        }
        start_[g][s] = from;
        end_[g][s] = hours.back() + 1;
        place(k + 1);
        for (const int h : hours) {
            for (const int p : team) busy_[static_cast<std::size_t>(p)].erase(h);
            if (step.reach == "ladder") ladder_.erase(h);
        }
    }
    const Case& c_;
    std::vector<std::pair<int, int>> list_;
    std::vector<std::vector<int>> end_, start_;
    std::vector<int> bay_;
    std::vector<std::map<int, int>> busy_;
    std::map<int, int> ladder_;
    int horizon_ = 0;
};

std::tuple<std::int64_t, Minute, Minute> key_of(const ScheduleScore& s) { return {s.urgent, s.late, s.stay}; }

}  // namespace

TEST_CASE("every hour for every step tried: nothing beats what the search calls optimal", "[schedule][law]") {
    int proved = 0, cases = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        const Case c = seed % 3 == 0 ? small_case(seed, 2, 2) : small_case(seed, 4, 1);
        const Schedule result = schedule(c.bookings, c.shop, monday, c.options);
        if (result.steps.empty()) continue;
        INFO("seed " << seed << ": " << to_text(result.outcome) << ", " << result.stopped);
        CHECK(verify(result, c.bookings, c.shop, monday, c.options).empty());
        Hours all(c);
        // Nothing later than the end found can be better in all three; a little more for the trade between them.
        all.best = key_of(result.score);
        std::get<2>(all.best) += 1;
        all.run(static_cast<int>((result.end - hour(0)) / 60) + 48);
        ++cases;
        proved += result.outcome == Outcome::optimal ? 1 : 0;
        if (result.outcome == Outcome::optimal) CHECK(all.best == key_of(result.score));
        else CHECK(all.best <= key_of(result.score));
        CHECK(key_of(result.bound) <= all.best);
    }
    CHECK(cases >= 125);
    CHECK(proved * 10 >= cases * 8);
}

TEST_CASE("rich plans of every kind come out valid, alike in each run, and other names change nothing", "[schedule][law]") {
    for (std::uint64_t seed = 100; seed < 130; ++seed) {
        Case c = small_case(seed, 8, 3);
        c.options.work_limit = 60;
        c.options.seed = seed;
        const Schedule result = schedule(c.bookings, c.shop, monday, c.options);
        INFO("seed " << seed << " " << result.stopped);
        if (result.steps.empty()) {
            CHECK_FALSE(result.obstacles.empty());
            continue;
        }
        const auto wrong = verify(result, c.bookings, c.shop, monday, c.options);
        for (const auto& words : wrong) UNSCOPED_INFO(words);
        CHECK(wrong.empty());
        CHECK(schedule_json(result, c.bookings, c.shop) == schedule_json(schedule(c.bookings, c.shop, monday, c.options), c.bookings, c.shop));
        Case renamed = c;
        for (Booking& booking : renamed.bookings) {
            booking.plan.coach += " renamed";
            for (Step& step : booking.plan.steps) step.id = "x" + step.id;
        }
        CHECK(schedule(renamed.bookings, c.shop, monday, c.options).score == result.score);
        const ScheduleEvaluation own = evaluate_schedule(result, c.bookings, c.shop, monday, c.options);
        CHECK(own.score == result.score);
        for (int g = 0; g < 3; ++g) CHECK_FALSE(explain(result, c.bookings, c.shop, monday, g, 7, c.options).empty());
    }
}

TEST_CASE("six coaches in two bays: orders of coaches are tried, valid, alike, never worse for more work", "[schedule][law]") {
    for (std::uint64_t seed = 300; seed < 306; ++seed) {
        Case c = small_case(seed, 6, 6);
        c.options.seed = seed;
        c.options.work_limit = 120;  // the first drafts take up to 40
        const Schedule few = schedule(c.bookings, c.shop, monday, c.options);
        INFO("seed " << seed << " " << few.stopped);
        if (few.steps.empty()) {
            CHECK_FALSE(few.obstacles.empty());
            continue;
        }
        CHECK(verify(few, c.bookings, c.shop, monday, c.options).empty());
        CHECK(schedule_json(few, c.bookings, c.shop) == schedule_json(schedule(c.bookings, c.shop, monday, c.options), c.bookings, c.shop));
        CHECK(key_of(few.bound) <= key_of(few.score));
        CHECK(few.score.stay >= few.bound.stay);
        c.options.work_limit = 1;
        const Schedule one = schedule(c.bookings, c.shop, monday, c.options);
        if (!one.steps.empty()) CHECK(few.score <= one.score);
    }
}

TEST_CASE("a wait before the first work holds no bay and lengthens no bound", "[schedule]") {
    // Worked by hand: each coach waits a day for a mark, then an hour of work; one bay holds both on Tuesday, one after the other.
    std::vector<Booking> two;
    for (const char* coach : {"a", "b"}) {
        Step mark = plain_step("mark", 0, 0);
        two.push_back({plan_with({mark, plain_step("work", 60)}, {plain_edge(0, 1, 1440)}, coach)});
    }
    const Schedule result = schedule(two, plain_shop(2, 1), monday);
    REQUIRE(result.stays.size() == 2);
    CHECK(result.outcome == Outcome::optimal);
    CHECK(std::max(result.stays[0].end, result.stays[1].end) == hour(34));
    CHECK(result.score.stay == (hour(33) - hour(0)) + (hour(34) - hour(0)));
    CHECK(result.lower_bound <= hour(34));
}

TEST_CASE("one more condition never makes a proved optimum better", "[schedule][law]") {
    int compared = 0;
    for (std::uint64_t seed = 200; seed < 230; ++seed) {
        const Case c = small_case(seed, 5, 1);
        Case more = c;
        RandomStream random(seed, 3);
        switch (random.below(3)) {
            case 0: more.bookings[0].plan.edges.push_back(plain_edge(0, 4, 60.0 * static_cast<double>(random.below(10)))); break;
            case 1: more.shop.absences.push_back({more.shop.people.back().id, hour(9), hour(15), "away"}); break;
            default: more.bookings[0].arrival = std::max(more.bookings[0].arrival, hour(9));
        }
        const Schedule a = schedule(c.bookings, c.shop, monday, c.options), b = schedule(more.bookings, more.shop, monday, more.options);
        if (a.outcome != Outcome::optimal || b.outcome != Outcome::optimal) continue;
        ++compared;
        const auto end = [](const Schedule& s) { return std::tuple(s.score.urgent, s.score.late, s.stays[0].end); };
        CHECK(end(a) <= end(b));
    }
    CHECK(compared >= 15);
}

TEST_CASE("a mark in time brings no coach into a bay that another one stands in", "[schedule]") {
    // The mark of the second coach lies before all that the search moves, its work does not.
    Shop shop = plain_shop(2, 1);
    shop.people[1].from = 11 * 60;
    std::vector<Step> first{plain_step("s0", 270), plain_step("s1", 105, 1, true), plain_step("s2", 225, 2, true)};
    first[0].reach = first[2].reach = "ladder";
    std::vector<Step> second{plain_step("s0", 270), plain_step("s1", 0, 0)};
    const Date thursday = make_date(2027, 3, 4);
    std::vector<Booking> bookings{{plan_with(first, {plain_edge(0, 1), plain_edge(0, 2, 900), plain_edge(1, 2, 180)}, "t0")}, {plan_with(second, {}, "t1")}};
    bookings[0].promised = minute_of(thursday, 64 * 60);
    ScheduleOptions options;
    for (const int work_limit : {1, 50, 200}) {
        options.work_limit = work_limit;
        for (options.seed = 0; options.seed < 5; ++options.seed)
            CHECK(verify(schedule(bookings, shop, thursday, options), bookings, shop, thursday, options).empty());
    }
}

TEST_CASE("a coach of marks in time alone holds no bay", "[schedule]") {
    // Worked by hand: one bay, four hours of work on the first coach; the second one's mark comes at nine, its second an hour later,
    // the third coach has an hour of work for the other person.
    std::vector<Booking> bookings{{plan_with({plain_step("strip", 240)}, {}, "a")},
                                  {plan_with({plain_step("cured", 0, 0), plain_step("ready", 0, 0)}, {plain_edge(0, 1, 60)}, "b")}};
    bookings[1].arrival = hour(9);
    const Shop shop = plain_shop(2, 1);
    const Schedule two = schedule(bookings, shop, monday);
    REQUIRE(two.stays.size() == 2);
    CHECK(two.outcome == Outcome::optimal);
    CHECK(two.stays[0].begin == hour(8));
    CHECK(two.stays[0].end == hour(12));
    CHECK(two.steps[1].start == hour(9));
    CHECK(two.steps[2].start == hour(10));
    CHECK(two.score.stay == 12 * 60 + 60);
    // Four coaches go the other way through the search. The two with work share the bay: until noon, and from one to two.
    bookings.push_back({plan_with({plain_step("wash", 60)}, {}, "c")});
    bookings.push_back({plan_with({plain_step("cured", 0, 0)}, {}, "d")});
    bookings[0].promised = hour(12);
    bookings[3].arrival = hour(11);
    const Schedule four = schedule(bookings, shop, monday);
    REQUIRE(four.stays.size() == 4);
    CHECK(four.stays[0].end == hour(12));
    CHECK(four.stays[1].end == hour(10));
    CHECK(four.stays[2].begin == hour(13));
    CHECK(four.stays[3].end == hour(11));
    CHECK(verify(four, bookings, shop, monday).empty());
    const auto why = explain(four, bookings, shop, monday, 2, 0);
    REQUIRE(why.size() == 2);
    CHECK(why[0].kind == "hours");
    CHECK(why[0].by_booking == 0);  // not the coaches that only wait
}
