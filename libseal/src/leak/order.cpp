#include "leak/order.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

namespace libseal::detail {
namespace {

constexpr double cheap = 1e9;  // numbers: below this the sums take less time than looking for a second order

std::vector<bool> used_variables(const std::vector<Factor>& factors, int variables) {
    std::vector<bool> used(static_cast<std::size_t>(variables), false);
    for (const auto& factor : factors)
        for (const int v : factor.scope) used[static_cast<std::size_t>(v)] = true;
    return used;
}

int group_of(std::vector<int>& group, int v) {
    while (group[static_cast<std::size_t>(v)] != v) v = group[static_cast<std::size_t>(v)] = group[static_cast<std::size_t>(group[static_cast<std::size_t>(v)])];
    return v;
}

/// Causes that hang together without the chains are one group; groups one after the other, in each the last first, and each
/// chain moves on as soon as its cause is gone.
std::vector<int> sweep(const std::vector<Factor>& factors, const std::vector<ChainStep>& steps, int variables) {
    std::vector<bool> in_chain(static_cast<std::size_t>(variables), false);
    std::map<int, std::vector<const ChainStep*>> of_cause;
    for (const auto& step : steps) {
        in_chain[static_cast<std::size_t>(step.after)] = true;
        of_cause[step.cause].push_back(&step);
    }
    std::vector<int> group(static_cast<std::size_t>(variables));
    std::iota(group.begin(), group.end(), 0);
    for (const auto& factor : factors) {
        int before = -1;
        for (const int v : factor.scope) {
            if (in_chain[static_cast<std::size_t>(v)]) continue;
            if (before >= 0) {
                const int a = group_of(group, before), b = group_of(group, v);
                group[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
            }
            before = v;
        }
    }
    const auto used = used_variables(factors, variables);
    std::vector<int> order;
    std::vector<bool> done(static_cast<std::size_t>(variables), false);
    const auto take = [&](int v) {
        if (v < 0 || done[static_cast<std::size_t>(v)] || !used[static_cast<std::size_t>(v)]) return;
        done[static_cast<std::size_t>(v)] = true;
        order.push_back(v);
    };
    std::map<int, std::vector<int>> members;
    for (int v = variables - 1; v >= 0; --v)
        if (!in_chain[static_cast<std::size_t>(v)]) members[group_of(group, v)].push_back(v);
    for (const auto& [first, list] : members)
        for (const int v : list) {
            take(v);
            for (const ChainStep* step : of_cause[v]) {
                take(step->before);
                if (step->last) take(step->after);
            }
        }
    for (int v = 0; v < variables; ++v) take(v);
    return order;
}

std::vector<int> min_fill(const std::vector<Factor>& factors, int variables) {
    std::vector<std::set<int>> tied(static_cast<std::size_t>(variables));
    for (const auto& factor : factors)
        for (const int a : factor.scope)
            for (const int b : factor.scope)
                if (a != b) tied[static_cast<std::size_t>(a)].insert(b);
    const auto fill = [&](int v) {
        long missing = 0;
        const auto& around = tied[static_cast<std::size_t>(v)];
        for (auto a = around.begin(); a != around.end(); ++a)
            for (auto b = std::next(a); b != around.end(); ++b) missing += !tied[static_cast<std::size_t>(*a)].contains(*b);
        return missing;
    };
    const auto used = used_variables(factors, variables);
    std::set<std::pair<long, int>> queue;
    std::vector<long> score(static_cast<std::size_t>(variables), -1);
    for (int v = 0; v < variables; ++v)
        if (used[static_cast<std::size_t>(v)]) queue.emplace(score[static_cast<std::size_t>(v)] = fill(v), v);
    std::vector<int> order;
    while (!queue.empty()) {
        const int v = queue.begin()->second;
        queue.erase(queue.begin());
        order.push_back(v);
        const std::set<int> around = tied[static_cast<std::size_t>(v)];
        std::set<int> touched = around;
        for (const int a : around) {
            auto& own = tied[static_cast<std::size_t>(a)];
            own.erase(v);
            for (const int b : around)
                if (b != a) own.insert(b);
            touched.insert(own.begin(), own.end());
        }
        for (const int t : touched) {
            queue.erase({score[static_cast<std::size_t>(t)], t});
            queue.emplace(score[static_cast<std::size_t>(t)] = fill(t), t);
        }
    }
    return order;
}

}  // namespace

std::vector<int> elimination_order(const std::vector<Factor>& factors, const std::vector<ChainStep>& steps, int variables) {
    std::vector<int> swept = sweep(factors, steps, variables);
    const double work = work_of(factors, swept, variables);
    if (work < cheap) return swept;
    std::vector<int> filled = min_fill(factors, variables);
    return work_of(factors, filled, variables) < work ? filled : swept;
}

}  // namespace libseal::detail
