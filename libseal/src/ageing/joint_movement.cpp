#include <algorithm>
#include <cmath>

#include "catalogue/tables.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double metres_per_mm = 1e-3;

/// A part by its two sides [m]; a rail or seam has no second one.
struct Size {
    double longer = 0;
    double shorter = 0;
};

Size size_of(const Part& part) {
    const double u = part.high.u - part.low.u, v = part.high.v - part.low.v;
    return {std::max(u, v), std::min(u, v)};
}

double read_expansion(const Catalogue& catalogue, const std::string& substrate) {
    const std::string follows = "substrate/" + substrate + "/moves_as";
    const std::string& moving = catalogue.has(follows) ? catalogue.word(follows) : substrate;
    return catalogue.number("substrate/" + moving + "/expansion") * 1e-6;
}

/// What a joint type says of movement.
struct Restraint {
    bool floats = false;
    bool corners = false;
    Size usual;
    std::optional<double> against;  ///< expansion of what the part moves against, where that is not what it sits on [1/K]
};

Restraint read_restraint(const Catalogue& catalogue, const std::string& type) {
    const std::string base = "joint_type/" + type + "/", against = base + "moves_against";
    Restraint restraint;
    restraint.floats = catalogue.word(base + "restraint") == "floating";
    restraint.corners = catalogue.word(base + "corners") == "yes";
    restraint.usual = {catalogue.number(base + "usual_length") * metres_per_mm, catalogue.number(base + "usual_width") * metres_per_mm};
    if (catalogue.has(against)) restraint.against = read_expansion(catalogue, catalogue.word(against));
    return restraint;
}

/// Read once: see Catalogue::derived.
struct MovementTables {
    explicit MovementTables(const Catalogue& catalogue)
        : expansions(detail::read_by_name(catalogue.names("substrate"), [&](const std::string& name) { return read_expansion(catalogue, name); })),
          restraints(detail::read_by_name(joint_type_names(catalogue), [&](const std::string& name) { return read_restraint(catalogue, name); })),
          finishes(detail::read_by_name(catalogue.names("finish"), [&](const std::string& name) { return finish(catalogue, name); })) {}
    detail::ByName<double> expansions;  ///< of substrates [1/K]
    detail::ByName<Restraint> restraints;
    detail::ByName<Finish> finishes;
};

const Restraint& restraint_of(const Catalogue& catalogue, const std::string& type) {
    return detail::value_of(catalogue.derived<MovementTables>().restraints, type, [&] { (void)read_restraint(catalogue, type); });
}

double longest_run(const std::vector<Point>& path) {
    double longest = 0;
    for (std::size_t i = 1; i < path.size(); ++i)
        longest = std::max(longest, std::hypot(path[i].u - path[i - 1].u, path[i].v - path[i - 1].v));
    return longest;
}

/// Size of what moves: the part, or the free length of a seam, or a rail.
Size size_of_joint(const Coach& coach, const Joint& joint, const Catalogue& catalogue) {
    for (const auto& part : coach.parts)
        if (part.id == joint.part) return size_of(part);
    const Restraint& restraint = restraint_of(catalogue, joint.type);
    Size size = restraint.usual;
    if (!restraint.floats) size.longer = longest_run(joint.path);
    return size;
}

/// Restraint in both directions; what screws hold moves between them.
void restrain(JointMovement& movement, const Catalogue& catalogue, const Restraint& restraint, Size size, double screw_spacing) {
    if (restraint.floats) {
        const double share = catalogue.number("model/floating_share");
        size = {share * size.longer, share * size.shorter};
    } else if (screw_spacing > 0) {
        // A corner of a rail or seam holds at its first screw in either direction.
        const double shorter = size.shorter > 0 ? std::min(size.shorter, screw_spacing) : screw_spacing;
        size = {std::min(size.longer, screw_spacing), shorter};
    }
    movement.a.restraint = movement.b.restraint = size.longer;
    movement.across = restraint.corners ? size.shorter : 0;
}

Adherend adherend(const Catalogue& catalogue, const std::string& substrate, const std::string& finish_name) {
    const MovementTables& tables = catalogue.derived<MovementTables>();
    const double expansion = detail::value_of(tables.expansions, substrate, [&] { (void)read_expansion(catalogue, substrate); });
    const Finish& coat = detail::value_of(tables.finishes, finish_name, [&] { (void)finish(catalogue, finish_name); });
    return {expansion, 0, coat.absorptance, coat.emittance};
}

std::string usual_finish(const Catalogue& catalogue, const std::string& substrate) {
    return catalogue.word("substrate/" + substrate + "/usual_finish");
}

/// A part of the same stuff as a surface of the coach looks like that surface.
std::string finish_on(const Coach& coach, const Joint& joint, const Catalogue& catalogue, const std::string& substrate) {
    const Surface& own = surface_of(coach, joint.surface, joint.slide);
    if (own.substrate == substrate) return own.finish;
    for (const auto& surface : coach.surfaces)
        if (surface.substrate == substrate) return surface.finish;
    return usual_finish(catalogue, substrate);
}

/// How a layer is strained, and over which width.
void set_form(JointMovement& movement, const Catalogue& catalogue, const JointType& type, const Bead& bead,
              const std::string& layer, const std::string& family) {
    if (layer == "cap_bead") {
        const Bead usual{type.profile, type.bead_width, type.bead_thickness};
        const Bead& used = bead.profile.empty() ? usual : bead;
        movement.form = used.profile;
        movement.width = used.profile == "strip" ? used.width : used.thickness;
    } else {
        const std::string own = "sealant/" + family + "/bed_thickness";
        movement.form = catalogue.word("joint_type/" + type.name + "/strain_form");
        movement.width = catalogue.number(catalogue.has(own) ? own : "model/bed_thickness") * metres_per_mm;
    }
    if (!(movement.width > 0))
        throw_value_error("layer", "a layer with a width", layer + " of a " + type.name + " without one");
}

std::string outermost(const std::vector<Layer>& layers) {
    for (const char* kind : {"cap_bead", "bedding"})
        for (const auto& layer : layers)
            if (layer.kind == kind) return kind;
    return layers.empty() ? "" : layers.front().kind;
}

std::vector<Layer> usual_layers(const Catalogue& catalogue, const JointType& type) {
    std::vector<Layer> layers;
    if (!type.cap.empty()) layers.push_back({"cap_bead", type.cap, {}, {}, 1});
    if (!type.bedding.empty()) layers.push_back({"bedding", type.bedding, {}, {}, 1});
    const std::string base = "joint_type/" + type.name + "/extra_";
    if (catalogue.has(base + "layer")) layers.push_back({catalogue.word(base + "layer"), catalogue.word(base + "family"), {}, {}, 1});
    return layers;
}

const Layer& chosen(const std::vector<Layer>& layers, const std::string& kind) {
    const std::string wanted = kind.empty() ? outermost(layers) : kind;
    std::string known;
    for (const auto& layer : layers) {
        if (layer.kind == wanted) return layer;
        known += (known.empty() ? "" : ", ") + layer.kind;
    }
    throw_value_error("layer", known.empty() ? "a joint with layers" : "one of " + known, "\"" + kind + "\"");
}

}  // namespace

JointMovement movement_of_joint(const Coach& coach, const Joint& joint, const Catalogue& catalogue,
                                const MovementOptions& options) {
    const JointType& type = joint_type(catalogue, joint.type);
    const Layer& layer = chosen(joint.layers, options.layer);
    if (joint.substrates.empty()) throw_value_error(joint.id + ".substrates", "one or two", "none");
    const std::string& part = joint.substrates.front();
    const std::string& skin = joint.substrates.size() > 1 ? joint.substrates[1] : surface_of(coach, joint.surface, joint.slide).substrate;
    JointMovement movement;
    movement.a = adherend(catalogue, part, finish_on(coach, joint, catalogue, part));
    movement.b = adherend(catalogue, skin, finish_on(coach, joint, catalogue, skin));
    const Restraint& restraint = restraint_of(catalogue, type.name);
    movement.b.expansion = restraint.against.value_or(movement.b.expansion);
    set_form(movement, catalogue, type, joint.bead, layer.kind, layer.family);
    const double spacing = require_not_negative(options.screw_spacing.value_or(joint.screw_spacing), "screw_spacing");
    restrain(movement, catalogue, restraint, size_of_joint(coach, joint, catalogue), spacing);
    return movement;
}

JointMovement usual_movement(const std::string& joint_type_name, const Catalogue& catalogue, const std::string& layer) {
    const JointType& type = joint_type(catalogue, joint_type_name);
    const std::vector<Layer> layers = usual_layers(catalogue, type);
    const Layer& used = chosen(layers, layer);
    const std::string base = "joint_type/" + type.name + "/usual_";
    const std::string &part = catalogue.word(base + "part"), &skin = catalogue.word(base + "skin");
    JointMovement movement;
    movement.a = adherend(catalogue, part, usual_finish(catalogue, part));
    movement.b = adherend(catalogue, skin, usual_finish(catalogue, skin));
    const Restraint& restraint = restraint_of(catalogue, type.name);
    movement.b.expansion = restraint.against.value_or(movement.b.expansion);
    set_form(movement, catalogue, type, {}, used.kind, used.family);
    restrain(movement, catalogue, restraint, restraint.usual, type.screw_spacing);
    return movement;
}

}  // namespace libseal
