#include "libseal/leak/network.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "leak/factor.hpp"
#include "leak/order.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr std::size_t most_table_parents = 16;
constexpr std::size_t widest_table = 24;

void check_probability(double p, const std::string& field) {
    if (!(p >= 0 && p <= 1)) throw_value_error(field, "a probability from 0 to 1", number_text(p));
}

void check_parents(const std::vector<int>& parents, std::size_t size) {
    for (std::size_t k = 0; k < parents.size(); ++k) {
        const std::string field = "parents[" + std::to_string(k) + "]";
        if (parents[k] < 0 || static_cast<std::size_t>(parents[k]) >= size)
            throw_value_error(field, "a node added before, 0 to " + std::to_string(static_cast<long long>(size) - 1), std::to_string(parents[k]));
        for (std::size_t j = 0; j < k; ++j)
            if (parents[j] == parents[k]) throw_value_error(field, "each parent once", std::to_string(parents[k]));
    }
}

/// Factors of a network under evidence; each noisy-OR is a chain of partial ORs, or falls apart if it is known to be false.
class Unfolded {
public:
    Unfolded(const CauseNetwork& network, const std::vector<CauseEvidence>& seen) : network_(network), variables_(static_cast<int>(network.size())) {
        known_.assign(network.size(), -1);
        for (const auto& fact : seen) note(fact);
        if (contradicted_) return;
        for (std::size_t id = 0; id < network.size(); ++id) add(static_cast<int>(id));
        for (auto& factor : factors_) {
            const std::vector<int> scope = factor.scope;
            for (const int v : scope)
                if (static_cast<std::size_t>(v) < known_.size() && known(static_cast<std::size_t>(v)) >= 0)
                    factor = detail::with_known(factor, v, known(static_cast<std::size_t>(v)) == 1);
        }
        std::erase_if(steps_, [&](const detail::ChainStep& s) {
            return static_cast<std::size_t>(s.cause) < known_.size() && known_[static_cast<std::size_t>(s.cause)] >= 0;
        });
    }

    bool contradicted() const { return contradicted_; }
    const std::vector<detail::Factor>& factors() const { return factors_; }
    const std::vector<detail::ChainStep>& steps() const { return steps_; }
    int variables() const { return variables_; }
    int known(std::size_t id) const { return known_[id]; }

private:
    void note(const CauseEvidence& fact) {
        if (fact.node < 0 || static_cast<std::size_t>(fact.node) >= network_.size())
            throw_value_error("seen", "nodes of the network, 0 to " + std::to_string(static_cast<long long>(network_.size()) - 1), std::to_string(fact.node));
        int& known = known_[static_cast<std::size_t>(fact.node)];
        contradicted_ = contradicted_ || known == (fact.value ? 0 : 1);
        known = fact.value ? 1 : 0;
    }

    void add(int id) {
        const CauseNetwork::Node& node = network_.node(id);
        if (node.is_table) return add_table(id, node);
        if (known_[static_cast<std::size_t>(id)] == 0) return add_false_or(node);
        add_chain(id, node);
    }

    /// The own variable is the newest, so it is the last of the scope once parents are ascending.
    void add_table(int id, const CauseNetwork::Node& node) {
        detail::Factor factor;
        factor.scope = node.parents;
        std::sort(factor.scope.begin(), factor.scope.end());
        factor.values.resize(2 * node.numbers.size());
        for (std::size_t i = 0; i < node.numbers.size(); ++i) {
            std::size_t at = 0;
            for (std::size_t k = 0; k < node.parents.size(); ++k) {
                const auto bit = std::lower_bound(factor.scope.begin(), factor.scope.end(), node.parents[k]) - factor.scope.begin();
                at |= ((i >> k) & 1U) << bit;
            }
            factor.values[at] = 1 - node.numbers[i];
            factor.values[at + node.numbers.size()] = node.numbers[i];
        }
        factor.scope.push_back(id);
        factors_.push_back(std::move(factor));
    }

    void add_false_or(const CauseNetwork::Node& node) {
        factors_.push_back({{}, {1 - node.leak}});
        for (std::size_t k = 0; k < node.parents.size(); ++k) factors_.push_back({{node.parents[k]}, {1.0, 1 - node.numbers[k]}});
    }

    void add_chain(int id, const CauseNetwork::Node& node) {
        if (node.parents.empty()) {
            factors_.push_back({{id}, {1 - node.leak, node.leak}});
            return;
        }
        int before = -1;
        for (std::size_t k = 0; k < node.parents.size(); ++k) {
            const bool last = k + 1 == node.parents.size();
            const int after = last ? id : variables_++, cause = node.parents[k];
            const double passes = node.numbers[k];
            if (before < 0) {
                const double stays = 1 - node.leak, both = stays * (1 - passes);
                add_ordered({cause, after}, {stays, both, 1 - stays, 1 - both});
            } else {
                // (cause, before, after): true before stays true.
                add_ordered({cause, before, after}, {1, 1 - passes, 0, 0, 0, passes, 1, 1});
            }
            if (node.parents.size() > 1) steps_.push_back({cause, before, after, last});
            before = after;
        }
    }

    /// A factor from a table whose variable k is bit k, in any order of variables.
    void add_ordered(const std::vector<int>& scope, const std::vector<double>& values) {
        detail::Factor factor;
        factor.scope = scope;
        std::sort(factor.scope.begin(), factor.scope.end());
        factor.values.resize(values.size());
        for (std::size_t i = 0; i < values.size(); ++i) {
            std::size_t at = 0;
            for (std::size_t k = 0; k < scope.size(); ++k)
                at |= ((i >> k) & 1U) << (std::lower_bound(factor.scope.begin(), factor.scope.end(), scope[k]) - factor.scope.begin());
            factor.values[at] = values[i];
        }
        factors_.push_back(std::move(factor));
    }

    const CauseNetwork& network_;
    int variables_;
    std::vector<int> known_;  ///< 0, 1 or -1
    bool contradicted_ = false;
    std::vector<detail::Factor> factors_;
    std::vector<detail::ChainStep> steps_;
};

}  // namespace

int CauseNetwork::root(double probability) {
    check_probability(probability, "probability");
    nodes_.push_back({true, {}, {probability}, 0});
    return static_cast<int>(nodes_.size()) - 1;
}

int CauseNetwork::table(std::vector<int> parents, std::vector<double> probability) {
    check_parents(parents, nodes_.size());
    if (parents.size() > most_table_parents)
        throw_value_error("parents", "at most 16", std::to_string(parents.size()), "use noisy_or for many causes");
    if (probability.size() != std::size_t{1} << parents.size())
        throw_value_error("probability", std::to_string(std::size_t{1} << parents.size()) + " numbers, one a combination of parents",
                          std::to_string(probability.size()));
    for (std::size_t k = 0; k < probability.size(); ++k) check_probability(probability[k], "probability[" + std::to_string(k) + "]");
    nodes_.push_back({true, std::move(parents), std::move(probability), 0});
    return static_cast<int>(nodes_.size()) - 1;
}

int CauseNetwork::noisy_or(std::vector<int> parents, std::vector<double> passes, double leak) {
    check_parents(parents, nodes_.size());
    if (passes.size() != parents.size())
        throw_value_error("passes", std::to_string(parents.size()) + " numbers, one a parent", std::to_string(passes.size()));
    for (std::size_t k = 0; k < passes.size(); ++k) check_probability(passes[k], "passes[" + std::to_string(k) + "]");
    check_probability(leak, "leak");
    nodes_.push_back({false, std::move(parents), std::move(passes), leak});
    return static_cast<int>(nodes_.size()) - 1;
}

CauseAnswer infer(const CauseNetwork& network, const std::vector<CauseEvidence>& seen) {
    const Unfolded unfolded(network, seen);
    const auto impossible = [] { throw_value_error("seen", "something that can happen", "evidence of probability 0"); };
    if (unfolded.contradicted()) impossible();
    const auto order = detail::elimination_order(unfolded.factors(), unfolded.steps(), unfolded.variables());
    if (const auto width = detail::width_of(unfolded.factors(), order, unfolded.variables()); width > widest_table)
        throw_value_error("network", "one whose tables stay within 2^24 numbers", "2^" + std::to_string(width), "fewer places seen wet at once");
    const auto sums = detail::eliminate(unfolded.factors(), order, unfolded.variables());
    if (!(sums.total > 0)) impossible();
    CauseAnswer answer;
    answer.evidence = sums.total;
    for (std::size_t id = 0; id < network.size(); ++id)
        answer.probability.push_back(unfolded.known(id) >= 0 ? unfolded.known(id) : sums.probability[id]);
    return answer;
}

}  // namespace libseal
