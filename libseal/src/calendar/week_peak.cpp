// The smallest peak of divisible work: binary search over the capacity, feasibility by maximum flow.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/push_relabel_max_flow.hpp>

#include "calendar/week_flow.hpp"

namespace libseal::detail {
namespace {

using Units = std::int64_t;  ///< millionths of the hours of the longest work
using Traits = boost::adjacency_list_traits<boost::vecS, boost::vecS, boost::directedS>;

struct Arc {
    Units capacity = 0, residual = 0;
    Traits::edge_descriptor reverse{};
};
using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property, Arc>;

/// Works that may be in the same weeks count as one.
class Network {
public:
    Network(const std::map<std::vector<bool>, Units>& groups, std::size_t weeks) : graph_(2 + groups.size() + weeks) {
        std::size_t node = 2 + weeks;
        for (const auto& [allowed, units] : groups) {
            link(0, node, units);
            for (std::size_t w = 0; w < weeks; ++w)
                if (allowed[w]) link(node, 2 + w, units);
            total_ += units;
            ++node;
        }
        for (std::size_t w = 0; w < weeks; ++w) ends_.push_back(link(2 + w, 1, 0));
    }

    bool holds(Units peak) {
        for (const auto& end : ends_) graph_[end].capacity = peak;
        return boost::push_relabel_max_flow(graph_, boost::vertex(0, graph_), boost::vertex(1, graph_),
                                            boost::get(&Arc::capacity, graph_), boost::get(&Arc::residual, graph_),
                                            boost::get(&Arc::reverse, graph_), boost::get(boost::vertex_index, graph_)) == total_;
    }

    Units total() const { return total_; }

private:
    Traits::edge_descriptor link(std::size_t from, std::size_t to, Units capacity) {
        const auto there = boost::add_edge(from, to, graph_).first, back = boost::add_edge(to, from, graph_).first;
        graph_[there].capacity = capacity;
        graph_[there].reverse = back;
        graph_[back].reverse = there;
        return there;
    }

    Graph graph_;
    std::vector<Traits::edge_descriptor> ends_;
    Units total_ = 0;
};

}  // namespace

double divided_peak(const WeekPrices& prices) {
    double longest = 0;
    for (const double hours : prices.hours) longest = std::max(longest, hours);
    if (prices.works == 0) return 0;
    std::map<std::vector<bool>, Units> groups;
    for (std::size_t i = 0; i < prices.works; ++i) {
        std::vector<bool> allowed(prices.weeks);
        bool any = false;
        for (std::size_t w = 0; w < prices.weeks; ++w) {
            allowed[w] = prices.at(i, w) < std::numeric_limits<double>::infinity();
            any = any || allowed[w];
        }
        if (!any) return std::numeric_limits<double>::infinity();
        groups[allowed] += std::llround(prices.hours[i] / longest * 1e6);
    }
    Network network(groups, prices.weeks);
    Units low = 0, high = network.total();  // low does not hold, high does
    while (high - low > 1) {
        const Units middle = low + (high - low) / 2;
        (network.holds(middle) ? high : low) = middle;
    }
    return static_cast<double>(high) * longest / 1e6;
}

}  // namespace libseal::detail
