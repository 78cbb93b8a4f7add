// A coach as a layout with changes.

#include <algorithm>

#include "coach/joint_fields.hpp"
#include "coach/layout_table.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// Keys of a layout: those below and its options.
std::vector<std::string> layout_keys() {
    std::vector<std::string> keys{"schema", "layout", "id", "label", "model_line", "model_year", "owner", "length", "length_m",
                                  "length_ft", "installed", "changes", "stays"};
    for (const auto& option : length_options())
        for (const char* unit : {"", "_m", "_ft"}) keys.push_back(option.name + std::string(unit));
    for (const auto& option : count_options()) keys.emplace_back(option.name);
    for (const auto& option : switch_options()) keys.emplace_back(option.name);
    for (const auto& option : material_options()) keys.emplace_back(option.name);
    return keys;
}

/// A change of one joint of a layout: gone, or some of its fields. Layers are found by kind; new ones are added.
/// @param usual  Dates of a new layer that names none: those of the coach.
void change_joint(const JsonView& view, Joint& joint, const Layer& usual, bool& absent) {
    view.check_keys({"absent", "length", "length_m", "length_mm", "length_ft", "bead", "screw_spacing", "screw_spacing_mm",
                     "screw_spacing_m", "screw_spacing_in", "substrates", "layers", "open_edge"});
    absent = view.member("absent").boolean(false);
    joint.length = view.length_member_m("length", 0, 100, joint.length, false);
    read_build(view, joint);
    const JsonView layers = view.member("layers");
    if (!layers.present()) return;
    for (const auto& item : layers.items()) {
        if (!is_object(item)) continue;
        const std::string kind = item.required("kind").text();
        const auto found = std::find_if(joint.layers.begin(), joint.layers.end(), [&](const Layer& l) { return l.kind == kind; });
        if (found != joint.layers.end()) *found = read_layer(item, *found, false);
        else joint.layers.push_back(read_layer(item, usual, true));
    }
}

LayoutOptions read_options(const JsonView& view, const std::string& layout) {
    LayoutOptions o = layout_options(layout);
    const auto has_none = [&](const JsonView& member, const OptionRange& range, bool asked) {
        if (range.low < range.high || !asked) return false;
        member.fail("0: a " + layout + " has none", member.shown());
        return true;
    };
    for (const auto& option : length_options()) {
        const OptionRange range = option_range(layout, option.name);
        for (const char* unit : {"", "_m", "_ft"}) {
            const JsonView member = view.member(option.name + std::string(unit));
            if (member.present()) has_none(member, range, true);
        }
        if (range.low < range.high) o.*option.field = view.length_member_m(option.name, range.low, range.high, o.*option.field, false);
    }
    for (const auto& option : count_options()) {
        const OptionRange range = option_range(layout, option.name);
        const JsonView member = view.member(option.name);
        if (range.low == range.high) {
            has_none(member, range, member.integer(0, 1000, 0) != 0);
            continue;
        }
        o.*option.field = static_cast<int>(member.integer(static_cast<int>(range.low), static_cast<int>(range.high), o.*option.field));
    }
    for (const auto& option : switch_options()) {
        const JsonView member = view.member(option.name);
        const bool there = member.boolean(o.*option.field);
        if (!has_none(member, option_range(layout, option.name), there)) o.*option.field = there;
    }
    const Catalogue catalogue = Catalogue::built_in();
    const auto substrates = catalogue.names("substrate"), finishes = catalogue.names("finish");
    for (const auto& option : material_options())
        o.*option.field = view.member(option.name).word(std::string(option.name).ends_with("finish") ? finishes : substrates, o.*option.field);
    return o;
}

/// Changes of joints by their ids.
void apply_changes(const JsonView& changes, Coach& coach) {
    Layer usual;  // until something is changed all layers have the same dates
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers) {
            usual.installed_from = layer.installed_from;
            usual.installed_to = layer.installed_to;
        }
    for (const auto& [id, change] : changes.members()) {
        if (!is_object(change)) continue;
        const auto found = std::find_if(coach.joints.begin(), coach.joints.end(), [&id = id](const Joint& j) { return j.id == id; });
        if (found == coach.joints.end()) {
            std::vector<std::string> ids;
            for (const auto& joint : coach.joints) ids.push_back(joint.id);
            const std::string near = nearest_name(id, ids);
            change.fail("the id of a joint of the layout", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
            continue;
        }
        bool absent = false;
        change_joint(change, *found, usual, absent);
        if (absent) coach.joints.erase(found);
    }
}

}  // namespace

Coach read_layout(const JsonView& view) {
    view.check_keys(layout_keys());
    Coach names;
    const std::size_t before = view.problem_count();
    const std::string layout = view.member("layout").word(layout_names());
    if (view.problem_count() > before) return names;
    read_names(view, names);
    LayoutOptions options = read_options(view, layout);
    options.id = names.id;
    options.model_line = names.model_line;
    options.model_year = names.model_year;
    if (const JsonView installed = view.member("installed"); installed.present()) {
        const Installed when = read_installed(installed);
        options.installed_from = when.from;
        options.installed_to = when.to;
    }
    const OptionRange lengths = option_range(layout, "length");
    const double length = view.length_member_m("length", lengths.low, lengths.high, 0, true);
    if (view.problem_count() > before) return names;
    Coach coach;
    try {
        coach = layout_coach(layout, length, options);
    } catch (const ValueError& error) {
        note_at_places(view, error.problems());
        return names;
    }
    if (!names.label.empty()) coach.label = names.label;
    coach.owner = names.owner;
    coach.stays = names.stays;
    if (const JsonView changes = view.member("changes"); changes.present()) apply_changes(changes, coach);
    return coach;
}

/// Fields of a coach made from a layout are found under "changes" in the text.
void note_layout_problems(const JsonView& view, const Coach& coach, std::vector<Problem> problems) {
    for (auto& problem : problems)
        if (problem.field.starts_with("joints[")) {
            const std::size_t end = problem.field.find(']');
            const std::string id = coach.joints[std::stoul(problem.field.substr(7, end - 7))].id;
            if (view.member("changes").member(id).present()) {
                problem.field = "changes." + id + problem.field.substr(end + 1);
                // Layers stand in the text in an order of their own, so the list is the place.
                const std::size_t layers = problem.field.find(".layers[");
                if (layers != std::string::npos) {
                    const std::size_t k = problem.field.find(']', layers);
                    problem.field = problem.field.substr(0, layers + 7) + problem.field.substr(k + 1);
                }
            }
        }
    note_at_places(view, std::move(problems));
}

}  // namespace libseal::detail
