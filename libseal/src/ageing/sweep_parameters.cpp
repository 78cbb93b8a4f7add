#include "ageing/sweep_parameters.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace detail {
namespace {

constexpr double highest_energy = 300, highest_exponent = 5;

SweepEntry exponent(SweepRole role, const char* name, std::string id, double factor = 1) {
    return {role, name, std::move(id), "-", factor, highest_exponent};
}
SweepEntry energy(SweepRole role, const char* name, std::string id, double factor = 1) {
    return {role, name, std::move(id), "kJ/mol", factor, highest_energy};
}
SweepEntry share(SweepRole role, const char* name, std::string id) { return {role, name, std::move(id), "-", 1, 1}; }

/// Entries of a clock of three terms, whose ids begin alike.
std::vector<SweepEntry> three_terms(const std::string& begin) {
    return {exponent(SweepRole::light_exponent, "light_exponent", begin + "light_exponent"),
            energy(SweepRole::energy_light, "energy_light", begin + "energy_light"),
            energy(SweepRole::energy_heat, "energy_heat", begin + "energy_heat"),
            energy(SweepRole::energy_moisture, "energy_moisture", begin + "energy_moisture"),
            exponent(SweepRole::humidity_exponent, "humidity_exponent", begin + "humidity_exponent"),
            share(SweepRole::weight_light, "weight_light", begin + "weight_light"),
            share(SweepRole::weight_moisture, "weight_moisture", begin + "weight_moisture"),
            share(SweepRole::weight_heat, "weight_heat", begin + "weight_heat")};
}

std::vector<SweepEntry> entries_of_law(const Catalogue& catalogue, const std::string& family, Law law) {
    const std::string own = "sealant/" + family + "/";
    switch (law) {
        case Law::surface: return three_terms(own);
        case Law::appearance: return three_terms("model/appearance_");
        case Law::set:
        case Law::set_time:
        case Law::shrinkage:
        case Law::shrink_time: {
            const std::string id = own + (law == Law::set || law == Law::set_time ? "set_energy" : "shrink_energy");
            if (!catalogue.has(id)) return three_terms(own);  // as family_under_law has it
            return {energy(SweepRole::energy_heat, "energy_heat", id)};
        }
        case Law::bond:
            return {energy(SweepRole::energy_moisture, "energy_moisture", "bond_law/default/energy", 2),
                    exponent(SweepRole::humidity_exponent, "humidity_exponent", "bond_law/default/humidity_exponent", 2)};
        case Law::flow: break;
    }
    return {};
}

[[noreturn]] void unknown_parameter(const std::string& place, const std::string& name, const std::vector<SweepEntry>& entries) {
    std::vector<std::string> names;
    std::string list;
    for (const SweepEntry& entry : entries) {
        names.push_back(entry.name);
        list += (list.empty() ? "" : ", ") + entry.name;
    }
    const std::string near = nearest_name(name, names);
    throw_value_error(place, "a parameter of the law: " + list, "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

void check_range(const std::string& place, const SweepRange& range, const SweepEntry& entry) {
    const bool within = range.low >= 0 && range.low < range.high && range.high <= entry.highest;
    if (within) return;
    const bool reversed = range.low > range.high;
    throw_value_error(place + "." + range.parameter, "0 <= low < high <= " + number_text(entry.highest) + " " + entry.unit,
                      number_text(range.low) + " to " + number_text(range.high), reversed ? "give the lower end first" : "");
}

}  // namespace

std::vector<SweepEntry> sweep_entries(const Catalogue& catalogue, const std::string& family, Law law) {
    family_under_law(catalogue, family, law);  // says if there is none
    std::vector<SweepEntry> entries = entries_of_law(catalogue, family, law);
    entries.push_back(share(SweepRole::absorptance, "absorptance", ""));
    entries.push_back(share(SweepRole::emittance, "emittance", ""));
    return entries;
}

std::vector<SweptRange> checked_ranges(const std::vector<SweepRange>& ranges, const RateSweepOptions& options) {
    const std::vector<SweepEntry> entries = sweep_entries(options.catalogue, options.family, options.law);
    if (ranges.empty()) throw_value_error("ranges", "at least one", "none", "sweep_ranges gives those of the catalogue");
    std::vector<SweptRange> checked;
    int weights = 0;
    for (std::size_t i = 0; i < ranges.size(); ++i) {
        const SweepRange& range = ranges[i];
        const std::string place = "ranges[" + std::to_string(i) + "]";
        const auto entry = std::find_if(entries.begin(), entries.end(), [&](const SweepEntry& e) { return e.name == range.parameter; });
        if (entry == entries.end()) unknown_parameter(place + ".parameter", range.parameter, entries);
        for (const SweptRange& other : checked)
            if (other.entry.role == entry->role) throw_value_error(place + ".parameter", "each parameter once", "\"" + range.parameter + "\" again");
        check_range(place, range, *entry);
        weights += is_weight(entry->role) ? 1 : 0;
        const double value = !entry->id.empty()                        ? options.catalogue.number(entry->id)
                             : entry->role == SweepRole::absorptance ? options.absorptance
                                                                       : options.emittance;
        checked.push_back({*entry, {entry->name, entry->id, entry->unit, range.low, std::clamp(value, range.low, range.high), range.high, 0}});
    }
    if (weights > 2) throw_value_error("ranges", "two weights at most: the third is what they leave of 1", "three");
    return checked;
}

}  // namespace detail

std::vector<SweepRange> sweep_ranges(const std::string& family, Law law, const std::string& finish, const Catalogue& catalogue) {
    using detail::SweepRole;
    const Sealant under = family_under_law(catalogue, family, law);
    const auto weight_of = [&](SweepRole role) {
        if (role == SweepRole::light_exponent || role == SweepRole::energy_light || role == SweepRole::weight_light) return under.weight_light;
        if (role == SweepRole::energy_heat) return under.weight_heat;
        if (role == SweepRole::weight_heat) return 0.0;  // the rest of the other two
        return under.weight_moisture;
    };
    std::vector<SweepRange> ranges;
    for (const detail::SweepEntry& entry : detail::sweep_entries(catalogue, family, law)) {
        if (detail::is_finish(entry.role) ? finish.empty() : !(weight_of(entry.role) > 0)) continue;
        const SourcedValue& value = catalogue.at(entry.id.empty() ? "finish/" + finish + "/" + entry.name : entry.id);
        if (value.low < value.high) ranges.push_back({entry.name, value.low, value.high});
    }
    return ranges;
}

}  // namespace libseal
