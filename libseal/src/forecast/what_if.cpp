#include "libseal/forecast/what_if.hpp"

#include <algorithm>
#include <cmath>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

std::vector<std::string> parts_of(const std::string& target) {
    std::vector<std::string> parts;
    std::size_t from = 0;
    for (std::size_t slash; (slash = target.find('/', from)) != std::string::npos; from = slash + 1)
        parts.push_back(target.substr(from, slash - from));
    parts.push_back(target.substr(from));
    return parts;
}

double number_of(const Change& change) {
    double value = 0;
    if (!try_parse_number(change.value, value))
        throw_value_error(change.target, "a number", "\"" + change.value + "\"");
    return value;
}

[[noreturn]] void unknown_field(const Change& change, const std::string& field, const std::vector<std::string>& known) {
    std::string list;
    for (const auto& name : known) list += (list.empty() ? "" : ", ") + name;
    const std::string near = nearest_name(field, known);
    throw_value_error(change.target, "a field among " + list, "\"" + field + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

/// Catalogue with one value in place of another; its range widens to hold it, so that any "what if" can be asked.
Catalogue with_value(const Catalogue& catalogue, const Change& change) {
    const SourcedValue& old = catalogue.at(change.target);
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/catalogue/1");
    out.key("values");
    out.begin_object();
    out.key(change.target);
    out.begin_object();
    if (old.unit == "word") {
        out.member("value", change.value);
    } else {
        const double value = number_of(change);
        out.member("value", value);
        if (std::isfinite(old.low)) out.member("low", std::min(old.low, value));
        if (std::isfinite(old.high)) out.member("high", std::max(old.high, value));
    }
    out.member("unit", old.unit);
    out.member("source", "what if");
    out.member("mark", "judgement");
    out.end_object();
    out.end_object();
    out.end_object();
    return catalogue.with_overlay(out.take(), "what if");
}

/// False if the coach has no such surface.
bool change_coach(Coach& coach, const Change& change, const std::vector<std::string>& parts) {
    const std::string& field = parts[2];
    const auto each_stay = [&](const auto& set) {
        for (auto& stay : coach.stays) set(stay);
    };
    if (field == "cover" && parts.size() == 3) {
        each_stay([&](Stay& stay) { stay.cover = change.value; });
    } else if (field == "heading" && parts.size() == 3) {
        const double heading = number_of(change);
        each_stay([&](Stay& stay) { stay.heading = heading; });
    } else if (field == "station" && parts.size() == 3) {
        each_stay([&](Stay& stay) { stay.station = change.value; });
    } else if (field == "place" && parts.size() == 3) {
        each_stay([&](Stay& stay) { stay.place = change.value; });
    } else if (field == "finish" && parts.size() == 4) {
        bool any = false;
        for (auto& surface : coach.surfaces)
            if (surface.name == parts[3] || parts[3] == "*") {
                surface.finish = change.value;
                any = true;
            }
        return any;
    } else {
        unknown_field(change, field, {"cover", "heading", "station", "place", "finish/SURFACE"});
    }
    return true;
}

/// False if the joint has no such layer.
bool change_joint(Joint& joint, const Change& change, const std::vector<std::string>& parts) {
    const std::string& field = parts[3];
    bool any = true;
    if (parts.size() == 4 && field == "screw_spacing_mm") {
        joint.screw_spacing = number_of(change) / 1000;
    } else if (parts.size() == 4 && field == "length_m") {
        joint.length = number_of(change);
    } else if (parts.size() == 5 && (parts[4] == "family" || parts[4] == "installed")) {
        any = false;
        for (auto& layer : joint.layers) {
            if (layer.kind != field) continue;
            any = true;
            if (parts[4] == "family") layer.family = change.value;
            else layer.installed_from = layer.installed_to = parse_date(change.value);
        }
    } else {
        unknown_field(change, parts.size() == 5 ? parts[4] : field, {"screw_spacing_mm", "length_m", "LAYER/family", "LAYER/installed"});
    }
    return any;
}

/// True if the change was one of the catalogue.
bool apply(const Change& change, Fleet& fleet, Catalogue& catalogue) {
    const std::vector<std::string> parts = parts_of(change.target);
    const bool of_coach = parts[0] == "coach" && parts.size() >= 3, of_joint = parts[0] == "joint" && parts.size() >= 4;
    if (!of_coach && !of_joint) {
        catalogue = with_value(catalogue, change);
        return true;
    }
    bool any = false;
    for (auto& coach : fleet.coaches) {
        if (parts[1] != "*" && coach.id != parts[1]) continue;
        if (of_coach) {
            any |= change_coach(coach, change, parts);
            continue;
        }
        for (auto& joint : coach.joints)
            if (parts[2] == "*" || joint.id == parts[2]) any |= change_joint(joint, change, parts);
    }
    if (!any) throw_value_error(change.target, of_coach ? "a coach of the fleet, and a surface that it has" : "a joint of the fleet, and a layer that it has", "none of that id");
    return false;
}

Forecast changed(const Fleet& fleet, Date as_of, double years, const std::vector<Change>& changes, const ForecastOptions& options) {
    Fleet other = fleet;
    ForecastOptions chosen = options;
    bool of_catalogue = false;
    for (const Change& change : changes) of_catalogue |= apply(change, other, chosen.catalogue);
    if (of_catalogue) chosen.session = nullptr;  // a session holds the clocks of one catalogue
    return forecast(other, as_of, years, chosen);
}

struct Range {
    std::string target, low, high;
};

/// Numbers of the catalogue that bear on the coach and are not measured, over their plausible ranges.
void add_catalogue_ranges(const Coach& coach, const Catalogue& catalogue, std::vector<Range>& ranges) {
    std::vector<std::string> ids;
    const auto add = [&](const std::string& id) {
        if (catalogue.has(id) && std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
    };
    for (const auto& joint : coach.joints) {
        add("finish/" + surface_of(coach, joint.surface, joint.slide).finish + "/absorptance");
        for (const auto& layer : joint.layers)
            for (const char* field : {"median_life", "energy_light", "energy_heat", "energy_moisture", "light_exponent",
                                      "humidity_exponent", "movement_c", "movement_d", "set_energy", "shrink_energy"})
                add("sealant/" + layer.family + "/" + field);
    }
    add("model/look_sd");
    for (const auto& id : ids) {
        const SourcedValue& value = catalogue.at(id);
        if (value.mark == Mark::measured || !(value.low < value.high)) continue;
        ranges.push_back({id, number_text(value.low), number_text(value.high)});
    }
}

void add_coach_ranges(const Coach& coach, std::vector<Range>& ranges) {
    const bool unknown_heading = std::any_of(coach.stays.begin(), coach.stays.end(), [](const Stay& s) { return std::isnan(s.heading); });
    if (unknown_heading) {
        // Both ways round, so that a wall that matters looks to the sun once.
        ranges.push_back({"coach/" + coach.id + "/heading", "90", "270"});
        ranges.push_back({"coach/" + coach.id + "/heading", "0", "180"});
    }
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers)
            if (layer.installed_from < layer.installed_to)
                ranges.push_back({"joint/" + coach.id + "/" + joint.id + "/" + layer.kind + "/installed",
                                  to_text(layer.installed_from), to_text(layer.installed_to)});
}

}  // namespace

Comparison what_if(const Fleet& fleet, Date as_of, double years, const std::vector<Change>& changes, const ForecastOptions& options) {
    Comparison comparison;
    comparison.before = forecast(fleet, as_of, years, options);
    comparison.after = changed(fleet, as_of, years, changes, options);
    comparison.days = (comparison.after.due_50 - comparison.before.due_50).cast<double>();
    return comparison;
}

Comparison what_if(const Coach& coach, Date as_of, double years, const std::vector<Change>& changes, const ForecastOptions& options) {
    return what_if(fleet_of(coach), as_of, years, changes, options);
}

Sensitivity sensitivity(const Coach& coach, Date as_of, double years, const ForecastOptions& options) {
    const Fleet fleet = fleet_of(coach);
    const Forecast base = forecast(fleet, as_of, years, options);
    std::vector<Range> ranges;
    add_catalogue_ranges(coach, options.catalogue, ranges);
    add_coach_ranges(coach, ranges);
    Sensitivity result;
    const auto count = static_cast<Eigen::Index>(ranges.size());
    result.days_low = result.days_high = Eigen::ArrayXXd::Zero(count, base.size());
    for (Eigen::Index a = 0; a < count; ++a) {
        const Range& range = ranges[static_cast<std::size_t>(a)];
        const auto move = [&](const std::string& value) {
            const Forecast other = changed(fleet, as_of, years, {{range.target, value}}, options);
            return (other.due_50 - base.due_50).cast<double>().transpose().eval();
        };
        result.days_low.row(a) = move(range.low);
        result.days_high.row(a) = move(range.high);
        result.assumption.push_back(range.target);
        result.low.push_back(range.low);
        result.high.push_back(range.high);
    }
    result.most.resize(static_cast<std::size_t>(base.size()));
    result.most_days = Column::Zero(base.size());
    for (Eigen::Index i = 0; i < base.size(); ++i)
        for (Eigen::Index a = 0; a < count; ++a) {
            const double move = std::max(std::abs(result.days_low(a, i)), std::abs(result.days_high(a, i)));
            if (move <= result.most_days[i]) continue;
            result.most_days[i] = move;
            result.most[static_cast<std::size_t>(i)] = ranges[static_cast<std::size_t>(a)].target;
        }
    return result;
}

}  // namespace libseal
