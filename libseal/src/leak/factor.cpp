#include "leak/factor.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace libseal::detail {
namespace {

/// Elimination as a tree: each variable has a table over itself and what it is tied to, and hands its sum to the next.
struct Bucket {
    int variable = -1;
    std::vector<int> scope;        ///< ascending, with the variable
    std::vector<std::size_t> own;  ///< factors
    std::vector<int> children;     ///< positions of buckets that hand their sum to this one
    int parent = -1;
};

void join(std::vector<int>& into, const std::vector<int>& scope, int without) {
    for (const int v : scope) {
        if (v == without) continue;
        const auto at = std::lower_bound(into.begin(), into.end(), v);
        if (at == into.end() || *at != v) into.insert(at, v);
    }
}

std::vector<Bucket> bucket_tree(const std::vector<Factor>& factors, const std::vector<int>& order, int variables) {
    std::vector<int> position(static_cast<std::size_t>(variables), -1);
    for (std::size_t k = 0; k < order.size(); ++k) position[static_cast<std::size_t>(order[k])] = static_cast<int>(k);
    const auto first = [&](const std::vector<int>& scope, int without) {
        int best = -1;
        for (const int v : scope)
            if (v != without && (best < 0 || position[static_cast<std::size_t>(v)] < best)) best = position[static_cast<std::size_t>(v)];
        return best;
    };
    std::vector<Bucket> buckets(order.size());
    for (std::size_t k = 0; k < order.size(); ++k) {
        buckets[k].variable = order[k];
        buckets[k].scope = {order[k]};
    }
    for (std::size_t f = 0; f < factors.size(); ++f) {
        if (factors[f].scope.empty()) continue;
        Bucket& bucket = buckets[static_cast<std::size_t>(first(factors[f].scope, -1))];
        bucket.own.push_back(f);
        join(bucket.scope, factors[f].scope, -1);
    }
    for (std::size_t k = 0; k < buckets.size(); ++k) {
        const int next = first(buckets[k].scope, buckets[k].variable);
        buckets[k].parent = next;
        if (next < 0) continue;
        Bucket& parent = buckets[static_cast<std::size_t>(next)];
        parent.children.push_back(static_cast<int>(k));
        join(parent.scope, buckets[k].scope, buckets[k].variable);
    }
    return buckets;
}

/// For each index over `scope`, the index over the variables of `part` (a subset), built by doubling.
std::vector<std::uint32_t> sub_index(const std::vector<int>& scope, const std::vector<int>& part) {
    std::vector<std::uint32_t> sub(std::size_t{1} << scope.size(), 0);
    for (std::size_t b = 0; b < scope.size(); ++b) {
        const auto at = std::lower_bound(part.begin(), part.end(), scope[b]);
        const bool in = at != part.end() && *at == scope[b];
        const std::uint32_t step = in ? 1U << (at - part.begin()) : 0U;
        const std::size_t half = std::size_t{1} << b;
        for (std::size_t i = 0; i < half; ++i) sub[half + i] = sub[i] + step;
    }
    return sub;
}

void multiply(std::vector<double>& table, const std::vector<int>& scope, const std::vector<int>& part, const std::vector<double>& by) {
    const auto sub = sub_index(scope, part);
    for (std::size_t i = 0; i < table.size(); ++i) table[i] *= by[sub[i]];
}

std::vector<double> summed(const std::vector<double>& table, const std::vector<int>& scope, const std::vector<int>& part) {
    const auto sub = sub_index(scope, part);
    std::vector<double> sums(std::size_t{1} << part.size(), 0.0);
    for (std::size_t i = 0; i < table.size(); ++i) sums[sub[i]] += table[i];
    return sums;
}

std::vector<int> handed_on(const Bucket& bucket) {
    std::vector<int> scope = bucket.scope;
    scope.erase(std::find(scope.begin(), scope.end(), bucket.variable));
    return scope;
}

}  // namespace

Factor with_known(const Factor& factor, int variable, bool value) {
    const auto at = std::find(factor.scope.begin(), factor.scope.end(), variable);
    if (at == factor.scope.end()) return factor;
    const auto bit = static_cast<std::size_t>(at - factor.scope.begin());
    Factor rest;
    rest.scope = factor.scope;
    rest.scope.erase(rest.scope.begin() + static_cast<std::ptrdiff_t>(bit));
    const std::size_t low = (std::size_t{1} << bit) - 1;
    for (std::size_t i = 0; i < factor.values.size() / 2; ++i)
        rest.values.push_back(factor.values[(i & low) | ((i & ~low) << 1) | (std::size_t{value} << bit)]);
    return rest;
}

Elimination eliminate(const std::vector<Factor>& factors, const std::vector<int>& order, int variables) {
    const auto buckets = bucket_tree(factors, order, variables);
    std::vector<std::vector<double>> table(buckets.size()), message(buckets.size());
    Elimination result;
    result.total = 1;
    for (const auto& factor : factors)
        if (factor.scope.empty()) result.total *= factor.values.front();
    double log_scale = 0;
    for (std::size_t k = 0; k < buckets.size(); ++k) {
        const Bucket& bucket = buckets[k];
        table[k].assign(std::size_t{1} << bucket.scope.size(), 1.0);
        for (const std::size_t f : bucket.own) multiply(table[k], bucket.scope, factors[f].scope, factors[f].values);
        for (const int child : bucket.children) {
            const auto c = static_cast<std::size_t>(child);
            multiply(table[k], bucket.scope, handed_on(buckets[c]), message[c]);
        }
        const double most = *std::max_element(table[k].begin(), table[k].end());
        if (!(most > 0)) {
            result.total = 0;
            return result;
        }
        for (double& value : table[k]) value /= most;  // so that long products do not run out of range
        log_scale += std::log(most);
        message[k] = summed(table[k], bucket.scope, handed_on(bucket));
        if (bucket.parent < 0) result.total *= message[k].front();
    }
    result.total *= std::exp(log_scale);
    result.probability.assign(static_cast<std::size_t>(variables), 0.0);
    for (std::size_t k = buckets.size(); k-- > 0;) {
        const Bucket& bucket = buckets[k];
        if (bucket.parent >= 0) {
            // What all others say of the shared variables: the parent's belief without what came from here.
            const auto p = static_cast<std::size_t>(bucket.parent);
            const std::vector<int> shared = handed_on(bucket);
            std::vector<double> other = summed(table[p], buckets[p].scope, shared);
            for (std::size_t i = 0; i < other.size(); ++i) other[i] = message[k][i] > 0 ? other[i] / message[k][i] : 0.0;
            multiply(table[k], bucket.scope, shared, other);
        }
        const auto one = summed(table[k], bucket.scope, {bucket.variable});
        result.probability[static_cast<std::size_t>(bucket.variable)] = one[1] / (one[0] + one[1]);
    }
    return result;
}

double work_of(const std::vector<Factor>& factors, const std::vector<int>& order, int variables) {
    double sum = 0;
    for (const auto& bucket : bucket_tree(factors, order, variables)) sum += std::ldexp(1.0, static_cast<int>(bucket.scope.size()));
    return sum;
}

std::size_t width_of(const std::vector<Factor>& factors, const std::vector<int>& order, int variables) {
    std::size_t widest = 0;
    for (const auto& bucket : bucket_tree(factors, order, variables)) widest = std::max(widest, bucket.scope.size());
    return widest;
}

}  // namespace libseal::detail
