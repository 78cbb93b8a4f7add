// The table of the rules, and the order that all of them give.

#include <algorithm>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "work/planning.hpp"
#include "work/rules/draft.hpp"

namespace libseal {
namespace {

using detail::OrderDraft;
using detail::RuleFunction;

struct Row {
    SequenceRule rule;
    RuleFunction add_edges;
};

constexpr const char *practice = "common practice, no source", *common = "common_practice", *judged = "judgement", *published = "published";

std::vector<Row> make_rows() {
    using S = Strength;
    namespace d = detail;
    return {
        {{"look_before_touching", S::hard, "Everything is looked at and photographed before anything is removed.", practice, common}, d::look_before_touching},
        {{"isolate_before_opening", S::hard, "Power and gas are off before lights, inlets and appliance frames are opened.", practice, common}, d::isolate_before_opening},
        {{"damage_before_sealing", S::hard, "Damage of a surface is surveyed before a bead closes it.", practice, common}, d::damage_before_sealing},
        {{"cover_open_paths", S::hard, "A way in for water is covered before anything is washed, and what is cut open is closed on the same day.", practice, common}, d::cover_open_paths},
        {{"wash_before_cutting", S::firm, "A joint is washed before it is cut, so that no dirt gets into it.", practice, common}, d::wash_before_cutting},
        {{"strip_clean_prime_apply_cure_test", S::hard, "Strip, clean, prime, apply, cure, test, in this order and with the waits of the products.", "sealant makers' instructions", published}, d::strip_clean_prime_apply_cure_test},
        {{"fasten_before_seal", S::hard, "Parts are fast and bad screws renewed before a bead is laid.", practice, common}, d::fasten_before_seal},
        {{"bed_before_cap", S::hard, "The bedding goes in before the bead that protects it; where time allows it settles first.", practice, common}, d::bed_before_cap},
        {{"insert_after_fasteners", S::hard, "An insert goes in when the sealant on the screws below it has a skin.", practice, common}, d::insert_after_fasteners},
        {{"upstream_first", S::firm, "What water reaches first is sealed first: roof before walls, top before bottom, along the drainage of the coach.", practice, common}, d::upstream_first},
        {{"roof_edge_before_wall", S::firm, "Joints of a wall come after the roof edge or gutter above them.", practice, common}, d::roof_edge_before_wall},
        {{"no_water_on_uncured", S::hard, "No test runs over a bead that has not cured.", "AAMA 501.2; sealant makers' instructions", published}, d::no_water_on_uncured},
        {{"wet_work_first", S::hard, "All washing of a surface, and of those that drain over it, comes before its beads.", practice, common}, d::wet_work_first},
        {{"silicone_last", S::hard, "Silicone is laid last and apart.", "Dictionary of Moisture Protection & Restoration p. 18", published}, d::silicone_last},
        {{"one_family_per_joint", S::firm, "One family a joint; it changes only at a corner, with the overlap tested.", practice, common}, d::one_family_per_joint},
        {{"slide_state", S::hard, "Joints of a slide-out are done in the state that shows them; between the states it is moved.", "coach magazine on slide-outs: both sets of seals show partway; the rest common practice", published}, d::slide_state},
        {{"slide_still_while_curing", S::hard, "A slide-out stays put until the beads in its travel have cured.", practice, common}, d::slide_still_while_curing},
        {{"awning_off_and_on", S::hard, "An awning is off before work on its rail and the seam that it hides, and on again after the cure.", "former coach maker's service text: the awning of a slide-out hides its seam", published}, d::awning_off_and_on},
        {{"unmask_before_skin", S::hard, "Masking comes off before the bead has a skin.", practice, common}, d::unmask_before_skin},
        {{"batch_same_place", S::soft, "Beads of one product on one side at one height are laid one after the other.", practice, common}, d::batch_same_place},
        {{"follow_the_shade", S::soft, "In the sun, sides that face west are sealed before noon and those that face east after it.", "Construction Waterproofing Handbook p. 5.45: work ahead of the sun", published}, d::follow_the_shade},
        {{"no_walking_on_fresh_beads", S::hard, "On the roof one works from the far end towards the ladder.", practice, common}, d::no_walking_on_fresh_beads},
        {{"coating_after_cure", S::firm, "A coating waits until beads and tapes below it have cured.", "roof-coating schedule in a coach newsletter", published}, d::coating_after_cure},
        {{"test_low_to_high", S::firm, "Tests go from low to high, so that the first wet joint is the answer.", "AAMA 501.2: start at the lowest joint", published}, d::test_low_to_high},
        {{"exits_and_vents_last_check", S::hard, "Exits, vents and what moves are checked last of all.", "technicians' study page: test exit windows after sealing", published}, d::exits_and_vents_last_check},
        {{"cure_before_frost", S::firm, "Before a winter in store the last bead has cured when the first frost comes.", "judgement of this project", judged}, d::cure_before_frost},
    };
}

const std::vector<Row>& rows() {
    static const std::vector<Row> table = make_rows();
    return table;
}

/// What gave way is told once a rule, not once an edge.
void tell_what_gave_way(StepOrder& order, const std::vector<Step>& steps) {
    std::map<std::string, std::vector<const Edge*>> by_rule;
    for (const Edge& edge : order.gave_way) by_rule[edge.rule].push_back(&edge);
    for (const auto& [rule, edges] : by_rule) {
        const Edge& first = *edges.front();
        const auto id = [&](int i) { return steps[static_cast<std::size_t>(i)].id; };
        order.notes.push_back(detail::plain_words(rule) + " gives way to stronger rules at " + std::to_string(edges.size()) +
                                 (edges.size() == 1 ? " pair" : " pairs") + " of steps, for example " + id(first.from) + " before " + id(first.to));
    }
}

}  // namespace

const std::vector<SequenceRule>& sequence_rules() {
    static const std::vector<SequenceRule> rules = [] {
        std::vector<SequenceRule> list;
        for (const Row& row : rows()) list.push_back(row.rule);
        return list;
    }();
    return rules;
}

const SequenceRule& sequence_rule(std::string_view name) {
    for (const SequenceRule& rule : sequence_rules())
        if (rule.name == name) return rule;
    const std::string near = nearest_name(name, rule_names());
    throw_value_error("name", "a sequence rule", "\"" + std::string(name) + "\"", near.empty() ? "" : "did you mean " + near + "?");
}

const std::vector<std::string>& rule_names() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const SequenceRule& rule : sequence_rules()) list.push_back(rule.name);
        return list;
    }();
    return names;
}

StepOrder step_order(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue,
                     const std::vector<Edge>& given, const OrderOptions& options) {
    OrderDraft draft(steps, coach, catalogue, options, given);
    for (const Row& row : rows())
        if (row.rule.strength != Strength::soft) row.add_edges(draft);
    draft.settle();
    for (const Row& row : rows())
        if (row.rule.strength == Strength::soft) row.add_edges(draft);
    draft.settle();
    StepOrder order = draft.take();
    tell_what_gave_way(order, steps);
    return order;
}

}  // namespace libseal
