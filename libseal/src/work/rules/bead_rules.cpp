// Rules between beads: silicone, walking ways on the roof, batches, shade.

#include <algorithm>
#include <cmath>
#include <tuple>

#include "work/planning.hpp"
#include "work/rules/draft.hpp"

namespace libseal::detail {
namespace {

std::string level_of(const OrderDraft& draft, const JointWork& work) {
    const std::string& reach = draft.at(work.last_bead).reach;
    if (!reach.empty()) return reach;
    return (work.place.z_low + work.place.z_high) / 2 > draft.catalogue.number("labour_factor/reach_m") ? "ladder" : "ground";
}

/// Beads that one goes through with one cartridge at one height of one side.
using Batch = std::tuple<std::string, std::string, std::string>;

std::map<Batch, std::vector<const JointWork*>> batches_of(const OrderDraft& draft) {
    std::map<Batch, std::vector<const JointWork*>> batches;
    for (const JointWork& work : draft.works())
        if (work.last_bead >= 0 && work.place.height_class != 0 && !work.family.empty())
            batches[{work.place.area, level_of(draft, work), work.family}].push_back(&work);
    for (auto& [batch, works] : batches)
        std::stable_sort(works.begin(), works.end(), [](const JointWork* a, const JointWork* b) { return a->place.u_low < b->place.u_low; });
    return batches;
}

/// Sine of the way that an upright surface faces: 1 east, -1 west, 0 for others.
double eastward(const OrderDraft& draft, const JointWork& work) {
    std::string surface = work.place.joint->surface;
    double turn = 0;
    if (surface == "slide_front_side" || surface == "slide_rear_side") surface = surface == "slide_front_side" ? "front_cap" : "rear_cap";
    if (surface == "slide_face")
        for (const Part& part : draft.coach.parts)
            if (part.id == work.place.joint->slide) surface = part.surface;
    if (surface == "front_cap") turn = 0;
    else if (surface == "curb_wall") turn = 90;
    else if (surface == "rear_cap") turn = 180;
    else if (surface == "street_wall") turn = 270;
    else return 0;
    return std::sin((draft.options.heading + turn) * 3.14159265358979323846 / 180);
}

}  // namespace

void silicone_last(OrderDraft& draft) {
    std::vector<int> others, silicones;
    for (const JointWork& work : draft.works())
        if (work.last_bead >= 0) (work.silicone ? silicones : others).push_back(work.last_bead);
    draft.ahead(others, silicones, "other beads done", {"silicone_last", Strength::hard, "traces of silicone spoil every other bond"});
}

void no_walking_on_fresh_beads(OrderDraft& draft) {
    for (const bool silicone : {false, true}) {
        std::vector<const JointWork*> roof;
        for (const JointWork& work : draft.works())
            if (work.place.height_class == 0 && work.last_bead >= 0 && work.silicone == silicone) roof.push_back(&work);
        std::stable_sort(roof.begin(), roof.end(), [&](const JointWork* a, const JointWork* b) {
            const double da = way_to_ladder(draft.coach, a->place), db = way_to_ladder(draft.coach, b->place);
            const auto where = [](const JointWork* w) { return std::tie(w->place.u_low, w->place.u_high, w->place.joint->path.front().v); };
            return da != db ? da > db : where(a) != where(b) ? where(a) < where(b) : a->place.joint->id < b->place.joint->id;
        });
        for (std::size_t i = 1; i < roof.size(); ++i)
            draft.edge(roof[i - 1]->last_bead, roof[i]->last_bead,
                       {"no_walking_on_fresh_beads", Strength::hard, "from the far end of the roof towards the ladder"});
    }
}

/// Along each batch in the order that all stronger rules leave, so that no batch asks for the opposite of another.
void batch_same_place(OrderDraft& draft) {
    auto batches = batches_of(draft);
    std::vector<int> rank;
    int next = 0;
    for (const auto& [batch, works] : batches)
        for (const JointWork* work : works) {
            ++next;
            for (const int i : work->steps) {
                if (static_cast<std::size_t>(i) >= rank.size()) rank.resize(static_cast<std::size_t>(i) + 1, -1);
                rank[static_cast<std::size_t>(i)] = next;
            }
        }
    const std::vector<int> places = draft.places(rank);
    for (auto& [batch, works] : batches) {
        std::stable_sort(works.begin(), works.end(), [&](const JointWork* a, const JointWork* b) {
            return places[static_cast<std::size_t>(a->last_bead)] < places[static_cast<std::size_t>(b->last_bead)];
        });
        for (std::size_t i = 1; i < works.size(); ++i)
            draft.edge(works[i - 1]->last_bead, works[i]->last_bead,
                       {"batch_same_place", Strength::soft, plain_words(std::get<2>(batch)) + " on the same side at the same height, one after the other"});
    }
}

void follow_the_shade(OrderDraft& draft) {
    if (std::isnan(draft.options.heading)) return;
    for (const bool silicone : {false, true}) {
        std::vector<int> west, east;
        for (const JointWork& work : draft.works()) {
            if (work.last_bead < 0 || work.silicone != silicone) continue;
            const double way = eastward(draft, work);
            if (way < -0.5) west.push_back(work.last_bead);
            if (way > 0.5) east.push_back(work.first_bead);
        }
        draft.ahead(west, east, std::string("sides in the shade of the morning done") + (silicone ? " with silicone" : ""),
                    {"follow_the_shade", Strength::soft, "west sides before noon, east sides after it"});
    }
}

}  // namespace libseal::detail
