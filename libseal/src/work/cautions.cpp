#include "libseal/work/cautions.hpp"

#include <algorithm>
#include <set>

#include "work/planning.hpp"

namespace libseal {
namespace {

const std::set<std::string> cutting{"strip", "remove_part", "remove_residue"};
const std::set<std::string> chemical{"remove_residue", "wipe", "prime", "cap", "roll_tape"};
const std::set<std::string> knife{"mask", "unmask", "bed", "roll_tape"};  // besides those that cut into old work
const std::set<std::string> laying{"bed", "seal_fasteners", "cap", "coat"};
const std::set<std::string> opening{"isolate", "remove_part", "strip", "bed", "fasten", "inspect_substrate"};

/// Does a caution of the joint type speak of this kind of step?
bool speaks_of(const std::string& id, const std::string& kind) {
    if (id == "none") return false;
    if (id == "blades" || id == "sharp_edges") return cutting.count(kind) > 0;
    if (id == "solvents") return chemical.count(kind) > 0;
    if (id == "electricity" || id == "gas" || id == "hot_parts") return opening.count(kind) > 0;
    if (id == "exits") return kind == "cap" || kind == "water_test" || kind == "function_check";
    return true;  // where one stands and what moves: at every step
}

}  // namespace

std::vector<std::string> detail::cautions_at(const Step& step, const std::vector<std::string>& place) {
    std::vector<std::string> ids;
    if (step.people == 0) return ids;
    const auto add = [&](const std::string& id) {
        if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
    };
    for (const auto& id : place)
        if (id != "lifting" && speaks_of(id, step.kind)) add(id);
    // A knife cuts and a solvent burns wherever they are used, whatever the type of joint says.
    if (cutting.count(step.kind) || knife.count(step.kind)) add("blades");
    if (step.kind == "strip") add("heat_gun");
    if (chemical.count(step.kind)) add("solvents");
    if (step.people > 1 && (step.kind == "remove_part" || step.kind == "fasten")) add("lifting");
    if (step.kind == "remove_residue") add("remover");
    if (step.kind == "inspect_substrate") add("mould");
    if (laying.count(step.kind) && step.family == "polyurethane") add("isocyanates");
    if (chemical.count(step.kind) || laying.count(step.kind) || step.kind == "repair_holes") add("data_sheets");
    return ids;
}

std::vector<std::string> detail::cautions_of_place(const std::string& surface, const std::string& slide) {
    std::vector<std::string> ids;
    if (surface == "roof") ids = {"fall_from_roof", "roof_load"};
    if (surface == "slide_roof") ids = {"fall_from_roof"};
    if (surface == "underside" || surface == "slide_floor") ids = {"under_coach"};
    if (!slide.empty()) ids.emplace_back("slide_out");
    return ids;
}

std::vector<std::string> cautions_for(const Step& step, const Joint& joint, const Catalogue& catalogue) {
    // A type is written for where it usually lies; a window may as well be one of a slide-out.
    std::vector<std::string> ids = joint_type(catalogue, joint.type).cautions;
    for (const auto& id : detail::cautions_of_place(joint.surface, joint.slide)) ids.push_back(id);
    return detail::cautions_at(step, ids);
}

std::vector<Caution> caution_texts(const std::vector<std::string>& ids, const Catalogue& catalogue) {
    std::vector<Caution> result;
    for (const auto& id : ids) result.push_back({id, catalogue.word("caution/" + id + "/text")});
    return result;
}

std::string closing_line(const Catalogue& catalogue) { return catalogue.word("caution/closing/text"); }

}  // namespace libseal
