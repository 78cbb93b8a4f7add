#include "ageing/law_clock.hpp"

#include "libseal/ageing/bond_laws.hpp"
#include "libseal/ageing/rates.hpp"
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

detail::RateTerm flow_term(const WlfLaw& law) {
    wlf_shift(law, law.reference);  // says if the law cannot be
    return {detail::RateTerm::Kind::flow, 0, 0, {law.c1, law.c2, law.reference, lowest_flow}};
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

HomeSurfaces::HomeSurfaces(const ClockReference& reference)
    : absorptance_(reference.absorptance),
      emittance_(reference.emittance),
      site_(reference.weather, HourPlaces(reference.weather).month) {}

ClockTerms HomeSurfaces::means_on(const Plane& plane, const RateTerms& terms, Depth depth) {
    const std::pair<double, double> key{plane.tilt, plane.azimuth};
    auto found = surfaces_.find(key);
    if (found == surfaces_.end()) {
        const auto half = [&](const SiteSlots& site, std::shared_ptr<PlaneLight> light) {
            return SurfaceSlots(site, std::move(light), plane, absorptance_, emittance_, CoverFactors{});
        };
        Surface made{half(site_.day, std::make_shared<PlaneLight>(site_.day, plane)), half(site_.night, nullptr)};
        found = surfaces_.emplace(key, std::move(made)).first;
    }
    Surface& surface = found->second;
    ClockYear year;
    year.month = month_means(half_sums(surface.day.at(depth), terms), half_sums(surface.night.at(depth), terms));
    return year_mean(year);
}

ClockTerms HomeSurfaces::means(const std::string& home, const RateTerms& terms, Depth depth) {
    const std::lock_guard held(lock_);
    if (home == "roof") return means_on({0, 180}, terms, depth);
    ClockTerms mean;
    for (const double azimuth : {0.0, 90.0, 180.0, 270.0}) mean = mean + 0.25 * means_on({90, azimuth}, terms, depth);
    return mean;
}

Law law_of_family(const Catalogue& catalogue, const std::string& family, Law law) {
    const bool absent = (law == Law::set || law == Law::shrinkage) && !catalogue.has(energy_of(family, law));
    return absent ? Law::surface : law;
}

ClockTerms law_reference(const Catalogue& catalogue, const std::string& stands_on, Law law, const RateTerms& terms, HomeSurfaces& home) {
    // Real equivalent time: the reference is a temperature and a humidity, not a place.
    const auto at = [&](double temperature, double humidity) {
        const ClockTerms rates = rates_at(terms, temperature, humidity);
        return ClockTerms{1, rates.heat, rates.moisture};
    };
    switch (law) {
        case Law::set_time:
        case Law::shrink_time:
        case Law::flow: return at(stated_temperature, 50);
        case Law::bond: {
            const BondLaw bond = bond_law(catalogue);
            return at(bond.reference_temperature, bond.reference_humidity);
        }
        case Law::surface:
        case Law::set:
        case Law::shrinkage:
        case Law::appearance: break;
    }
    // A gasket is stated at flange temperature; bedding is stated on the exposed plane.
    return home.means(stands_on, terms, law == Law::set ? Depth::sheltered : Depth::exposed);
}

LawClock law_clock(const Catalogue& catalogue, const std::string& name, Law law, HomeSurfaces& home) {
    const Sealant family = family_under_law(catalogue, name, law);
    LawClock clock{family, {}, rate_terms(family, true)};
    if (law == Law::flow) clock.terms.heat = flow_term(wlf_law(catalogue));
    clock.reference = law_reference(catalogue, family.home, law_of_family(catalogue, name, law), clock.terms, home);
    return clock;
}

}  // namespace detail
}  // namespace libseal
