#include "libseal/coach/drainage.hpp"

#include <algorithm>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <limits>
#include <map>

#include "coach/upstream.hpp"
#include "coach/water_builder.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

struct LinkCost {
    double cost = 0;  ///< -ln(passes)
    int link = 0;
};
using Graph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, LinkCost>;

double distance(const Place& a, const Place& b) { return std::hypot(a.x - b.x, a.y - b.y, a.z - b.z); }

/// Notes by which link each place is reached best.
class ReachedBy : public boost::dijkstra_visitor<> {
public:
    explicit ReachedBy(std::vector<int>& link) : link_(&link) {}
    void edge_relaxed(Graph::edge_descriptor edge, const Graph& graph) const {
        (*link_)[boost::target(edge, graph)] = graph[edge].link;
    }

private:
    std::vector<int>* link_;
};

}  // namespace

int Drainage::find(const std::string& id) const {
    std::vector<std::string> ids;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (places[i].id == id) return static_cast<int>(i);
        ids.push_back(places[i].id);
    }
    const std::string near = nearest_name(id, ids);
    throw_value_error("place", "a place of the drainage", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

std::vector<int> Drainage::runs_of(const std::string& joint) const {
    std::vector<int> runs;
    for (std::size_t i = 0; i < places.size(); ++i)
        if (places[i].kind == "joint" && places[i].joint == joint) runs.push_back(static_cast<int>(i));
    return runs;
}

int Drainage::nearest(const Coach& coach, const std::string& surface, const std::string& slide, Point point, bool inside) const {
    const Place from = place_of(coach, surface, slide, point);
    int best = -1;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < places.size(); ++i) {
        const WaterPlace& p = places[i];
        if (p.surface != surface || p.slide != slide || p.inside != inside) continue;
        if (!inside && p.kind != "surface") continue;
        const double away = distance(p.place, from);
        if (away < least) {
            least = away;
            best = static_cast<int>(i);
        }
    }
    if (best < 0)
        throw_value_error("surface", std::string("a surface that water can be seen on ") + (inside ? "indoors" : "outside"),
                          "\"" + surface + "\"" + (slide.empty() ? "" : " of slide-out \"" + slide + "\""));
    return best;
}

Drainage drainage(const Coach& coach, const Catalogue& catalogue) { return detail::WaterBuilder(coach, catalogue).make(); }

struct WaterWays::Impl {
    const Drainage* drainage;
    Graph graph;
};

WaterWays::WaterWays(const Drainage& drainage) {
    std::vector<std::pair<std::size_t, std::size_t>> ends;
    std::vector<LinkCost> costs;
    for (std::size_t k = 0; k < drainage.links.size(); ++k) {
        const WaterLink& link = drainage.links[k];
        if (!(link.passes > 0)) continue;
        ends.emplace_back(static_cast<std::size_t>(link.from), static_cast<std::size_t>(link.to));
        costs.push_back({-std::log(link.passes), static_cast<int>(k)});
    }
    impl_ = std::make_shared<const Impl>(
        Impl{&drainage, Graph(boost::edges_are_unsorted_multi_pass, ends.begin(), ends.end(), costs.begin(), drainage.places.size())});
}

WaterTree WaterWays::from(int start) const {
    const std::size_t count = impl_->drainage->places.size();
    if (start < 0 || static_cast<std::size_t>(start) >= count)
        throw_value_error("start", "a place from 0 to " + std::to_string(count - 1), std::to_string(start));
    std::vector<double> cost(count);
    WaterTree tree{start, std::vector<int>(count, -1), std::vector<double>(count, 0.0)};
    const auto index = boost::get(boost::vertex_index, impl_->graph);
    boost::dijkstra_shortest_paths(impl_->graph, static_cast<std::size_t>(start),
                                   boost::weight_map(boost::get(&LinkCost::cost, impl_->graph))
                                       .distance_map(boost::make_iterator_property_map(cost.begin(), index))
                                       .visitor(ReachedBy(tree.reached_by)));
    for (std::size_t i = 0; i < count; ++i)
        if (static_cast<int>(i) == start || tree.reached_by[i] >= 0) tree.probability[i] = std::exp(-cost[i]);
    return tree;
}

std::vector<int> WaterTree::path_to(const Drainage& drainage, int end) const {
    std::vector<int> links;
    for (int at = end; at != start; at = drainage.links[static_cast<std::size_t>(links.back())].from) {
        const int link = reached_by[static_cast<std::size_t>(at)];
        if (link < 0) return {};
        links.push_back(link);
    }
    std::reverse(links.begin(), links.end());
    return links;
}

namespace detail {

Upstream::Upstream(const Drainage& drainage) : drainage_(drainage), into_(drainage.places.size()) {
    const auto centimetres = [](double metres) { return std::lround(50 * metres); };  // told apart by 2 cm
    for (const auto& place : drainage.places) {
        if (place.kind != "joint") continue;
        const Head own{centimetres(place.place.z), -centimetres(std::abs(place.place.y))};
        const auto [at, fresh] = heads_.emplace(place.joint, own);
        if (!fresh) at->second = std::max(at->second, own);
    }
    for (const auto& link : drainage.links) {
        const auto from = static_cast<std::size_t>(link.from), to = static_cast<std::size_t>(link.to);
        const std::string& start = drainage.places[from].kind;
        if (drainage.places[to].kind == "surface" && (start == "surface" || start == "joint")) into_[to].push_back(link.from);
    }
}

std::vector<std::string> Upstream::of(const std::string& joint) const {
    const auto& places = drainage_.places;
    const auto own = heads_.find(joint);
    if (own == heads_.end()) return {};
    std::vector<int> steps(places.size(), -1), queue;
    for (const auto& link : drainage_.links) {
        const auto to = static_cast<std::size_t>(link.to);
        if (places[static_cast<std::size_t>(link.from)].joint != joint || places[to].kind != "surface" || steps[to] == 0) continue;
        steps[to] = 0;
        queue.push_back(link.to);
    }
    std::map<std::string, int> back;  // cells to go back
    for (std::size_t k = 0; k < queue.size(); ++k)
        for (const int from : into_[static_cast<std::size_t>(queue[k])]) {
            const WaterPlace& place = places[static_cast<std::size_t>(from)];
            const int here = steps[static_cast<std::size_t>(queue[k])];
            if (place.kind == "joint") {
                if (heads_.at(place.joint) > own->second) back.emplace(place.joint, here);
            } else if (steps[static_cast<std::size_t>(from)] < 0) {
                steps[static_cast<std::size_t>(from)] = here + 1;
                queue.push_back(from);
            }
        }
    std::vector<std::string> joints;
    for (const auto& [id, cells] : back) joints.push_back(id);
    std::stable_sort(joints.begin(), joints.end(), [&](const auto& a, const auto& b) {
        return back.at(a) != back.at(b) ? back.at(a) < back.at(b) : heads_.at(a) < heads_.at(b);
    });
    return joints;
}

}  // namespace detail

std::vector<std::string> upstream_joints(const Drainage& drainage, const std::string& joint) { return detail::Upstream(drainage).of(joint); }

}  // namespace libseal
