// Tiny networks of causes: elimination against all states of all nodes, one after the other.

#include <cmath>
#include <vector>

#include "libseal/leak/network.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

/// A chance with the certain ones among them.
double chance(Bytes& bytes) {
    const std::uint8_t byte = bytes.byte();
    return byte < 8 ? 0.0 : byte > 247 ? 1.0 : byte / 255.0;
}

CauseNetwork network_of(Bytes& bytes) {
    CauseNetwork net;
    for (int id = 0, count = 2 + bytes.below(7); id < count; ++id) {
        const std::uint8_t kind = bytes.byte(), chosen = bytes.byte();
        std::vector<int> parents;
        for (int p = 0; p < id && parents.size() < 4; ++p)
            if ((chosen >> p) & 1) parents.push_back(p);
        if (parents.empty()) {
            net.root(chance(bytes));
        } else if (kind % 2) {
            std::vector<double> table(std::size_t{1} << parents.size());
            for (double& p : table) p = chance(bytes);
            net.table(parents, table);
        } else {
            std::vector<double> passes(parents.size());
            for (double& p : passes) p = chance(bytes);
            net.noisy_or(parents, passes, chance(bytes));
        }
    }
    return net;
}

double chance_of(const CauseNetwork& net, std::size_t id, std::size_t state) {
    const auto& node = net.node(static_cast<int>(id));
    double none = 1 - node.leak;
    std::size_t index = 0;
    for (std::size_t k = 0; k < node.parents.size(); ++k)
        if ((state >> node.parents[k]) & 1U) {
            index |= std::size_t{1} << k;
            if (!node.is_table) none *= 1 - node.numbers[k];
        }
    const double one = node.is_table ? node.numbers[index] : 1 - none;
    return (state >> id) & 1U ? one : 1 - one;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Bytes bytes(data, size);
    const CauseNetwork net = network_of(bytes);
    std::vector<CauseEvidence> seen;
    for (int left = bytes.below(4); left > 0; --left) {
        const int node = bytes.below(static_cast<int>(net.size()));
        bool known = false;
        for (const CauseEvidence& one : seen) known = known || one.node == node;
        if (!known) seen.push_back({node, bytes.byte() % 2 == 1});
    }
    double evidence = 0;
    std::vector<double> sums(net.size(), 0.0);
    for (std::size_t state = 0; state < std::size_t{1} << net.size(); ++state) {
        double p = 1;
        for (const CauseEvidence& one : seen)
            if ((((state >> one.node) & 1U) != 0) != one.value) p = 0;
        for (std::size_t id = 0; p > 0 && id < net.size(); ++id) p *= chance_of(net, id, state);
        evidence += p;
        for (std::size_t id = 0; id < net.size(); ++id)
            if ((state >> id) & 1U) sums[id] += p;
    }
    const auto answer = read_or_refuse([&] { return infer(net, seen); });
    require(answer.has_value() || evidence < 1e-12, "what can be is answered");
    if (!answer) return 0;
    require(std::abs(answer->evidence - evidence) <= 1e-12 + 1e-9 * evidence, "the chance of what was seen is that of all states");
    for (std::size_t id = 0; evidence > 1e-9 && id < net.size(); ++id)
        require(std::abs(answer->probability[id] - sums[id] / evidence) <= 1e-9, "each node is as likely as over all states");
    return 0;
}
