// Facts about graphs that orders rest on, against brute force.

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/work/order.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::vector<Step> steps_of(int count, RandomStream* random = nullptr) {
    std::vector<Step> steps(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
        steps[static_cast<std::size_t>(i)].id = "s" + std::to_string(i);
        const double low = random ? static_cast<double>(random->below(4)) * 10 : 10;
        steps[static_cast<std::size_t>(i)].minutes = {low, low, low};
    }
    return steps;
}

Edge edge(int from, int to, double lag = 0, Strength strength = Strength::hard, LagClock clock = LagClock::elapsed) {
    return {from, to, "upstream_first", strength, lag, "because", clock};
}

std::vector<Edge> random_edges(RandomStream& random, int n, bool loops) {
    std::vector<Edge> edges;
    for (int i = 0; i < n; ++i)
        for (int j = loops ? 0 : i + 1; j < n; ++j)
            if (i != j && random.below(3) == 0)
                for (std::uint64_t twice = 0; twice < 1 + random.below(8) / 7; ++twice) {
                    edges.push_back(edge(i, j, static_cast<double>(random.below(6)) * 5, static_cast<Strength>(random.below(3)),
                                         static_cast<LagClock>(random.below(3))));
                    if (random.below(12) == 0) edges.back().longest = 1000;
                }
    return edges;
}

/// By trying all of them: the longest sure wait from one step to another along edges at least as strong, in the edge's clock.
double longest_way(const std::vector<Step>& steps, const std::vector<Edge>& edges, int at, int to, const Edge& as, double so_far, bool first) {
    if (at == to) return so_far;
    double best = -infinity;
    if (!first && as.clock != LagClock::cure) so_far += steps[static_cast<std::size_t>(at)].minutes.low;
    for (const Edge& e : edges)
        if (e.from == at && e.strength <= as.strength)
            best = std::max(best, longest_way(steps, edges, e.to, to, as, so_far + (e.clock == as.clock ? e.lag : 0), false));
    return best;
}

/// Shortest loop by trying all walks up to a length.
std::size_t shortest_loop(const std::vector<Edge>& edges, int n) {
    std::vector<std::vector<char>> reach(static_cast<std::size_t>(n), std::vector<char>(static_cast<std::size_t>(n), 0));
    const auto direct = [&](int i, int j) {
        return std::any_of(edges.begin(), edges.end(), [&](const Edge& e) { return e.from == i && e.to == j; });
    };
    for (std::size_t length = 1; length <= static_cast<std::size_t>(n); ++length) {
        auto next = reach;
        for (auto& row : next) std::fill(row.begin(), row.end(), static_cast<char>(0));
        for (int i = 0; i < n; ++i)
            for (int k = 0; k < n; ++k) {
                if (length > 1 && !reach[static_cast<std::size_t>(i)][static_cast<std::size_t>(k)]) continue;
                if (length == 1 && k != i) continue;
                for (int j = 0; j < n; ++j)
                    if (direct(k, j)) next[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)] = 1;
            }
        reach = next;
        for (int i = 0; i < n; ++i)
            if (reach[static_cast<std::size_t>(i)][static_cast<std::size_t>(i)]) return length;
    }
    return 0;
}

}  // namespace

TEST_CASE("the order is the smallest of all orders, whatever the order of the edges", "[work][law]") {
    RandomStream random(GENERATE(range(1, 31)), 11);
    const int n = static_cast<int>(2 + random.below(5));
    const auto steps = steps_of(n);
    // Edges run both ways through the numbers, along a random order.
    std::vector<int> hidden(static_cast<std::size_t>(n));
    std::iota(hidden.begin(), hidden.end(), 0);
    for (std::size_t i = hidden.size(); i > 1; --i) std::swap(hidden[i - 1], hidden[random.below(i)]);
    auto edges = random_edges(random, n, false);
    for (Edge& e : edges) e.from = hidden[static_cast<std::size_t>(e.from)], e.to = hidden[static_cast<std::size_t>(e.to)];
    std::vector<int> all(static_cast<std::size_t>(n)), smallest;
    std::iota(all.begin(), all.end(), 0);
    do {  // permutations come from the smallest on
        const auto place = [&](int step) { return std::find(all.begin(), all.end(), step); };
        if (std::all_of(edges.begin(), edges.end(), [&](const Edge& e) { return place(e.from) < place(e.to); })) smallest = all;
    } while (smallest.empty() && std::next_permutation(all.begin(), all.end()));
    CHECK(ordered_steps(steps, edges) == smallest);
    std::reverse(edges.begin(), edges.end());
    CHECK(ordered_steps(steps, edges) == smallest);
}

TEST_CASE("reduced edges ask for all that the full ones ask for, and none of them could go", "[work][law]") {
    RandomStream random(GENERATE(range(1, 61)), 12);
    const int n = static_cast<int>(3 + random.below(6));
    const auto steps = steps_of(n, &random);
    const auto edges = random_edges(random, n, false);
    const auto kept = reduced_edges(steps, edges);
    const auto others = [&](const std::vector<Edge>& all, std::size_t without) {
        auto rest = all;
        rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(without));
        return rest;
    };
    for (const Edge& e : edges) {
        CAPTURE(e.from, e.to, e.lag, to_text(e.strength), to_text(e.clock));
        CHECK(longest_way(steps, kept, e.from, e.to, e, 0, true) >= e.lag);
        if (std::isfinite(e.longest))
            CHECK(std::any_of(kept.begin(), kept.end(), [&](const Edge& k) { return k.from == e.from && k.to == e.to && std::isfinite(k.longest); }));
    }
    for (std::size_t i = 0; i < kept.size(); ++i)
        if (!std::isfinite(kept[i].longest))
            CHECK(longest_way(steps, others(kept, i), kept[i].from, kept[i].to, kept[i], 0, true) < kept[i].lag);
}

TEST_CASE("clocks cannot be compared, weaker edges carry no stronger ones", "[work]") {
    const auto steps = steps_of(3);
    // a -> b -> c by elapsed time does not prove a cure of 5 minutes, nor the other way round.
    CHECK(reduced_edges(steps, {edge(0, 1, 60), edge(1, 2, 60), edge(0, 2, 5, Strength::hard, LagClock::cure)}).size() == 3);
    CHECK(reduced_edges(steps, {edge(0, 1, 60, Strength::hard, LagClock::cure), edge(1, 2), edge(0, 2, 30)}).size() == 3);
    CHECK(reduced_edges(steps, {edge(0, 1, 60), edge(1, 2), edge(0, 2, 30)}).size() == 2);
    // The user may drop the firm one later.
    CHECK(reduced_edges(steps, {edge(0, 1, 0, Strength::firm), edge(1, 2), edge(0, 2)}).size() == 3);
    CHECK(reduced_edges(steps, {edge(0, 1, 0, Strength::firm), edge(1, 2), edge(0, 2, 0, Strength::soft)}).size() == 2);
    Edge within = edge(0, 2);
    within.longest = 600;
    CHECK(reduced_edges(steps, {edge(0, 1), edge(1, 2), within}).size() == 3);
    // Of two equal edges one stays.
    CHECK(reduced_edges(steps, {edge(0, 1, 5), edge(0, 1, 5), edge(0, 1, 3)}).size() == 1);
}

TEST_CASE("every group of steps that wait for each other is told, the shortest loop first", "[work][law]") {
    RandomStream random(GENERATE(range(1, 41)), 13);
    const int n = static_cast<int>(2 + random.below(6));
    const auto edges = random_edges(random, n, true);
    const auto loops = order_loops(n, edges);
    const std::size_t shortest = shortest_loop(edges, n);
    REQUIRE(loops.empty() == (shortest == 0));
    if (loops.empty()) return;
    CHECK(loops.front().edges.size() == shortest);
    std::set<int> caught;
    for (const OrderLoop& loop : loops) {
        for (const int step : loop.steps) CHECK(caught.insert(step).second);
        for (std::size_t k = 0; k < loop.edges.size(); ++k) {
            const Edge &here = edges[static_cast<std::size_t>(loop.edges[k])],
                       &next = edges[static_cast<std::size_t>(loop.edges[(k + 1) % loop.edges.size()])];
            CHECK(here.to == next.from);
        }
        const bool all_hard = std::all_of(loop.edges.begin(), loop.edges.end(), [&](int e) {
            return edges[static_cast<std::size_t>(e)].strength == Strength::hard;
        });
        CHECK((loop.remedy < 0) == all_hard);
        if (loop.remedy >= 0) CHECK(std::find(loop.edges.begin(), loop.edges.end(), loop.remedy) != loop.edges.end());
    }
}

TEST_CASE("two loops are two problems; the remedy frees all steps where one edge can", "[work][bad_input]") {
    // 0-1-0 with a firm edge each way, of which only 1 -> 0 also breaks 0-1-2-0; 3-4-3 all hard.
    const std::vector<Edge> edges{edge(0, 1, 0, Strength::firm), edge(1, 0, 0, Strength::firm), edge(1, 2), edge(2, 0), edge(3, 4), edge(4, 3)};
    const auto loops = order_loops(5, edges);
    REQUIRE(loops.size() == 2);
    CHECK(loops[0].steps == std::vector<int>{0, 1, 2});
    CHECK(loops[0].remedy == 0);
    CHECK(loops[1].remedy == -1);
    try {
        ordered_steps(steps_of(5), edges);
        FAIL("a loop was accepted");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 2);
        CHECK(error.problems()[0].got == "s0 -> s1 (upstream_first, firm): because; s1 -> s0 (upstream_first, firm): because");
        CHECK(error.problems()[0].hint == "drop the firm edge upstream_first from s0 to s1, with a reason");
        CHECK(error.problems()[0].context == "3 steps wait for each other");
        CHECK(error.problems()[1].hint == "all rules of the loop are hard: split the work over two visits");
    }
    CHECK_THROWS_AS(order_loops(2, {edge(0, 2)}), ValueError);
}
