#include "libseal/catalogue/sealant.hpp"

#include <limits>

#include "catalogue/names.hpp"
#include "catalogue/tables.hpp"

namespace libseal {
namespace {

Sealant read_sealant(const Catalogue& catalogue, const std::string& name) {
    detail::require_name(catalogue, "sealant", name, "family");
    const std::string base = "sealant/" + name + "/";
    const auto number = [&](const char* field) { return catalogue.number(base + field); };
    Sealant s;
    s.name = name;
    s.weight_light = number("weight_light");
    s.weight_heat = number("weight_heat");
    s.weight_moisture = number("weight_moisture");
    s.energy_light = number("energy_light");
    s.energy_heat = number("energy_heat");
    s.energy_moisture = number("energy_moisture");
    s.light_exponent = number("light_exponent");
    s.humidity_exponent = number("humidity_exponent");
    s.home = catalogue.word(base + "home");
    s.median_life = number("median_life");
    s.appearance_life = catalogue.has(base + "appearance_life") ? number("appearance_life")
                                                                : std::numeric_limits<double>::quiet_NaN();
    s.cure_rate = number("cure_rate");
    s.skin_hours = number("skin_hours");
    s.first_water_hours = number("first_water_hours");
    s.lowest_temperature = number("lowest_temperature");
    s.highest_temperature = number("highest_temperature");
    s.cured_share = number("cured_share");
    s.package_ml = number("package_ml");
    s.movement_capability = number("movement_capability");
    s.levels_itself = catalogue.word(base + "levels_itself") == "yes";
    return s;
}

struct Sealants {
    explicit Sealants(const Catalogue& catalogue)
        : by_name(detail::read_by_name(catalogue.names("sealant"), [&](const std::string& name) { return read_sealant(catalogue, name); })) {
        for (auto& name : catalogue.names("sealant"))
            if (catalogue.word("sealant/" + name + "/old_only") != "yes") applicable.push_back(std::move(name));
    }
    detail::ByName<Sealant> by_name;
    std::vector<std::string> applicable;
};

}  // namespace

const Sealant& sealant(const Catalogue& catalogue, std::string_view name) {
    return detail::value_of(catalogue.derived<Sealants>().by_name, name, [&] { read_sealant(catalogue, std::string(name)); });
}

std::vector<std::string> sealant_names(const Catalogue& catalogue) { return catalogue.derived<Sealants>().applicable; }

LifeSpread life_spread(const Catalogue& catalogue) {
    return {catalogue.number("model/shape"), catalogue.number("model/log_sd"),
            catalogue.number("model/early_defects_per_m"), catalogue.number("model/early_time")};
}

}  // namespace libseal
