#pragma once
// Yes-or-no variables that cause each other, and exact probabilities of all of them given what was seen.

#include <cstddef>
#include <utility>
#include <vector>

namespace libseal {

/// A network of causes. Nodes are numbered in the order in which they are added; parents come first.
class CauseNetwork {
public:
    /// A root that is true with this probability. @param probability  [-]  @throws ValueError  outside 0 to 1.
    int root(double probability);
    /// Any dependence on up to 16 parents: probability of true for each combination, parent k is bit k of the index.
    /// @param probability  [-], 0 to 1
    int table(std::vector<int> parents, std::vector<double> probability);
    /// Noisy-OR: each true parent k alone makes it true with probability passes[k]; `leak` is that of no cause in sight.
    /// @param passes, leak  [-], 0 to 1
    int noisy_or(std::vector<int> parents, std::vector<double> passes, double leak = 0);
    std::size_t size() const { return nodes_.size(); }

    struct Node {
        bool is_table = true;
        std::vector<int> parents;     ///< their numbers
        std::vector<double> numbers;  ///< of a table [-]: per combination; of a noisy-OR: per parent
        double leak = 0;              ///< of a noisy-OR [-]
    };
    const Node& node(int id) const { return nodes_[static_cast<std::size_t>(id)]; }

private:
    std::vector<Node> nodes_;
};

/// What is known of a node.
struct CauseEvidence {
    int node = 0;  ///< its number in the network
    bool value = false;
};

/// Probabilities given what was seen.
struct CauseAnswer {
    double evidence = 1;              ///< probability of all that was seen [-]
    std::vector<double> probability;  ///< of each node being true, given what was seen [-]
};

/// Exact answer by elimination. Noisy-ORs of hundreds of parents are split into chains; nothing is ever subtracted, so
/// small probabilities keep their digits.
///
/// @throws ValueError  if what was seen is impossible, or the elimination would need tables of more than 2^24 numbers.
/// @source  Variable elimination and noisy-OR chains: Heckerman & Breese 1996; noisy-OR: Pearl 1988.
/// @threads pure.
CauseAnswer infer(const CauseNetwork& network, const std::vector<CauseEvidence>& seen);

}  // namespace libseal
