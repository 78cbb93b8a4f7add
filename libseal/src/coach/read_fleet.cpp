#include <cmath>
#include <filesystem>
#include <map>
#include <set>

#include "coach/check.hpp"
#include "coach/fields.hpp"
#include "coach/layout_table.hpp"
#include "core/record_table.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::JsonNode;
using detail::JsonView;
using detail::Problems;
using detail::RecordTable;

/// A coach from a file beside the fleet, with some fields of its own.
Coach coach_by_file(const JsonView& view, const std::string& folder, std::map<std::string, Coach>& read) {
    view.check_keys({"file", "id", "label", "model_line", "model_year", "owner", "stays", "installed"});
    const std::string file = view.required("file").text();
    const std::string path = (std::filesystem::path(folder) / file).string();
    auto found = read.find(path);
    if (found == read.end()) {
        std::error_code code;
        if (std::filesystem::exists(path, code) && !std::filesystem::is_regular_file(path, code)) {  // a pipe may never end
            view.member("file").fail("the file of a coach", path + ": a folder, a pipe or a device");
            return {};
        }
        try {
            found = read.emplace(path, read_coach(path)).first;
        } catch (const FileError& error) {
            view.member("file").fail("the file of a coach", error.problems()[0].file + ": " + error.problems()[0].got);
            return {};
        }
    }
    Coach coach = found->second;
    coach.id = view.member("id").text(coach.id);
    coach.label = view.member("label").text(coach.label);
    coach.model_line = view.member("model_line").text(coach.model_line);
    coach.model_year = static_cast<int>(view.member("model_year").integer(1920, 2200, coach.model_year));
    coach.owner = view.member("owner").text(coach.owner);
    if (const JsonView installed = view.member("installed"); installed.present()) {
        const detail::Installed when = detail::read_installed(installed);
        for (auto& joint : coach.joints)
            for (auto& layer : joint.layers) {
                layer.installed_from = when.from;
                layer.installed_to = when.to;
            }
    }
    const std::size_t before = view.problem_count();
    if (const JsonView stays = view.member("stays"); stays.present()) coach.stays = detail::read_stays(stays);
    if (view.problem_count() > before) return coach;
    auto problems = detail::coach_problems(coach, Catalogue::built_in());
    if (problems.empty()) coach.stays = checked_itinerary(std::move(coach.stays));
    else detail::note_at_places(view, std::move(problems));
    return coach;
}

Fleet fleet_from_json(std::string_view text, const std::string& name, const std::string& folder) {
    const detail::JsonDocument document{std::string(text), name};
    Problems problems;
    const JsonView root = JsonView::root(document, problems);
    root.check_schema("libseal/fleet/1");
    root.check_keys({"schema", "coaches"});
    Fleet fleet;
    std::map<std::string, Coach> by_path;
    std::set<std::string> ids;
    for (const auto& item : root.required("coaches").items(limits::coaches)) {
        if (item.node().kind != JsonNode::Kind::object) {
            item.fail("a coach, or {\"file\": ..}", item.shown());
            continue;
        }
        Coach coach = item.member("file").present() ? coach_by_file(item, folder, by_path) : detail::read_coach_view(item, false);
        if (!coach.id.empty() && !ids.insert(coach.id).second) {
            const JsonView id = item.member("id");
            (id.present() ? id : item).fail("an id that no other coach has", "\"" + coach.id + "\"");
        }
        fleet.coaches.push_back(std::move(coach));
    }
    problems.throw_if_any();
    return fleet;
}

/// Columns of a fleet: those below and the options of the layouts; the walls' finish may be called "finish".
std::vector<std::string> columns() {
    std::vector<std::string> names{"id", "layout", "label", "owner", "model_line", "model_year", "length_m", "finish", "installed",
                                   "installed_to", "place", "station", "latitude_deg", "longitude_deg", "stay_from", "cover", "heading_deg"};
    for (const auto& option : detail::length_options()) names.push_back(option.name + std::string("_m"));
    for (const auto& option : detail::count_options()) names.emplace_back(option.name);
    for (const auto& option : detail::switch_options()) names.emplace_back(option.name);
    for (const auto& option : detail::material_options()) names.emplace_back(option.name);
    return names;
}

LayoutOptions options_of(RecordTable& row, const std::string& layout, const Catalogue& catalogue) {
    const auto substrates = catalogue.names("substrate"), finishes = catalogue.names("finish");
    LayoutOptions o = layout_options(layout);
    o.id = row.text("id");
    o.model_line = row.text("model_line");
    o.model_year = row.whole("model_year", 1920, 2200, 0);
    for (const auto& option : detail::length_options()) {
        const OptionRange range = detail::option_range(layout, option.name);
        o.*option.field = row.number(option.name + std::string("_m"), range.low, range.high, o.*option.field);
    }
    for (const auto& option : detail::count_options()) {
        const OptionRange range = detail::option_range(layout, option.name);
        o.*option.field = row.whole(option.name, static_cast<int>(range.low), static_cast<int>(range.high), o.*option.field);
    }
    for (const auto& option : detail::switch_options()) {
        o.*option.field = row.yes_no(option.name, o.*option.field);
        if (o.*option.field && detail::option_range(layout, option.name).high < 1)
            row.fail(option.name, "no: a " + layout + " has none", "yes");
    }
    for (const auto& option : detail::material_options())
        o.*option.field = row.word(option.name, std::string(option.name).ends_with("finish") ? finishes : substrates, o.*option.field);
    o.wall_finish = row.word("finish", finishes, o.wall_finish);
    o.installed_from = row.date("installed", {});
    o.installed_to = row.date("installed_to", o.installed_from);
    return o;
}

/// The one stay of a row, from `stay_from` or the first installation on.
void add_stay(RecordTable& row, Coach& coach) {
    Stay stay;
    stay.place = row.text("place");
    stay.station = row.text("station");
    stay.latitude = row.number("latitude_deg", -90, 90);
    stay.longitude = row.number("longitude_deg", -180, 180);
    if (stay.place.empty() && stay.station.empty() && std::isnan(stay.latitude) && std::isnan(stay.longitude)) return;
    stay.from = row.date("stay_from", coach.joints.at(0).layers.at(0).installed_from);
    stay.to = make_date(9999, 12, 31);
    stay.cover = row.word("cover", cover_names(), "open");
    stay.heading = row.number("heading_deg", -360, 360);
    coach.stays.push_back(std::move(stay));
}

/// Column of what is wrong with a coach of a row: of a made layout only the id, the dates and the stay can be.
std::string column_of(const std::string& field) {
    if (field == "id") return "id";
    if (field.ends_with(".installed")) return "installed";
    if (field.ends_with(".from") || field.ends_with(".to")) return "stay_from";
    if (field.ends_with(".latitude")) return "latitude_deg";
    if (field.ends_with(".longitude")) return "longitude_deg";
    return "station";
}

/// A coach of the row, checked; problems are noted at the row.
void add_coach(RecordTable& row, const std::string& layout, double length, const LayoutOptions& options, const Catalogue& catalogue,
               Fleet& fleet) {
    try {
        Coach coach = detail::layout_coach(layout, length, options);
        coach.label = row.text("label", coach.label);
        coach.owner = row.text("owner");
        const std::size_t before = row.problem_count();
        add_stay(row, coach);
        if (row.problem_count() > before) return;
        for (const auto& problem : detail::coach_problems(coach, catalogue)) {
            const std::string column = column_of(problem.field);
            row.fail(column, problem.expected, problem.got, problem.hint);
            if (column == "installed") break;  // one of the dates is enough
        }
        fleet.coaches.push_back(std::move(coach));
    } catch (const ValueError& error) {
        for (const auto& problem : error.problems()) row.fail(problem.field, problem.expected, problem.got, problem.hint);
    }
}

Fleet fleet_from_csv(std::string_view text, const std::string& name) {
    const Catalogue catalogue = Catalogue::built_in();
    RecordTable row(text, name, columns(), {"id", "layout", "length_m"});
    Fleet fleet;
    std::set<std::string> ids;
    while (row.next()) {
        if (fleet.coaches.size() == limits::coaches) {
            row.fail("id", "at most " + std::to_string(limits::coaches) + " coaches", "more", "split the fleet, or forecast it as columns");
            break;
        }
        const std::size_t before = row.problem_count();
        for (const char* column : {"id", "layout", "length_m"}) row.need(column);
        const std::string layout = row.word("layout", layout_names());
        if (layout.empty()) continue;
        const LayoutOptions options = options_of(row, layout, catalogue);
        const OptionRange lengths = detail::option_range(layout, "length");
        const double length = row.number("length_m", lengths.low, lengths.high);
        if (!options.id.empty() && !ids.insert(options.id).second)
            row.fail("id", "an id that no other coach has", "\"" + options.id + "\"");
        if (row.problem_count() == before) add_coach(row, layout, length, options, catalogue, fleet);
    }
    row.throw_if_any();
    return fleet;
}

}  // namespace

Fleet read_fleet_text(std::string_view text, const std::string& name, const std::string& folder) {
    return detail::looks_like_json(text) ? fleet_from_json(text, name, folder) : fleet_from_csv(text, name);
}

Fleet read_fleet(const std::string& path) {
    return read_fleet_text(read_text_file(path), path, std::filesystem::path(path).parent_path().string());
}

}  // namespace libseal
