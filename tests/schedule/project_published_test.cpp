// The project solver against textbooks and the instances of Kolisch & Sprecher 1996.

#include <array>
#include <cstdlib>
#include <map>

#include "schedule/project_decoder.hpp"
#include "schedule/projects.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Activity on arc: an arc runs after all arcs that end where it begins.
Project arcs_between_events(const std::vector<std::array<int, 3>>& arcs) {
    Project p;
    for (const auto& [from, to, duration] : arcs) {
        p.durations.push_back(duration);
        p.demands.emplace_back();
        p.successors.emplace_back();
        for (std::size_t j = 0; j < arcs.size(); ++j)
            if (arcs[j][0] == to) p.successors.back().push_back(static_cast<int>(j));
    }
    return p;
}

Project without_limits(const std::vector<int>& durations, const std::vector<std::vector<int>>& successors) {
    return {durations, successors, std::vector<std::vector<int>>(durations.size()), {}};
}

/// Total slack: the most by which a task may grow before the project does.
std::vector<int> slacks(const Project& p) {
    const int length = solve(p).makespan;
    std::vector<int> result;
    for (std::size_t i = 0; i < p.durations.size(); ++i) {
        Project q = p;
        while (solve(q).makespan == length) ++q.durations[i];
        result.push_back(q.durations[i] - p.durations[i] - 1);
    }
    return result;
}

struct Instance {
    PublishedBounds bounds;
    Project project;
};

std::vector<Instance> instances(const std::string& set) {
    const auto table = outside_file("psplib/" + set + "_bounds.csv");
    std::vector<Instance> result;
    if (!table) return result;
    for (const auto& row : read_bounds(*table))
        result.push_back({row, read_psplib(table->parent_path() / set / (row.instance + ".sm"))});
    REQUIRE(result.size() >= 240);
    return result;
}

bool first_of_its_cell(const std::string& instance) { return instance.substr(instance.size() - 2) == "_1"; }

bool whole_sets() {
    const char* wanted = std::getenv("LIBSEAL_PROJECT_SETS");
    return wanted && std::string(wanted) == "all";
}

struct Excess {
    double over_base = 0;  ///< [%] over the optimum (j30) or the critical path, mean
    double over_best = 0;  ///< [%] of the same base, over the best known makespan, mean
    int count = 0;
};

/// Every schedule is checked, no published bound contradicted.
Excess excess_of(const std::string& set, const std::vector<Instance>& all, int work_limit) {
    Excess excess;
    for (const auto& [bounds, project] : all) {
        if (!whole_sets() && !first_of_its_cell(bounds.instance)) continue;
        const auto result = solve(project, work_limit);
        INFO(bounds.instance);
        CHECK(fault_of(project, result.start, result.makespan) == "");
        CHECK(result.makespan >= bounds.lower);
        CHECK(result.lower_bound <= bounds.upper);
        CHECK(result.schedules <= work_limit);
        const int base = set == "j30" ? bounds.upper : bounds.critical_path;
        excess.over_base += 100.0 * (result.makespan - base) / base;
        excess.over_best += 100.0 * (result.makespan - bounds.upper) / base;
        ++excess.count;
    }
    excess.over_base /= excess.count;
    excess.over_best /= excess.count;
    return excess;
}

}  // namespace

TEST_CASE("textbook networks without limits have their published length and slacks",
          "[schedule][published]") {
    // Taylor, Introduction to Management Science, solutions of chapter 8; arcs from event to event, one a
    // dummy.
    const Project large = arcs_between_events({{1, 2, 8},
                                               {1, 3, 10},
                                               {1, 4, 9},
                                               {2, 5, 6},
                                               {2, 6, 4},
                                               {3, 5, 5},
                                               {4, 5, 0},
                                               {4, 7, 7},
                                               {5, 7, 12},
                                               {5, 8, 15},
                                               {6, 9, 18},
                                               {7, 8, 4},
                                               {8, 9, 7}});
    CHECK(solve(large).makespan == 38);
    CHECK(slacks(large) == std::vector<int>{1, 0, 6, 1, 8, 0, 6, 11, 0, 1, 8, 0, 0});
    const Project small =
        arcs_between_events({{1, 2, 7}, {1, 3, 10}, {2, 4, 6}, {3, 4, 5}, {3, 5, 4}, {4, 5, 3}, {5, 6, 2}});
    CHECK(solve(small).makespan == 20);
    CHECK(slacks(small) == std::vector<int>{2, 0, 2, 0, 4, 0, 0});
    count_published("Taylor, Introduction to Management Science, ch. 8", 22);

    // Lecture slides (slideplayer 3283910): A to H.
    const Project eight =
        without_limits({4, 3, 5, 2, 5, 6, 4, 3}, {{1, 2, 3}, {4}, {4, 5}, {5}, {6}, {6}, {7}, {}});
    const auto result = solve(eight);
    CHECK(result.makespan == 22);
    CHECK(slacks(eight) == std::vector<int>{0, 3, 0, 3, 1, 0, 0, 0});
    for (const auto& [task, start] : std::map<std::size_t, int>{{0, 0}, {2, 4}, {5, 9}, {6, 15}, {7, 19}})
        CHECK(result.start[task] == start);  // the critical tasks have no choice
    count_published("Eight-task network of lecture slides", 14);

    // Heizer & Render, Operations Management, from memory.
    const Project paper =
        without_limits({2, 3, 2, 4, 4, 3, 5, 2}, {{2, 3}, {3}, {4, 5}, {6}, {6}, {7}, {7}, {}});
    CHECK(solve(paper).makespan == 15);
    CHECK(slacks(paper) == std::vector<int>{0, 1, 0, 1, 0, 6, 0, 0});
    count_published("Heizer & Render, Operations Management", 9);
}

TEST_CASE("instances without their limits take the published critical path", "[schedule][published]") {
    for (const std::string set : {"j30", "j60", "j120"}) {
        const auto all = instances(set);
        for (const auto& [bounds, project] : all) {
            Project free = project;
            for (int& c : free.capacities) c = 1000000;
            INFO(bounds.instance);
            CHECK(solve(free).makespan == bounds.critical_path);
        }
        count_published("PSPLIB critical paths", static_cast<int>(all.size()));
    }
}

TEST_CASE("instances of thirty tasks reach their optimum", "[schedule][published]") {
    // The first of each ten; all of them with LIBSEAL_PROJECT_SETS=all. The optima are those of PSPLIB.
    int sum = 0;
    int optima = 0;
    int count = 0;
    for (const auto& [bounds, project] : instances("j30")) {
        if (!whole_sets() && !first_of_its_cell(bounds.instance)) continue;
        REQUIRE(bounds.lower == bounds.upper);
        sum += solve(project, 50000).makespan;
        optima += bounds.upper;
        ++count;
    }
    if (count == 0) return;
    // What the best published searches leave at this effort is 0.01 to 0.03 %.
    CHECK(sum <= optima * (whole_sets() ? 1.0001 : 1.0004));
    CHECK(sum >= optima);
    count_published("PSPLIB optima of j30", count);
}

TEST_CASE("known instances get their known makespans", "[schedule][published]") {
    const auto table = outside_file("psplib/j30_bounds.csv");
    if (!table) return;
    // Critical path, lower and upper bound as printed in the tables; each is a proven optimum.
    const auto makespan = [&](const std::string& set, const std::string& name) {
        return solve(read_psplib(table->parent_path() / set / (name + ".sm")), 20000).makespan;
    };
    CHECK(makespan("j30", "j301_1") == 43);
    CHECK(makespan("j30", "j3013_1") == 58);
    CHECK(makespan("j60", "j601_1") == 77);
    count_published("PSPLIB best known makespans", 3);
}

TEST_CASE("single passes leave the excess that is known of their rules", "[schedule][reference]") {
    const auto all = instances("j30");
    if (all.empty()) return;
    // Latest finish first, ties by number, mean over all ten instances a cell, from a program of ours:
    // serial 5.58, parallel 4.39. Half of the instances are here: their mean may differ by about twice its
    // standard error, 0.8.
    double serial = 0;
    double parallel = 0;
    for (const auto& [bounds, project] : all) {
        const auto model =
            detail::project_model(project.durations, project.successors, project.demands, project.capacities);
        const auto decoder = detail::make_decoder(model);
        detail::Draft draft(static_cast<std::size_t>(model.tasks));
        std::iota(draft.list.begin(), draft.list.end(), 0);
        std::stable_sort(draft.list.begin(), draft.list.end(), [&](int a, int b) {
            return model.tail[static_cast<std::size_t>(a)] > model.tail[static_cast<std::size_t>(b)];
        });
        decoder->serial(draft, detail::Way::forward);
        serial += 100.0 * (draft.makespan * model.unit - bounds.upper) / bounds.upper;
        decoder->parallel(draft, detail::Way::forward);
        parallel += 100.0 * (draft.makespan * model.unit - bounds.upper) / bounds.upper;
    }
    CHECK(serial / static_cast<double>(all.size()) == Approx(5.58).margin(0.8).epsilon(0));
    CHECK(parallel / static_cast<double>(all.size()) == Approx(4.39).margin(0.8).epsilon(0));
}

TEST_CASE("instances come as near to the best known makespans as is promised", "[schedule][published]") {
    struct Promise {
        std::string set;
        int work_limit;
        double over_base;  ///< [%], see Excess; of all the instances at hand
        double best;       ///< [%] over_base of the best known makespans of the same instances
    };
    std::vector<Promise> promises{
        {"j30", 1000, 0.15, 0}, {"j60", 1000, 11.1, 10.08}, {"j120", 1000, 33.8, 29.16}};
    if (whole_sets())
        for (const Promise& more : std::vector<Promise>{{"j30", 5000, 0.04, 0},
                                                        {"j60", 5000, 10.7, 10.08},
                                                        {"j120", 5000, 32.4, 29.16},
                                                        {"j30", 50000, 0.01, 0},
                                                        {"j60", 50000, 10.4, 10.08},
                                                        {"j120", 50000, 30.9, 29.16}})
            promises.push_back(more);
    for (const auto& [set, work_limit, over_base, best] : promises) {
        const auto all = instances(set);
        if (all.empty()) return;
        const Excess excess = excess_of(set, all, work_limit);
        INFO(set << ", " << work_limit << " schedules");
        if (whole_sets())
            CHECK(excess.over_base <= over_base);
        else  // a fifth of the instances: as much again for the luck of the draw
            CHECK(excess.over_best <= 2 * (over_base - best));
        count_published("PSPLIB best known makespans", excess.count);
    }
}
