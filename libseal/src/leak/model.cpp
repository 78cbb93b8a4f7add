#include "leak/model.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr double negligible = 1e-9;  // [-] ways that carry less are left out

class ModelBuilder {
public:
    explicit ModelBuilder(const LeakInputs& in) : in_(in), causes_of_(in.sightings.size()) {
        std::set<std::string> names;
        for (const auto& s : in.sightings) names.insert(s.when);
        circumstances_.assign(names.begin(), names.end());
        model_.made.assign(in.coach.joints.size(), -1);
        model_.any_open.assign(in.coach.joints.size(), -1);
    }

    LeakModel build() {
        std::vector<int> runs(in_.coach.joints.size(), 0);
        for (const auto& source : in_.sources) ++runs[source.joint];
        for (std::size_t k = 0; k < in_.sources.size(); ++k) add_source(k, runs[in_.sources[k].joint]);
        add_other("condensation");
        add_other("plumbing");
        if (cooling_unit()) add_other("cooling_condensate");
        add_unknown();
        for (std::size_t i = 0; i < in_.sightings.size(); ++i) {
            const int seen = any_of(causes_of_[i]);
            model_.evidence.push_back({seen, in_.sightings[i].wet});
        }
        add_joint_sums();
        add_tests();
        return std::move(model_);
    }

private:
    CauseNetwork& net() { return model_.network; }
    double number(const std::string& id) const { return in_.catalogue.number(id); }
    double shows(const Sighting& s) const { return number("leak/mark/" + in_.stains[s.stain].kind + "/shows"); }
    int any_of(const std::vector<int>& parents) { return net().noisy_or(parents, std::vector<double>(parents.size(), 1.0)); }
    int through(int cause, double passes) { return passes >= 1 ? cause : net().noisy_or({cause}, {passes}); }

    double when(const std::string& base, const std::string& circumstance) const {
        return circumstance.empty() ? 1.0 : number(base + "/" + circumstance);
    }

    bool is_tested(std::size_t joint) const {
        const std::string& id = in_.coach.joints[joint].id;
        return std::any_of(in_.tests.begin(), in_.tests.end(), [&](const LeakTest& t) { return t.joint == id; });
    }

    /// One run: open or not, lets water in or not under each circumstance, and the branches of its ways.
    void add_source(std::size_t k, int runs) {
        const LeakSource& source = in_.sources[k];
        std::vector<std::size_t> reached;
        for (std::size_t i = 0; i < in_.sightings.size(); ++i)
            if (source.tree.probability[static_cast<std::size_t>(in_.sightings[i].place)] > negligible) reached.push_back(i);
        if (reached.empty() && !is_tested(source.joint)) return;
        SourceNodes nodes;
        nodes.source = k;
        // The forecast speaks of the worst of the runs.
        nodes.open = net().root(1 - std::pow(1 - in_.prior[source.joint], 1.0 / runs));
        std::map<std::string, int> lets_in;
        for (const auto& name : circumstances_)
            lets_in[name] = through(nodes.open, when("leak/when/" + in_.drainage.places[static_cast<std::size_t>(source.run)].exposure, name));
        // Which ways exist is the same under all circumstances; with a single one the ways simply follow it.
        const int start = circumstances_.size() == 1 ? lets_in.begin()->second : net().root(1.0);
        const Ways ways = ways_to(source, reached);
        Descent descent{ways, reached, lets_in, nodes};
        descend(descent, source.run, start, 1.0);
        model_.sources.push_back(std::move(nodes));
    }

    using Ways = std::map<int, std::vector<int>>;  ///< links that lead on from each place, of the union of ways

    Ways ways_to(const LeakSource& source, const std::vector<std::size_t>& reached) const {
        Ways ways;
        std::set<int> taken;
        for (const std::size_t i : reached)
            for (const int link : source.tree.path_to(in_.drainage, in_.sightings[i].place))
                if (taken.insert(link).second) ways[in_.drainage.links[static_cast<std::size_t>(link)].from].push_back(link);
        (void)sort_by_size(ways, source.run);
        return ways;
    }

    /// Small branches first, so that the long one is made last and done with first. Gives the links below a place.
    std::size_t sort_by_size(Ways& ways, int place) const {
        const auto on = ways.find(place);
        if (on == ways.end()) return 0;
        std::vector<std::pair<std::size_t, int>> branches;
        std::size_t below = 0;
        for (const int link : on->second) {
            branches.emplace_back(1 + sort_by_size(ways, in_.drainage.links[static_cast<std::size_t>(link)].to), link);
            below += branches.back().first;
        }
        std::sort(branches.begin(), branches.end());
        for (std::size_t k = 0; k < branches.size(); ++k) on->second[k] = branches[k].second;
        return below;
    }

    struct Descent {
        const Ways& ways;
        const std::vector<std::size_t>& reached;
        const std::map<std::string, int>& lets_in;
        SourceNodes& nodes;
    };

    /// Nodes "the water gets there" down the ways, depth first: what is made last is done with first, so that few of them are
    /// open at a time. Places that neither show a mark nor part the ways need none.
    void descend(Descent& d, int place, int water, double passes) {
        const auto on = d.ways.find(place);
        const std::size_t parts = on == d.ways.end() ? 0 : on->second.size();
        const bool shows_here = std::any_of(d.reached.begin(), d.reached.end(), [&](std::size_t i) { return in_.sightings[i].place == place; });
        if (shows_here || parts > 1) {
            water = through(water, passes);
            passes = 1;
        }
        if (shows_here) add_marks(d, place, water);
        if (parts == 0) return;
        for (const int link : on->second) {
            const WaterLink& step = in_.drainage.links[static_cast<std::size_t>(link)];
            descend(d, step.to, water, passes * step.passes);
        }
    }

    void add_marks(Descent& d, int place, int way) {
        for (const std::size_t i : d.reached) {
            const Sighting& s = in_.sightings[i];
            if (s.place != place) continue;
            const int water = circumstances_.size() == 1 ? way : net().table({d.lets_in.at(s.when), way}, {0, 0, 0, 1});
            const int mark = through(water, shows(s));
            causes_of_[i].push_back(mark);
            d.nodes.marks.push_back({i, mark});
        }
    }

    const Part* cooling_unit() const {
        for (const auto& part : in_.coach.parts)
            if (part.kind == "air_conditioner") return &part;
        return nullptr;
    }

    /// How much of another cause gets to a place. [-]
    double reach(const std::string& cause, const WaterPlace& place) const {
        const std::string id = "leak/other/" + cause + "/reaches/" + place.kind;
        const double share = in_.catalogue.has(id) ? number(id) : 0.0;
        if (cause != "cooling_condensate" || share <= 0) return share;
        const Part& unit = *cooling_unit();
        const Place at = place_of(in_.coach, unit.surface, unit.slide, {(unit.low.u + unit.high.u) / 2, (unit.low.v + unit.high.v) / 2});
        const double away = std::hypot(at.x - place.place.x, at.y - place.place.y);
        return share * std::exp(-away / number("leak/other/cooling_condensate/spread_m"));
    }

    void add_other(const std::string& cause) {
        OtherNodes nodes;
        nodes.name = cause;
        const int there = net().root(number("leak/other/" + cause + "/prior"));
        std::map<std::string, int> at_work;
        for (const auto& name : circumstances_) at_work[name] = through(there, when("leak/other/" + cause + "/when", name));
        std::vector<int> wet;
        for (std::size_t i = 0; i < in_.sightings.size(); ++i) {
            const Sighting& s = in_.sightings[i];
            const double share = reach(cause, in_.drainage.places[static_cast<std::size_t>(s.place)]);
            if (share <= 0) continue;
            const int mark = through(at_work.at(s.when), share * shows(s));
            causes_of_[i].push_back(mark);
            if (s.wet) wet.push_back(mark);
        }
        if (!wet.empty()) nodes.made = any_of(wet);
        model_.others.push_back(std::move(nodes));
    }

    /// Marks from nowhere: older than the coach's present state, spilt, misread.
    void add_unknown() {
        OtherNodes nodes;
        nodes.name = "unknown";
        std::vector<int> wet;
        for (std::size_t i = 0; i < in_.sightings.size(); ++i) {
            const int mark = net().root(number("leak/mark/" + in_.stains[in_.sightings[i].stain].kind + "/false"));
            causes_of_[i].push_back(mark);
            if (in_.sightings[i].wet) wet.push_back(mark);
        }
        if (!wet.empty()) nodes.made = any_of(wet);
        model_.others.push_back(std::move(nodes));
    }

    void add_joint_sums() {
        std::map<std::size_t, std::vector<int>> marks, open;
        for (const auto& nodes : model_.sources) {
            const std::size_t joint = in_.sources[nodes.source].joint;
            open[joint].push_back(nodes.open);
            for (const auto& mark : nodes.marks)
                if (in_.sightings[mark.sighting].wet) marks[joint].push_back(mark.node);
        }
        for (const auto& [joint, nodes] : marks) model_.made[joint] = nodes.size() == 1 ? nodes.front() : any_of(nodes);
        for (const auto& [joint, nodes] : open) model_.any_open[joint] = nodes.size() == 1 ? nodes.front() : any_of(nodes);
    }

    void add_tests() {
        const double finds = number("leak/test/finds"), mistaken = number("leak/test/mistaken");
        for (const auto& test : in_.tests)
            for (std::size_t j = 0; j < in_.coach.joints.size(); ++j)
                if (in_.coach.joints[j].id == test.joint && model_.any_open[j] >= 0)
                    model_.evidence.push_back({net().noisy_or({model_.any_open[j]}, {finds}, mistaken), test.wet});
    }

    const LeakInputs& in_;
    LeakModel model_;
    std::vector<std::string> circumstances_;
    std::vector<std::vector<int>> causes_of_;  ///< per sighting: nodes that may have made it
};

}  // namespace

LeakModel leak_model(const LeakInputs& inputs) { return ModelBuilder(inputs).build(); }

const std::vector<std::string>& circumstance_names() {
    static const std::vector<std::string> names{"standing_rain", "driving_rain", "slide_out", "slide_in", "cooling_on",
                                                "cold_morning",  "washing",      "after_winter", "always"};
    return names;
}

}  // namespace libseal::detail
