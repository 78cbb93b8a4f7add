// The orderings and ranges that the values of a catalogue must meet together.

#include <algorithm>
#include <cmath>
#include <limits>

#include "forecast/calibration_parts.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/profile_laws.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/climate/ultraviolet.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double much_light = 0.6;  // light weight of most building joints [-]
const char* const light_leads =
    "a light weight of 0.6 or more, as for building joints: light makes more of the difference than in the coach "
    "values, which were chosen with less for that reason";
const char* const consistency = "judgement of this project: what the values must give together";

std::string name_of(const CalibrationLayer& layer) { return layer.family + " " + layer.layer; }

/// Rows for all checks of one table.
class Checks {
public:
    Checks(const CalibrationClocks& clocks, const CalibrationLives& lives) : clocks_(clocks), lives_(lives) {}

    CalibrationChecks run() {
        place_orders();
        roof_to_south_wall();
        cover_lengthens();
        dark_shortens();
        corners_first();
        silicone_longest();
        medians();
        first_ageing();
        add_survey_checks(rows_);
        return rows_.take();
    }

private:
    const Catalogue& catalogue() const { return clocks_.catalogue(); }
    int place_count() const { return static_cast<int>(clocks_.places().size()); }
    const std::string& place_name(int place) const { return clocks_.places()[static_cast<std::size_t>(place)]; }
    bool exposed(const CalibrationLayer& layer) const {
        return law_of_layer(layer.layer) == Law::surface && depth_of_layer(layer.layer) == Depth::exposed;
    }
    double median(const CalibrationLayer& layer, int place, const std::string& surface) const {
        return lives_.median[lives_.row(layer.family, layer.layer, place_name(place), surface)];
    }
    void add_above_one(const std::string& rule, const std::string& subject, double value, const std::string& reason = "") {
        rows_.add(rule, subject, value, 1, infinite, "-", consistency, reason);
    }
    std::string if_light_leads(const CalibrationLayer& layer) const {
        return sealant(catalogue(), layer.family).weight_light >= much_light ? light_leads : "";
    }

    /// Desert before subtropics before Great Lakes before the coastal north-west.
    /// @param rate  (place, surface) -> years of a clock in a calendar year.
    template <class Rate>
    void place_order(const std::string& what, const Rate& rate) {
        const auto& usual = calibration_places();
        const std::vector<std::string> order = {usual[1], usual[2], usual[0], usual[4]};
        for (const char* surface : {"roof_light", "south_wall"})
            for (std::size_t i = 0; i + 1 < order.size(); ++i) {
                const int fast = clocks_.place(order[i]), slow = clocks_.place(order[i + 1]);
                if (fast < 0 || slow < 0) continue;
                add_above_one("place_order", what + ", " + surface + ", " + order[i] + " against " + order[i + 1],
                              rate(fast, surface) / rate(slow, surface));
            }
    }

    void place_orders() {
        for (const auto& layer : calibration_layers())
            if (exposed(layer))
                place_order(name_of(layer), [&](int place, const char* surface) { return clocks_.rate(place, surface, layer); });
        place_order("first visible ageing", [&](int place, const char* surface) {
            return clocks_.appearance_rate(place, surface, "self_levelling_lap");
        });
    }

    void roof_to_south_wall() {
        for (int place = 0; place < place_count(); ++place) {
            const Weather& weather = clocks_.weather(place);
            const double dose = ultraviolet(weather, 0, 180).sum() / ultraviolet(weather, 90, 180).sum();
            rows_.add(catalogue(), "ultraviolet_roof_to_south_wall", place_name(place), dose,
                      "calibration/ultraviolet_roof_to_south_wall");
        }
        for (const auto& layer : calibration_layers()) {
            if (!exposed(layer)) continue;
            for (int place = 0; place < place_count(); ++place)
                rows_.add(catalogue(), "clock_roof_to_south_wall", name_of(layer) + ", " + place_name(place),
                          clocks_.rate(place, "roof_light", layer) / clocks_.rate(place, "south_wall", layer),
                          "calibration/clock_roof_to_south_wall", if_light_leads(layer));
        }
    }

    /// On the surface where the family is at home; light-driven ones must not gain beyond belief either.
    void cover_lengthens() {
        const SourcedValue& wanted = catalogue().at("calibration/covered_to_open_life");
        for (const auto& layer : calibration_layers())
            for (int place = 0; place < place_count(); ++place) {
                const double gain =
                    clocks_.rate(place, clocks_.home(layer.family), layer) / clocks_.rate(place, "covered", layer);
                rows_.add("cover_lengthens", name_of(layer) + ", " + place_name(place), gain, wanted.low,
                          clocks_.light_driven(layer) ? wanted.high : infinite, "-", wanted.source, if_light_leads(layer));
            }
    }

    void dark_shortens() {
        for (const auto& layer : calibration_layers())
            for (int place = 0; place < place_count(); ++place)
                add_above_one("dark_finish_shortens", name_of(layer) + ", roof, " + place_name(place),
                              clocks_.rate(place, "roof_dark", layer) / clocks_.rate(place, "roof_light", layer));
    }

    /// Against the best of the other beads in the same place on the same surface.
    void silicone_longest() {
        for (int place = 0; place < place_count(); ++place)
            for (const char* surface : calibration_surfaces) {
                double best = 0;
                for (const auto& layer : calibration_layers())
                    if (layer.bead() && !layer.family.ends_with("silicone")) best = std::max(best, median(layer, place, surface));
                const CalibrationLayer silicone{"neutral_cure_silicone", "cap_bead"};
                add_above_one("silicone_lasts_longest", place_name(place) + ", " + surface,
                              median(silicone, place, surface) / best,
                              std::string(surface) == "roof_dark" && clocks_.warm(place) ? dark_and_hot : "");
            }
    }

    void medians() {
        for (const auto& layer : calibration_layers()) {
            const std::string home = clocks_.home(layer.family);
            rows_.add(catalogue(), "median_in_trade_range", name_of(layer) + ", " + home + ", reference",
                      sealant(catalogue(), layer.family).median_life / clocks_.rate(-1, home, layer),
                      "calibration/trade_life/" + layer.family);
        }
        for (const auto& layer : calibration_layers())
            if (const Law law = law_of_layer(layer.layer); law != Law::surface)
                rows_.add(catalogue(), "law_gives_the_life", name_of(layer) + ", " + clocks_.home(layer.family) + ", reference",
                          life_by_law(layer, law), "calibration/trade_life/" + layer.family);
    }

    /// Years until compression set or shrinkage reaches its limit at the reference.
    double life_by_law(const CalibrationLayer& layer, Law law) const {
        const auto number = [&](const char* field) { return catalogue().number("sealant/" + layer.family + "/" + field); };
        const double at_25 = law == Law::set ? set_time(set_law(catalogue(), layer.family), number("set_limit"))
                                             : shrink_time(shrink_law(catalogue(), layer.family), number("shrink_limit"));
        const Sealant family = family_under_law(catalogue(), layer.family, law);
        const ClockTerms mean = reference_terms(clock_reference(catalogue()), family, depth_of_layer(layer.layer));
        // The clock counts from 23 degC.
        return at_25 * acceleration(family.energy_heat, 23, 25) / mean.heat;
    }

    void first_ageing() {
        for (const auto& layer : calibration_layers()) {
            const double life = sealant(catalogue(), layer.family).appearance_life;
            if (!layer.bead() || layer.family.ends_with("silicone") || std::isnan(life)) continue;
            const std::string home = clocks_.home(layer.family);
            for (const std::string& surface : {home, std::string("south_wall")}) {
                if (surface == "south_wall" && home == "roof_light") continue;  // self-levelling beads lie flat
                rows_.add(catalogue(), "first_visible_ageing", name_of(layer) + ", " + surface + ", reference",
                          life / clocks_.appearance_rate(-1, surface, layer.family), "calibration/first_visible_ageing");
            }
        }
    }

    /// A dome or a cap moves in two directions at its corner.
    void corners_first() {
        for (const std::string type : calibration_corners) {
            const MovementLaw law = movement_law(catalogue(), joint_type(catalogue(), type).cap);
            const double usual = clocks_.strain_amplitude(-1, type, Corner::side);
            for (int place = 0; place < place_count(); ++place) {
                const double side = clocks_.strain_amplitude(place, type, Corner::side);
                const double corner = clocks_.strain_amplitude(place, type, Corner::corner);
                add_above_one("corner_goes_first", type + ", strain at the corner against the side, " + place_name(place),
                              corner / side);
                add_above_one("corner_goes_first", type + ", ageing at the corner against the side, " + place_name(place),
                              movement_factor(law, corner, usual) / movement_factor(law, side, usual));
            }
        }
    }

    const CalibrationClocks& clocks_;
    const CalibrationLives& lives_;
    CheckRows rows_;
};

Column column_of(const std::vector<double>& values) {
    return Eigen::Map<const Column>(values.data(), static_cast<Eigen::Index>(values.size()));
}

}  // namespace

void CheckRows::add(const Catalogue& catalogue, const std::string& rule, const std::string& subject, double value,
                    const std::string& entry, const std::string& reason) {
    const SourcedValue& wanted = catalogue.at(entry);
    add(rule, subject, value, wanted.low, wanted.high, wanted.unit, wanted.source, reason);
}

void CheckRows::add(const std::string& rule, const std::string& subject, double value, double low, double high,
                    const std::string& unit, const std::string& source, const std::string& reason) {
    rows_.rule.push_back(rule);
    rows_.subject.push_back(subject);
    rows_.unit.push_back(unit);
    rows_.source.push_back(source);
    std::string verdict = inside;
    if (!(std::isinf(high) ? value > low : value >= low && value <= high)) {
        verdict = known_miss(rule, subject);
        if (verdict.empty()) verdict = reason;
        if (verdict.empty()) verdict = std::string(not_explained) + "outside the wanted range";
    }
    rows_.verdict.push_back(verdict);
    value_.push_back(value);
    low_.push_back(low);
    high_.push_back(high);
}

CalibrationChecks CheckRows::take() {
    rows_.value = column_of(value_);
    rows_.low = column_of(low_);
    rows_.high = column_of(high_);
    return std::move(rows_);
}

CalibrationChecks calibration_checks(const CalibrationClocks& clocks, const CalibrationLives& lives) {
    return Checks(clocks, lives).run();
}

}  // namespace libseal::detail
