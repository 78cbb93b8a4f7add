#include <filesystem>
#include <set>

#include "coach/read_parts.hpp"
#include "core/record_table.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

/// One fleet from coaches; ids must differ.
Fleet checked_fleet(std::vector<Coach> coaches, const std::string& name) {
    std::set<std::string> ids;
    std::vector<Problem> problems;
    for (const auto& coach : coaches)
        if (!ids.insert(coach.id).second) {
            Problem problem;
            problem.file = name;
            problem.field = "coaches.id";
            problem.expected = "ids that stand once";
            problem.got = "\"" + coach.id + "\" again";
            problems.push_back(std::move(problem));
        }
    const Catalogue catalogue = Catalogue::built_in();
    for (const auto& coach : coaches) {
        try {
            check_coach(coach, catalogue);
        } catch (const ValueError& error) {
            for (Problem problem : error.problems()) {
                problem.file = name;
                if (problems.size() < 50) problems.push_back(std::move(problem));
            }
        }
    }
    if (!problems.empty()) throw ValueError(std::move(problems));
    return Fleet{std::move(coaches)};
}

Fleet fleet_from_json(std::string_view text, const std::string& name, const std::string& folder) {
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/fleet/1");
    root.check_keys({"schema", "coaches"});
    const Catalogue catalogue = Catalogue::built_in();
    std::vector<Coach> coaches;
    for (const auto& item : root.required("coaches").items()) {
        const detail::JsonView file = item.member("file");
        if (!file.present()) {
            coaches.push_back(detail::read_coach_object(item, catalogue));
            continue;
        }
        // A coach in a file of its own, beside the fleet's; some of its keys may be set here.
        item.check_keys({"file", "id", "label", "owner", "model_line", "stays", "installed"});
        const std::filesystem::path path = std::filesystem::path(folder) / file.text();
        try {
            Coach coach = read_coach(path.string());
            coach.id = item.member("id").text(coach.id);
            coach.label = item.member("label").text(coach.label);
            coach.owner = item.member("owner").text(coach.owner);
            coach.model_line = item.member("model_line").text(coach.model_line);
            if (const auto stays = item.member("stays"); stays.present()) coach.stays = detail::read_stays(stays);
            if (const auto fitted = detail::read_installed(item.member("installed")); fitted.known)
                for (auto& joint : coach.joints)
                    for (auto& layer : joint.layers) {
                        layer.installed_from = fitted.from;
                        layer.installed_to = fitted.to;
                    }
            coaches.push_back(std::move(coach));
        } catch (const FileError& error) {
            file.fail("a file beside the fleet's", error.problems().front().got + " (" + path.string() + ")");
        } catch (const ValueError& error) {
            for (const auto& problem : error.problems()) problems.add(problem);
        }
    }
    problems.throw_if_any();
    return checked_fleet(std::move(coaches), name);
}

const std::vector<std::string>& fleet_columns() {
    static const std::vector<std::string> names = {
        "id", "layout", "length_m", "width_m", "label", "owner", "model_line", "model_year", "installed_from", "installed_to",
        "station", "latitude_deg", "longitude_deg", "place", "cover", "heading_deg", "roof_finish", "wall_finish",
        "roof_vents", "windows", "slide_outs"};
    return names;
}

TravelTrailerOptions layout_of_row(detail::RecordTable& row, const Catalogue& catalogue) {
    TravelTrailerOptions o;
    const auto finishes = catalogue.names("finish");
    o.id = row.text("id");
    o.model_line = row.text("model_line");
    o.model_year = row.whole("model_year", 1950, 2200, 0);
    o.width = row.number("width_m", 1.8, 2.6, o.width);
    o.roof_vents = row.whole("roof_vents", 0, 6, o.roof_vents);
    o.windows = row.whole("windows", 0, 12, o.windows);
    o.slide_outs = row.whole("slide_outs", 0, 2, o.slide_outs);
    o.roof_finish = row.word("roof_finish", finishes, o.roof_finish);
    o.wall_finish = row.word("wall_finish", finishes, o.wall_finish);
    o.installed_from = row.date("installed_from");
    o.installed_to = row.date("installed_to");
    return o;
}

Stay stay_of_row(detail::RecordTable& row) {
    Stay stay;
    stay.from = make_date(1970, 1, 1);
    stay.to = make_date(9999, 12, 31);
    stay.place = row.text("place");
    stay.station = row.text("station");
    stay.latitude = row.number("latitude_deg", -90, 90);
    stay.longitude = row.number("longitude_deg", -180, 180);
    stay.cover = row.word("cover", cover_names(), "open");
    stay.heading = row.number("heading_deg", 0, 360);
    return stay;
}

/// One row a coach, each made by a layout.
std::vector<Coach> coaches_from_table(std::string_view text, const std::string& name) {
    detail::RecordTable row(text, name, fleet_columns(), {"id", "layout", "length_m"});
    const Catalogue catalogue = Catalogue::built_in();
    std::vector<Coach> coaches;
    while (row.next()) {
        const std::size_t before = row.problem_count();
        for (const char* column : {"id", "layout", "length_m"}) row.need(column);
        const TravelTrailerOptions options = layout_of_row(row, catalogue);
        row.word("layout", {"travel_trailer"});
        const double length = row.number("length_m", 4, 12, 8);
        const Stay stay = stay_of_row(row);
        if (row.problem_count() != before) continue;
        try {
            Coach coach = travel_trailer(length, options);
            coach.label = row.text("label", coach.label);
            coach.owner = row.text("owner");
            coach.stays = {stay};
            coaches.push_back(std::move(coach));
        } catch (const ValueError& error) {
            for (const auto& p : error.problems()) row.fail(p.field, p.expected, p.got, p.hint);
        }
    }
    row.throw_if_any();
    return coaches;
}

}  // namespace

Fleet read_fleet_text(std::string_view text, const std::string& name, const std::string& folder) {
    const std::size_t first = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
    if (first != std::string_view::npos && (text[first] == '{' || text[first] == '['))
        return fleet_from_json(text, name, folder);
    return checked_fleet(coaches_from_table(text, name), name);
}

Fleet read_fleet(const std::string& path) {
    return read_fleet_text(read_text_file(path), path, std::filesystem::path(path).parent_path().string());
}

}  // namespace libseal
