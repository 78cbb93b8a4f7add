#include "coach/fields.hpp"

#include <cmath>

namespace libseal::detail {

Installed built_in_model_year(int year) { return {make_date(year - 1, 7, 1), make_date(year, 12, 31)}; }

Installed read_installed(const JsonView& view) {
    if (!view.present()) return {};
    switch (view.node().kind) {
        case JsonNode::Kind::number: {
            const int year = static_cast<int>(view.integer(1920, 2200, 0));
            return year == 0 ? Installed{} : built_in_model_year(year);
        }
        case JsonNode::Kind::object: {
            view.check_keys({"from", "to"});
            Installed result{view.required("from").date({}), view.required("to").date({})};
            return result;
        }
        case JsonNode::Kind::text: {
            const Date day = view.date({});
            return {day, day};
        }
        default:
            view.fail("a date, {\"from\": .., \"to\": ..} or a model year", view.shown());
            return {};
    }
}

Itinerary read_stays(const JsonView& view) {
    Itinerary stays;
    const double nan = std::nan("");
    for (const auto& item : view.items()) {
        if (item.node().kind != JsonNode::Kind::object) {
            item.fail("an object", item.shown());
            continue;
        }
        item.check_keys({"from", "to", "place", "station", "latitude_deg", "longitude_deg", "cover", "heading_deg"});
        Stay stay;
        stay.from = item.required("from").date({});
        stay.to = item.member("to").date(make_date(9999, 12, 31));  // left out: until further notice
        stay.place = item.member("place").text();
        stay.station = item.member("station").text();
        stay.latitude = item.member("latitude_deg").number(-90, 90, nan);
        stay.longitude = item.member("longitude_deg").number(-180, 180, nan);
        stay.cover = item.member("cover").text("open");
        stay.heading = item.member("heading_deg").number(-360, 360, nan);
        if (stay.station.empty() && !item.member("latitude_deg").present() && stay.place.empty())
            item.fail("a station, latitude_deg and longitude_deg, or a place", "none of them");
        stays.push_back(std::move(stay));
    }
    return stays;
}

namespace {

/// Lengths are checked in metres, whatever unit the text has them in; a bead's thickness may be called its leg.
JsonView member_in_any_unit(const JsonView& view, const std::string& name) {
    const JsonView found = view.member(name);
    if (found.present() || !name.ends_with("_m")) return found;
    const std::string stem = name.substr(0, name.size() - 2);
    for (const std::string& base : {stem, std::string(stem == "thickness" ? "leg" : "")})
        for (const char* unit : {"", "_m", "_mm", "_cm", "_in", "_ft"})
            if (const JsonView other = view.member(base + unit); !base.empty() && other.present()) return other;
    return found;
}

}  // namespace

JsonView view_at(const JsonView& root, const std::string& field) {
    JsonView here = root;
    std::size_t at = 0;
    while (at < field.size() && here.present()) {
        JsonView next = here;
        if (field[at] == '[') {
            const std::size_t end = field.find(']', at);
            if (end == std::string::npos || here.node().kind != JsonNode::Kind::list) return here;
            const std::size_t index = std::stoul(field.substr(at + 1, end - at - 1));
            if (index >= here.node().items.size()) return here;
            next = here.items()[index];
            at = end + 1;
        } else {
            if (field[at] == '.') ++at;
            const std::size_t end = std::min(field.find_first_of(".[", at), field.size());
            next = member_in_any_unit(here, field.substr(at, end - at));
            at = end;
        }
        if (!next.present()) return here;
        here = next;
    }
    return here;
}

void note_at_places(const JsonView& root, std::vector<Problem> problems) {
    for (const auto& problem : problems) {
        const JsonView place = view_at(root, problem.field);
        // The full path is kept even where the text does not go so deep.
        const std::string prefix = root.path().empty() ? "" : root.path() + (problem.field.starts_with('[') ? "" : ".");
        place.fail_as(prefix + problem.field, problem.expected, problem.got, problem.hint);
    }
}

}  // namespace libseal::detail
