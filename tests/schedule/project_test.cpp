#include "libseal/schedule/project.hpp"

#include <limits>

#include "libseal/core/error.hpp"
#include "schedule/projects.hpp"
#include "support/catch.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

std::string refusal(const Project& p, int work_limit = 100) {
    try {
        solve(p, work_limit);
    } catch (const ValueError& error) {
        return error.what();
    }
    return "accepted";
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// Three tasks in a row beside one, one resource.
Project small_project() { return {{2, 3, 4, 5}, {{1}, {2}, {}, {}}, {{1}, {1}, {2}, {1}}, {2}}; }

Project renumbered(const Project& p, const std::vector<int>& place) {
    const auto at = [&](std::size_t i) { return static_cast<std::size_t>(place[i]); };
    Project q = p;
    for (std::size_t i = 0; i < place.size(); ++i) {
        q.durations[at(i)] = p.durations[i];
        q.demands[at(i)] = p.demands[i];
        q.successors[at(i)].clear();
        for (const int s : p.successors[i]) q.successors[at(i)].push_back(place[static_cast<std::size_t>(s)]);
    }
    return q;
}

}  // namespace

TEST_CASE("small projects get the makespan that trying all starts gives", "[schedule][reference]") {
    // Synthetic projects; the reference is an exhaustive search over start times.
    int proven = 0;
    for (std::uint64_t seed = 0; seed < 150; ++seed) {
        const Project p =
            random_project(seed, 3 + static_cast<int>(seed % 4), 1 + static_cast<int>(seed % 3), 4);
        const auto result = solve(p);
        const int shortest = exhaustive_makespan(p);
        INFO("seed " << seed);
        CHECK(fault_of(p, result.start, result.makespan) == "");
        CHECK(result.makespan == shortest);
        CHECK(result.lower_bound <= shortest);
        proven += result.outcome == Outcome::optimal;
    }
    CHECK(proven == 150);  // small enough for the exact search
}

TEST_CASE("what the search has missed the exact search finds with the rest of the work limit", "[schedule][reference]") {
    // A twentieth of so small a limit is the exact search's, four places a schedule: here that is enough, though not for a proof.
    const Project p = random_project(116, 10, 3, 8, 0.08);
    const int shortest = exhaustive_makespan(p);
    for (const int work_limit : {60, 100}) {
        const ProjectResult result = solve(p, work_limit);
        CHECK(result.makespan == shortest);
        CHECK(result.lower_bound <= shortest);
        CHECK(result.schedules <= work_limit);
        CHECK(fault_of(p, result.start, result.makespan) == "");
    }
}

TEST_CASE("what the solver returns is a schedule of the size it says", "[schedule][law]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const int tasks = 5 + static_cast<int>(seed) * 3;
        const Project p = random_project(seed, tasks, static_cast<int>(seed % 6), 9, 3.0 / tasks);
        const auto result = solve(p, 200);
        INFO("seed " << seed);
        CHECK(fault_of(p, result.start, result.makespan) == "");
        CHECK(result.lower_bound <= result.makespan);
        CHECK(result.schedules <= 200);
        CHECK(result.schedules >= 1);
        CHECK((result.outcome == Outcome::optimal) == (result.lower_bound == result.makespan));
        if (result.outcome != Outcome::optimal) CHECK(result.outcome == Outcome::feasible);
        CHECK(result.stopped != "");
    }
}

TEST_CASE("threads and repetition change no start of a project, the seed may", "[schedule][law]") {
    const Project p = random_project(5, 60, 4, 10, 0.05);
    const auto one = solve(p, 9000, 1);
    CHECK(one.outcome == Outcome::feasible);
    for (const int threads : {1, 2, 3, 0}) {
        const auto other = solve(p, 9000, threads);
        CHECK(other.start == one.start);
        CHECK(other.lower_bound == one.lower_bound);
        CHECK(other.schedules == one.schedules);
    }
    CHECK(solve(p, 9000, 1, 1).start != one.start);
}

TEST_CASE("new numbers for the tasks leave a proven optimum as it is", "[schedule][law]") {
    int compared = 0;
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        const Project p = random_project(seed, 14, 2, 6, 0.15);
        std::vector<int> place(14);
        std::iota(place.begin(), place.end(), 0);
        RandomStream random(seed, 3);
        for (std::size_t i = 13; i > 0; --i) std::swap(place[i], place[random.below(i + 1)]);
        const Project q = renumbered(p, place);
        const auto a = solve(p);
        const auto b = solve(q);
        CHECK(fault_of(q, b.start, b.makespan) == "");
        if (a.outcome != Outcome::optimal || b.outcome != Outcome::optimal) continue;
        ++compared;
        CHECK(a.makespan == b.makespan);
    }
    CHECK(compared >= 25);
}

TEST_CASE("one more constraint never makes a proven optimum shorter", "[schedule][law]") {
    int compared = 0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Project p = random_project(seed, 14, 2, 6, 0.15);
        const auto before = solve(p);
        if (before.outcome != Outcome::optimal) continue;
        RandomStream random(seed, 4);
        const std::size_t i = random.below(13);
        Project arc = p, longer = p, tighter = p;
        arc.successors[i].push_back(13);
        longer.durations[i] += 1;
        tighter.capacities[0] -= 1;
        for (const Project& q : {arc, longer, tighter}) {
            const auto after = solve(q);
            if (after.outcome == Outcome::infeasible) continue;
            ++compared;
            // Any schedule of the harder project is one of the easier.
            CHECK(after.makespan >= before.makespan);
        }
    }
    CHECK(compared > 80);
}

TEST_CASE("nothing to do takes no time", "[schedule]") {
    const auto nothing = solve_project({}, {}, {}, {});
    CHECK(nothing.outcome == Outcome::optimal);
    CHECK(nothing.makespan == 0);
    CHECK(nothing.start.empty());
    const auto milestones = solve_project({0, 0, 0}, {{1}, {2}, {}}, {{3}, {0}, {1}}, {1});
    CHECK(milestones.outcome == Outcome::optimal);
    CHECK(milestones.makespan == 0);
    CHECK(milestones.start == std::vector<int>{0, 0, 0});
}

TEST_CASE("without limits a project takes its longest way", "[schedule]") {
    const auto none = solve_project({2, 3, 4}, {{2}, {2}, {}}, {{}, {}, {}}, {});
    CHECK(none.makespan == 7);
    CHECK(none.outcome == Outcome::optimal);
    const int most = std::numeric_limits<int>::max();
    const auto ample = solve_project({2, 3, 4}, {{2}, {2}, {}}, {{most}, {0}, {most}}, {most});
    CHECK(ample.makespan == 7);
    const auto in_turn = solve_project({2, 3, 4}, {{}, {}, {}}, {{most}, {most}, {1}}, {most});
    CHECK(in_turn.makespan == 9);
}

TEST_CASE("many resources are kept apart, whatever words they are packed into", "[schedule][law]") {
    // A resource doubled is no new limit; an idle one neither. Wide capacities fill many words.
    for (const int copies : {1, 2, 9, 16, 40}) {
        for (std::uint64_t seed = 0; seed < 6; ++seed) {
            Project p = random_project(seed, 10, 3, 5, 0.2);
            const auto plain = solve(p);
            Project q = p;
            for (int c = 1; c < copies; ++c)
                for (std::size_t k = 0; k < 3; ++k) {
                    q.capacities.push_back(p.capacities[k] * 1009 + c);
                    for (std::size_t i = 0; i < 10; ++i)
                        q.demands[i].push_back(p.demands[i][k] * 1009 + (c > 1));
                }
            const auto wide = solve(q);
            INFO("copies " << copies << ", seed " << seed);
            CHECK(fault_of(q, wide.start, wide.makespan) == "");
            if (copies == 1) CHECK(wide.start == plain.start);
            if (copies == 2 && plain.outcome == Outcome::optimal && wide.outcome == Outcome::optimal)
                CHECK(wide.makespan == plain.makespan);
        }
    }
}

TEST_CASE("minutes in the place of hours make the project as long in minutes", "[schedule][law]") {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const Project hours = random_project(seed, 12, 2, 6, 0.15);
        Project minutes = hours;
        for (int& d : minutes.durations) d *= 60 * 24 * 7;
        // One task of a minute that is in nobody's way: so the solver cannot go back to weeks.
        minutes.durations.push_back(1);
        minutes.successors.emplace_back();
        minutes.demands.push_back({0, 0});
        const auto coarse = solve(hours);
        const auto fine = solve(minutes);
        REQUIRE(coarse.makespan > 0);
        if (coarse.outcome == Outcome::optimal && fine.outcome == Outcome::optimal)
            CHECK(fine.makespan == coarse.makespan * 60 * 24 * 7);
        std::vector<int> back = fine.start;
        back.pop_back();
        for (int& t : back) t /= 60 * 24 * 7;
        CHECK(fault_of(hours, back, fine.makespan / (60 * 24 * 7)) == "");
    }
}

TEST_CASE("a demand above the capacity makes a project infeasible, with the reason", "[schedule]") {
    Project p = small_project();
    p.demands[2] = {3};
    const auto result = solve(p);
    CHECK(result.outcome == Outcome::infeasible);
    CHECK(result.start.empty());
    CHECK(says(result.stopped, "task 2 needs 3 of resource 0, which has 2"));
}

TEST_CASE("a loop of successors is named", "[schedule][bad_input]") {
    Project p = small_project();
    p.successors = {{1}, {2}, {3}, {1}};
    CHECK(says(refusal(p), "1 -> 2 -> 3 -> 1"));
    p.successors = {{}, {}, {2}, {}};
    CHECK(says(refusal(p), "2 -> 2"));
}

TEST_CASE("sizes, signs and numbers of a project are checked", "[schedule][bad_input]") {
    Project p = small_project();
    p.durations[1] = -1;
    CHECK(says(refusal(p), "durations[1]"));
    p = small_project();
    p.successors.pop_back();
    CHECK(says(refusal(p), "successors: expected 4 entries"));
    p = small_project();
    p.demands.pop_back();
    CHECK(says(refusal(p), "demands: expected 4 entries"));
    p = small_project();
    p.demands[3] = {1, 1};
    CHECK(says(refusal(p), "demands[3]"));
    p = small_project();
    p.demands[3] = {-1};
    CHECK(says(refusal(p), "demands[3][0]"));
    p = small_project();
    p.capacities[0] = -2;
    CHECK(says(refusal(p), "capacities[0]"));
    for (const int wrong : {-1, 4}) {
        p = small_project();
        p.successors[0] = {1, wrong};
        CHECK(says(refusal(p), "successors[0][1]"));
    }
    p = small_project();
    p.durations[0] = p.durations[1] = 1 << 29;
    CHECK(says(refusal(p), "sum"));
    CHECK(says(refusal(small_project(), 0), "work_limit"));
    ProjectOptions options;
    options.threads = -1;
    CHECK_THROWS_AS(solve_project({}, {}, {}, {}, options), ValueError);
}

TEST_CASE("a project that is stopped has a schedule all the same", "[schedule]") {
    const Project p = random_project(5, 60, 4, 10, 0.05);
    ProjectOptions options;
    options.watch.stop.stop();
    const auto result = solve_project(p.durations, p.successors, p.demands, p.capacities, options);
    CHECK(result.outcome == Outcome::cancelled);
    CHECK(result.stopped == "asked to stop");
    CHECK(fault_of(p, result.start, result.makespan) == "");
    CHECK(result.schedules <= 3);  // the first, justified

    ProjectOptions soon;
    soon.watch.progress = [&](const Progress&) { soon.watch.stop.stop(); };
    const auto later = solve_project(p.durations, p.successors, p.demands, p.capacities, soon);
    CHECK(later.outcome == Outcome::cancelled);
    CHECK(later.schedules < soon.work_limit);
    CHECK(later.schedules > 1);
}

TEST_CASE("what a progress callback throws ends the solver and reaches the caller", "[schedule]") {
    const Project p = random_project(5, 60, 4, 10, 0.05);
    ProjectOptions options;
    options.watch.progress = [](const Progress&) { throw std::runtime_error("enough"); };
    CHECK_THROWS_WITH(solve_project(p.durations, p.successors, p.demands, p.capacities, options), "enough");
}

TEST_CASE("a single schedule is allowed", "[schedule]") {
    const Project p = random_project(8, 30, 3, 10, 0.1);
    const auto result = solve(p, 1);
    CHECK(result.schedules == 1);
    CHECK(fault_of(p, result.start, result.makespan) == "");
}
