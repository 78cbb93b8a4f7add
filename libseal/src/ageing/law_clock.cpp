#include "ageing/law_clock.hpp"

#include <cmath>

#include "libseal/ageing/bond_laws.hpp"
#include "libseal/core/error.hpp"

namespace libseal {
namespace {

constexpr double stated_temperature = 25;  // of the laws of set, shrinkage and flow [degC]
constexpr double lowest_flow = -50;        // the WLF law holds from here; below hardly anything flows [degC]

/// The family with nothing but its heat term.
Sealant heat_alone(Sealant family, double energy) {
    family.weight_light = family.weight_moisture = 0;
    family.weight_heat = 1;
    family.energy_heat = energy;
    return family;
}

Sealant moisture_alone(Sealant family, double energy, double humidity_exponent) {
    family.weight_light = family.weight_heat = 0;
    family.weight_moisture = 1;
    family.energy_moisture = energy;
    family.humidity_exponent = humidity_exponent;
    return family;
}

Sealant as_it_looks(Sealant family, const Catalogue& catalogue) {
    const auto value = [&](const char* name) { return catalogue.number(std::string("model/appearance_") + name); };
    family.weight_light = value("weight_light");
    family.weight_heat = value("weight_heat");
    family.weight_moisture = value("weight_moisture");
    family.energy_light = value("energy_light");
    family.energy_heat = value("energy_heat");
    family.energy_moisture = value("energy_moisture");
    family.light_exponent = value("light_exponent");
    family.humidity_exponent = value("humidity_exponent");
    return family;
}

std::string energy_of(const std::string& family, Law law) {
    const bool set = law == Law::set || law == Law::set_time;
    return "sealant/" + family + (set ? "/set_energy" : "/shrink_energy");
}

}  // namespace

Law law_of_layer(const std::string& layer) {
    if (layer == "gasket") return Law::set;
    if (layer == "insert") return Law::shrinkage;
    return Law::surface;
}

Depth depth_of_layer(const std::string& layer) {
    return layer == "bedding" || layer == "gasket" ? Depth::sheltered : Depth::exposed;
}

Sealant family_under_law(const Catalogue& catalogue, const std::string& family, Law law) {
    const Sealant itself = sealant(catalogue, family);
    switch (law) {
        case Law::surface: return itself;
        case Law::set:
        case Law::shrinkage: {
            // No law of its own: it ages as it would at its surface.
            const std::string energy = energy_of(family, law);
            return catalogue.has(energy) ? heat_alone(itself, catalogue.number(energy)) : itself;
        }
        case Law::set_time:
        case Law::shrink_time: {
            const std::string energy = energy_of(family, law);
            if (!catalogue.has(energy))
                throw_value_error("family", law == Law::set_time ? "a family that takes a set" : "a family that shrinks",
                                  "\"" + family + "\"", "the catalogue has no " + energy);
            return heat_alone(itself, catalogue.number(energy));
        }
        case Law::bond: {
            const BondLaw bond = bond_law(catalogue);
            return moisture_alone(itself, 2 * bond.energy, 2 * bond.humidity_exponent);
        }
        case Law::flow: return heat_alone(itself, 0);
        case Law::appearance: return as_it_looks(itself, catalogue);
    }
    throw_value_error("law", "a law of wear", std::to_string(static_cast<int>(law)));
}

namespace detail {

RateHours LawClock::rates(const RateInputs& inputs) const {
    RateHours rates = rate_hours(inputs, family, true);
    if (!wlf) return rates;
    for (Eigen::Index i = 0; i < inputs.temperature.size(); ++i)
        if (std::isfinite(inputs.temperature[i])) rates.heat[i] = 1 / wlf_shift(*wlf, std::max(inputs.temperature[i], lowest_flow));
    return rates;
}

LawClock law_clock(const Catalogue& catalogue, const std::string& name, Law law, const ClockReference& home) {
    LawClock clock{family_under_law(catalogue, name, law), {}, {}};
    // Real equivalent time: the reference is a temperature and a humidity, not a place.
    const auto at = [&](double temperature, double humidity) {
        SurfaceHours hours;
        hours.ultraviolet = Column::Zero(1);
        hours.surface_temperature = hours.air_temperature = Column::Constant(1, temperature);
        hours.surface_humidity = hours.air_humidity = Column::Constant(1, humidity);
        const RateHours rates = clock.rates(RateInputs(hours, Depth::exposed));
        return ClockTerms{1, rates.heat[0], rates.moisture[0]};
    };
    switch (law) {
        case Law::set_time:
        case Law::shrink_time: clock.reference = at(stated_temperature, 50); break;
        case Law::bond: {
            const BondLaw bond = bond_law(catalogue);
            clock.reference = at(bond.reference_temperature, bond.reference_humidity);
            break;
        }
        case Law::flow:
            clock.wlf = wlf_law(catalogue);
            clock.reference = at(stated_temperature, 50);
            break;
        case Law::surface:
        case Law::set:
        case Law::shrinkage:
        case Law::appearance:
            // A gasket is stated at flange temperature; bedding is stated on the exposed plane.
            clock.reference = reference_terms(home, clock.family, law == Law::set ? Depth::sheltered : Depth::exposed);
    }
    return clock;
}

}  // namespace detail
}  // namespace libseal
