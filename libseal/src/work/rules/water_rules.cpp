// Rules about water: what drains over what, what is rinsed, what is tested.

#include <algorithm>

#include "coach/upstream.hpp"
#include "work/rules/draft.hpp"

namespace libseal::detail {
namespace {

/// Silicone goes last by a hard rule; a firm one must not ask for the opposite.
bool order_allowed(const JointWork& from, const JointWork& to) { return !from.silicone || to.silicone; }

bool is_roof_edge(const JointWork& work) {
    return work.place.joint->type == "roof_edge_moulding" || work.place.joint->type == "drip_rail";
}

/// Is the pair heeded by groups of areas: roof, slide roof, walls, what lies below?
bool by_area(const JointPlace& upper, const JointPlace& lower) {
    if (upper.height_class == 0) return lower.height_class > 0;
    if (upper.height_class == 1) return lower.height_class > 1 && upper.joint->slide == lower.joint->slide;
    return upper.height_class == 2 && lower.height_class == 3;
}

/// Pairs of works with beads whose upper one drains over the lower one; notes them once for all rules.
class Streams {
public:
    explicit Streams(const OrderDraft& draft) {
        for (const JointWork& work : draft.works())
            if (work.last_bead >= 0 && !work.of_part) beads_.push_back(&work);
        if (beads_.size() < 2) return;
        const Drainage ways = drainage(draft.coach, draft.catalogue);
        const Upstream upstream(ways);
        std::map<std::string, std::vector<std::size_t>> works_of;
        for (std::size_t i = 0; i < beads_.size(); ++i) works_of[beads_[i]->place.joint->id].push_back(i);
        over_.assign(beads_.size(), std::vector<char>(beads_.size(), 0));
        for (std::size_t low = 0; low < beads_.size(); ++low) {
            for (const std::string& id : upstream.of(beads_[low]->place.joint->id))
                if (const auto found = works_of.find(id); found != works_of.end())
                    for (const std::size_t up : found->second) note(up, low);
            for (std::size_t up = 0; up < beads_.size(); ++up)
                if (runs_over(beads_[up]->place, beads_[low]->place)) note(up, low);
        }
    }

    /// Without pairs that follow from two others.
    std::vector<Stream> next_below() const {
        std::vector<Stream> pairs;
        for (std::size_t up = 0; up < over_.size(); ++up)
            for (std::size_t low = 0; low < over_.size(); ++low)
                if (over_[up][low] && !between(up, low)) pairs.push_back({beads_[up], beads_[low]});
        return pairs;
    }

private:
    void note(std::size_t up, std::size_t low) {
        if (up != low && order_allowed(*beads_[up], *beads_[low])) over_[up][low] = 1;
    }
    bool between(std::size_t up, std::size_t low) const {
        for (std::size_t middle = 0; middle < over_.size(); ++middle)
            if (over_[up][middle] && over_[middle][low] && !over_[low][middle] && !over_[middle][up]) return true;
        return false;
    }

    std::vector<const JointWork*> beads_;
    std::vector<std::vector<char>> over_;
};

/// Roof before walls, slide roof before its slide, walls before what lies below them.
void area_by_area(OrderDraft& draft, int level, bool silicone) {
    static const char* names[] = {"roof sealed", "slide roof sealed", "walls sealed"};
    std::map<std::string, std::vector<const JointWork*>> uppers;
    for (const JointWork& from : draft.works())
        if (from.place.height_class == level && from.last_bead >= 0 && from.silicone == silicone)
            uppers[level == 1 ? from.place.joint->slide : ""].push_back(&from);
    for (const auto& [slide, group] : uppers) {
        std::vector<int> before, after;
        for (const JointWork* upper : group) before.push_back(upper->last_bead);
        for (const JointWork& to : draft.works())
            if (to.first_bead >= 0 && order_allowed(*group.front(), to) && by_area(group.front()->place, to.place))
                after.push_back(to.first_bead);
        draft.ahead(before, after, names[level] + (slide.empty() ? "" : " " + slide) + (silicone ? " with silicone" : ""),
                    {"upstream_first", Strength::firm, level == 2 ? "walls before what lies below them" : "roof before walls"});
    }
}

}  // namespace

std::vector<Stream> streams_of(const OrderDraft& draft) { return Streams(draft).next_below(); }

void upstream_first(OrderDraft& draft) {
    for (const bool silicone : {false, true})
        for (const int level : {0, 1, 2}) area_by_area(draft, level, silicone);
    for (const auto& [upper, lower] : draft.streams())
        if (!is_roof_edge(*upper) && !by_area(upper->place, lower->place))
            draft.edge(upper->last_bead, lower->first_bead,
                       {"upstream_first", Strength::firm, upper->place.joint->id + " drains over " + lower->place.joint->id});
}

void roof_edge_before_wall(OrderDraft& draft) {
    for (const auto& [upper, lower] : draft.streams())
        if (is_roof_edge(*upper))
            draft.edge(upper->last_bead, lower->first_bead,
                       {"roof_edge_before_wall", Strength::firm, upper->place.joint->id + " drains over " + lower->place.joint->id});
}

/// Washes of an area, and of those that drain over it, before its beads. A mark stands for each area that is washed; it waits for
/// the marks of the areas above.
void wet_work_first(OrderDraft& draft) {
    const auto areas = draft.areas();
    std::map<std::string, int> washed;
    Why why{"wet_work_first", Strength::hard, "no wash water over or beside a fresh bead, and time to dry"};
    for (int level = 0; level <= 3; ++level)
        for (const auto& [name, here] : areas) {
            const JointPlace& place = here.front()->place;
            if (place.height_class != level) continue;
            std::vector<int> before, beads;
            for (const JointWork* work : here) {
                if (work->wash >= 0) before.push_back(work->wash);
                if (work->first_bead >= 0) beads.push_back(work->first_bead);
            }
            for (const auto& [upper, mark] : washed)
                if (area_over(areas.at(upper).front()->place, place)) before.push_back(mark);
            if (before.empty()) continue;
            const int mark = washed[name] = draft.mark("washed " + name);
            why.lag = 0;
            for (const int step : before) draft.edge(step, mark, why);
            why.lag = draft.gate("drying_hours_cloth") * 60;
            for (const int bead : beads) draft.edge(mark, bead, why);
        }
}

void no_water_on_uncured(OrderDraft& draft) {
    for (const auto& [name, here] : draft.areas()) {
        std::vector<int> tests, cures;
        for (const JointWork* work : here)
            if (work->test >= 0) tests.push_back(work->test);
        for (const JointWork& work : draft.works())
            if (work.cure >= 0 && (work.place.area == name || area_over(here.front()->place, work.place))) cures.push_back(work.cure);
        draft.ahead(cures, tests, "cured " + name,
                    {"no_water_on_uncured", Strength::hard, "the test runs over these beads too"});
    }
}

void test_low_to_high(OrderDraft& draft) {
    for (const auto& [name, here] : draft.areas()) {
        std::vector<int> tests, lower;
        for (const JointWork* work : here)
            if (work->test >= 0) tests.push_back(work->test);
        for (const JointWork& work : draft.works())
            if (work.test >= 0 && area_over(here.front()->place, work.place)) lower.push_back(work.test);
        draft.ahead(lower, tests, "tested below " + name,
                    {"test_low_to_high", Strength::firm, "from low to high the first wet joint is the answer"});
    }
}

}  // namespace libseal::detail
