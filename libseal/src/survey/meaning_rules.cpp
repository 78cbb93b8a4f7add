// The rules of meaning, one function each. Words are ours; what trade sources say of each is in docs/survey.md.

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/segments.hpp"
#include "survey/meaning_case.hpp"

namespace libseal::detail {
namespace {

// Surface ageing.

void surface_only(const Case& c) {
    c.check("note it and feel whether the bead still gives and comes back", "the surface has aged; looks alone do not leak");
}

void clean_before_bead(const Case& c) {
    c.check("wash the chalk off before any new bead: nothing bonds over powder", "the surface has worn to powder");
}

/// The sun ages joints of one material together: those that see it and have not been looked at since come next.
void sunny_side_first(const Case& c) {
    if (!c.joint || !on_sunny_side(c.survey.coach, *c.joint, c.finding.date)) {
        c.check("measure width and depth of the cracks with a lens; note how far they run", "the skin has gone brittle");
        return;
    }
    const Layer* cap = layer_of(*c.joint, "cap_bead");
    for (const auto& other : c.survey.coach.joints) {
        const Layer* its = layer_of(other, "cap_bead");
        const bool alike = cap && its && its->family == cap->family && other.id != c.joint->id;
        if (alike && on_sunny_side(c.survey.coach, other, c.finding.date) && !c.survey.seen(other.id, "skin_cracks") &&
            !c.survey.looked_at_since(other.id, "", c.finding.date - 1))
            c.check_at(other, "look for skin cracks here too: the same material in the same sun", "sun ages the skin first");
    }
    c.check("measure width and depth of the cracks with a lens; note how far they run",
            "the sunny side shows its age first");
}

// Cracks and voids.

void torn_inside(const Case& c) {
    c.check("see how the joint moves: screws, span between them, width and depth of the bead, its age and product",
            "a tear within the bead means that it was stretched beyond what it can take, or that it is at its end");
}

void trapped_bubbles(const Case& c) {
    c.check("open it: a void that reaches the substrate is a way in", "air, solvent or damp was trapped under the bead");
}

/// What was laid the same day was laid in the same weather.
void moved_while_curing(const Case& c) {
    c.check("ask when and how it was laid; next time choose an hour when the joint stands still",
            "the joint moved before the bead had cured");
    if (!c.joint) return;
    Layer kept, other_kept;
    const Layer* own = c.survey.layer_on(*c.joint, "cap_bead", c.finding.date, kept);
    if (!own || own->installed_from != own->installed_to) return;
    for (const auto& other : c.survey.coach.joints) {
        const Layer* its = c.survey.layer_on(other, "cap_bead", c.finding.date, other_kept);
        const bool same_day = its && its->generation > 1 && its->installed_from == own->installed_from &&
                              its->installed_to == own->installed_to;
        if (other.id != c.joint->id && same_day)
            c.check_at(other, "look for wrinkles here too: laid on the same day", "what cured that day may have moved");
    }
}

// Loss of bond.

void lost_bond(const Case& c) {
    std::string tested;
    if (c.joint)
        if (const Layer* cap = layer_of(*c.joint, "cap_bead"); cap && cap->family != "unknown")
            for (const auto& substrate : c.joint->substrates)
                if (compatibility(c.survey.catalogue, cap->family, substrate) != "ok")
                    tested += (tested.empty() ? "" : ", ") + substrate;
    c.check(
        "see what the bead left behind: dirt, damp, chalk or a bare face; ask for primer and product before a new one goes "
        "on",
        tested.empty() ? "a clean separation is a matter of preparation, product or movement"
                       : "this product needs a primer or a test on " + tested);
}

/// Corners travel most. All of them loose means that the bead shrank, and then its sisters did too.
void frame_shrinks(const Case& c) {
    if (!c.joint) return;
    int corners = 0, loose = 0;
    for (const auto& segment : segments_of(*c.joint)) {
        if (!segment.name.starts_with("corner_")) continue;
        ++corners;
        loose += std::any_of(c.survey.findings.begin(), c.survey.findings.end(), [&](const Finding& f) {
            return f.joint == c.joint->id && f.sign == "corner_loose" && f.segment == segment.name;
        });
    }
    if (corners == 0 || loose < c.value("share") * corners) return;
    const Layer* cap = layer_of(*c.joint, "cap_bead");
    for (const auto& other : c.survey.coach.joints) {
        const Layer* its = layer_of(other, "cap_bead");
        if (other.id == c.joint->id || other.type != c.joint->type || !cap || !its || its->family != cap->family) continue;
        const double apart = std::abs(years_between(cap->installed_from, its->installed_from));
        if (apart <= c.value("same_age_years") && !c.survey.seen(other.id, "corner_loose"))
            c.check_at(
                other, "look at the corners of this one too: same kind, same product, same age",
                std::to_string(loose) + " of " + std::to_string(corners) + " corners loose means that the bead shrank");
    }
    c.check("see how thin the bead was laid; strip the corners and restore its thickness",
            std::to_string(loose) + " of " + std::to_string(corners) + " corners loose means that the bead shrank");
}

void corner_strain(const Case& c) {
    c.check("look at the other corners of this frame with a feeler", "corners travel most and are laid thinnest");
}

// Wear and absence.

void thickness_left(const Case& c) {
    c.check("measure what is left over screw heads and edges", "weather, washing and branches wear a bead thin");
}

void dirt_between_layers(const Case& c) {
    c.check("look at the bedding behind, and for dirt between old layers", "a bead laid over dirt lifts off with it");
}

// Bedding.

bool pumped_out(const Case& c) {
    Layer kept;
    const Layer* bedding = c.joint ? c.survey.layer_on(*c.joint, "bedding", c.finding.date, kept) : nullptr;
    const double after = c.survey.catalogue.number("meaning/moulding_moves/after_years");
    return bedding && years_between(bedding->installed_to, c.finding.date) > after;
}

void moulding_moves(const Case& c) {
    if (!pumped_out(c)) return;
    c.check("try every screw, and whether the part rocks",
            "squeeze-out long after fitting is pumped out by a part that moves, or driven out by heat");
    c.check("press the substrate round the screws: it must be hard",
            "squeeze-out long after fitting is pumped out by a part that moves, or driven out by heat");
}

void fresh_squeeze_out(const Case& c) {
    if (pumped_out(c)) return;
    c.check("trim it clean", "soon after fitting it shows that the bedding is full");
}

void bedding_dried(const Case& c) {
    c.check("look for rust at the screws and damp in the wood behind: water follows a thread",
            "dry bedding has shrunk from edge and screws");
}

// Inserts, gaskets and seals.

void look_under_insert(const Case& c) {
    c.check("draw the insert and look at the screws under it; tap along it, a rattle is shrinkage",
            "a short insert leaves screws bare");
}

void gasket_seat(const Case& c) {
    c.check("see whether it slipped, or is pressed too hard or too little; seat it again",
            "a puckered seal does not lie as it was made to");
}

void gasket_compression(const Case& c) {
    c.check("measure how thick it still is and whether bolts or latches press evenly", "a set seal has lost its spring");
}

void seal_torn(const Case& c) {
    c.check("look for what tore it: an edge, dirt in the track, a misaligned part", "a torn seal was caught or stretched");
}

// Fasteners and rails.

void screws_before_sealant(const Case& c) {
    c.check("try whether the hole still holds: stripped takes a plug or the next size, soft wood a damage survey",
            "no bead holds a part that its screws do not");
}

void too_few_screws(const Case& c) {
    c.check("measure how far the flange gapes between screws", "a wide span lets the flange lift");
}

void part_lifts(const Case& c) {
    c.check("press the wood under it, and try its screws", "it lifts where screws lost their hold or the wood has swollen");
}

void cord_and_rail(const Case& c) {
    c.check("see whether the rail has opened and whether its screws sit", "a cord leaves a rail that has opened or moved");
}

// Parts.

void over_tight_screws(const Case& c) {
    if (!c.finding.reaches_fastener) return;
    c.check("back the screws off and look at the other holes of this part",
            "cracks that start at screws come of screws drawn too tight");
    if (!c.joint) return;
    for (const auto& other : c.survey.coach.joints)
        if (other.type == c.joint->type && other.id != c.joint->id && !c.survey.seen(other.id, "part_cracked"))
            c.check_at(other, "look for cracks at the screws of this one too", "the same hand drew the same screws");
}

void struck_or_strained(const Case& c) {
    if (c.finding.reaches_fastener) return;
    c.check("stop the crack at its ends; replace the part or bridge it with tape: no bead mends it",
            "it was struck, or the plastic was under stress");
}

void opening_behind(const Case& c) {
    c.check("look into what the part covered, and cover it today", "what it kept out has a way in");
}

void closes_badly(const Case& c) {
    c.check("close it on a strip of paper all round: the seal must hold it",
            "a loose latch leaves its seal without pressure");
}

void frees_the_way_out(const Case& c) {
    c.check("cut it free and open it fully; look for other ways out and exhausts that were sealed",
            "a way out or an exhaust is shut");
}

// Water marks.

/// The joints just above; where none is that near, the first ones that the drainage of the coach has upstream.
std::vector<const Joint*> upstream_of(const Case& c) {
    auto above = joints_just_above(c.survey.coach, *c.joint, c.survey.catalogue.number("meaning/look_upstream/distance"));
    if (!above.empty()) return above;
    constexpr std::size_t most = 2;
    for (const auto& id : c.survey.upstream(c.joint->id)) {
        if (above.size() == most) break;
        above.push_back(&joint_of(c.survey.coach, id));
    }
    return above;
}

void look_upstream(const Case& c) {
    if (!c.joint) return;
    for (const Joint* above : upstream_of(c))
        c.check_at(*above, "look here for where the water comes from or is not thrown off",
                   "water runs across this point, or out of it");
    c.check("see whether its own upper edge is open, and whether its lower edge still throws water off",
            "water runs across this point, or out of it");
}

void seal_above_screw_failed(const Case& c) {
    c.check("open the seal above the rusty screw; stainless goes in, its thread sealed", "only a wet screw rusts");
}

void trace_the_stain(const Case& c) {
    c.check("list what could feed it, uphill first, and read moisture on the way",
            "a stain has several possible sources, never one");
    if (!c.joint) return;
    for (const Joint* above : upstream_of(c))
        c.check_at(*above, "look at this one as a source", "water runs down to it");
}

void water_in_light(const Case& c) {
    c.check("isolate the 12 V supply first; dry the light, look for green terminals, bed it anew",
            "water stands in the light");
    if (!c.joint) return;
    for (const Joint* above : upstream_of(c))
        c.check_at(*above, "look at this one: its water may run into the light below",
                   "its own pad or the joint above lets water in");
}

// Structure.

void wet_structure(const Case& c) {
    c.check("damage survey: how far it goes, with readings against a dry spot",
            "it is wet or rotten already; a bead alone mends nothing");
    if (!c.joint) return;
    for (const Joint* near : joints_around(c.survey.coach, *c.joint, c.value("distance")))
        c.check_at(*near, "read moisture here, against a dry spot of the same coach", "water spreads from where it came in");
}

// Material.

void residue_changes_method(const Case& c) {
    c.check("plan abrading and a bond test: cleaning alone does not take the film off", "silicone was used here before");
}

void gone_hard(const Case& c) {
    c.check("press a blunt probe in at several places, and look for cracks at the edges",
            "a hard bead no longer follows its joint");
}

/// One batch, one day: what did not cure here did not cure elsewhere.
void never_cured(const Case& c) {
    c.check("ask for batch and date; press the other beads of that day",
            "soft is not cured, turned back, or fed by something in the plastic below");
}

// The look itself.

void still_unseen(const Case& c) {
    if (c.survey.looked_at_since(c.finding.joint, c.finding.part, c.finding.date)) return;
    c.check("look at it as soon as it can be reached" +
                (c.finding.reason.empty() ? std::string() : ": it was left for " + c.finding.reason),
            "what was not looked at is not clean");
}

}  // namespace

const std::vector<MeaningRule>& meaning_rule_table() {
    static const std::vector<MeaningRule> rules = {
        {"surface_only", {"yellowing", "dirt_pick_up"}, surface_only},
        {"clean_before_bead", {"chalking"}, clean_before_bead},
        {"sunny_side_first", {"skin_cracks"}, sunny_side_first},
        {"torn_inside", {"deep_crack"}, torn_inside},
        {"trapped_bubbles", {"void"}, trapped_bubbles},
        {"moved_while_curing", {"wrinkled"}, moved_while_curing},
        {"lost_bond", {"edge_lift", "gap"}, lost_bond},
        {"frame_shrinks", {"corner_loose"}, frame_shrinks},
        {"corner_strain", {"corner_loose"}, corner_strain},
        {"thickness_left", {"worn_thin"}, thickness_left},
        {"dirt_between_layers", {"missing"}, dirt_between_layers},
        {"moulding_moves", {"bedding_squeezed_out"}, moulding_moves},
        {"fresh_squeeze_out", {"bedding_squeezed_out"}, fresh_squeeze_out},
        {"bedding_dried", {"bedding_shrunk"}, bedding_dried},
        {"look_under_insert", {"insert_short", "insert_out_of_track"}, look_under_insert},
        {"gasket_seat", {"gasket_puckered"}, gasket_seat},
        {"gasket_compression", {"gasket_set"}, gasket_compression},
        {"seal_torn", {"gasket_torn"}, seal_torn},
        {"screws_before_sealant", {"fastener_loose", "fastener_missing"}, screws_before_sealant},
        {"too_few_screws", {"fasteners_far_apart"}, too_few_screws},
        {"part_lifts", {"part_off_surface"}, part_lifts},
        {"cord_and_rail", {"cord_out_of_rail"}, cord_and_rail},
        {"over_tight_screws", {"part_cracked"}, over_tight_screws},
        {"struck_or_strained", {"part_cracked"}, struck_or_strained},
        {"opening_behind", {"part_missing"}, opening_behind},
        {"closes_badly", {"latch_or_handle_loose"}, closes_badly},
        {"frees_the_way_out", {"sealed_shut"}, frees_the_way_out},
        {"look_upstream", {"dirt_run"}, look_upstream},
        {"seal_above_screw_failed", {"rust_run"}, seal_above_screw_failed},
        {"trace_the_stain", {"stain"}, trace_the_stain},
        {"water_in_light", {"fogged_lens"}, water_in_light},
        {"wet_structure", {"soft_substrate", "delaminated"}, wet_structure},
        {"residue_changes_method", {"silicone_residue"}, residue_changes_method},
        {"gone_hard", {"hardened"}, gone_hard},
        {"never_cured", {"soft_or_reverted"}, never_cured},
        {"still_unseen", {"not_inspected"}, still_unseen}};
    return rules;
}

}  // namespace libseal::detail
