#pragma once
// Fleets that age by the model itself, inspected every year and resealed: synthetic, for self-consistency alone.

#include <cmath>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "forecast/basis.hpp"
#include "libseal/core/random.hpp"
#include "tuning/tuning_fleet.hpp"

namespace libseal::tuning_tests {

/// The built-in catalogue without workmanship defects (another process) and with one noise for all looks.
inline Catalogue plain_catalogue() {
    return Catalogue::built_in().with_overlay(R"({"schema":"libseal/catalogue/1","values":{
        "model/early_defects_per_m":{"value":0,"unit":"1/m","low":0,"high":0.04,"source":"synthetic","mark":"judgement"},
        "model/look_sd_measured":{"value":0.5,"source":"synthetic","mark":"judgement"}}})", "test");
}

struct History {
    Fleet fleet;
    std::vector<Finding> findings;
    std::vector<WorkDone> work;
};

/// Ten years of yearly inspections of vents (self_levelling_lap) and windows (non_sag_lap) in three climates. Every second coach is some
/// years old and new to the shop in the last year: without a history.
class FleetHistory {
public:
    FleetHistory(int coaches, int lines, std::uint64_t seed) : catalogue_(plain_catalogue()), random_(41, seed), lines_(lines) {
        const std::vector<std::string> stations = {"725350", "722780", "727930"};
        for (int c = 0; c < coaches; ++c) {
            const Date fitted = make_date((is_new(c) ? 2020 : 2013) + c % (is_new(c) ? 3 : 5), 1 + c % 12, 15);
            history_.fleet.coaches.push_back(small_coach("c" + std::to_string(100 + c), "line " + std::to_string(c / 2 % lines_), stations[static_cast<std::size_t>(c) % 3],
                                                         fitted, fitted, 2, 2));
            // Beads without bedding, so that all that was seen speaks of beads.
            for (Joint& joint : history_.fleet.coaches.back().joints) std::erase_if(joint.layers, [](const Layer& layer) { return layer.kind == "bedding"; });
        }
    }

    /// @param life_factor  True lives over those of the catalogue, by family.
    History run(const std::map<std::string, double>& life_factor) {
        ForecastOptions options;
        options.catalogue = catalogue_;
        options.shared = std::make_shared<const SharedEffects>();
        const detail::ForecastBasis basis(history_.fleet, last_day(), options);
        for (std::size_t c = 0; c < history_.fleet.coaches.size(); ++c) inspect(basis, c, life_factor);
        return history_;
    }

    static Date last_day() { return make_date(2026, 1, 1); }
    const Catalogue& catalogue() const { return catalogue_; }
    RandomStream& random() { return random_; }

private:
    static bool is_new(int coach) { return coach % 2 == 1; }

    double effect(const std::string& name, double sd) {
        const auto [place, fresh] = effects_.try_emplace(name, 0.0);
        if (fresh) place->second = sd * random_.normal();
        return place->second;
    }

    double new_life(const detail::LifeModel& model, const std::string& family, double factor, double s) {
        const double scale = factor * sealant(catalogue_, family).median_life / std::exp(model.prior.median_log);
        return scale * std::pow(-std::log(random_.uniform()), 1 / model.spread.shape) * std::exp(-s);
    }

    int report(const GradeScale& scale, double worn_share) {
        if (random_.uniform() < scale.stray) return static_cast<int>(random_.below(6));
        double grade = grade_of_worn_share(scale, worn_share);
        if (grade > 2.5 && random_.uniform() > scale.detection) grade = 2.0;
        return std::clamp(static_cast<int>(std::lround(grade + scale.look_noise * random_.normal())), 0, 5);
    }

    void inspect(const detail::ForecastBasis& basis, std::size_t c, const std::map<std::string, double>& life_factor) {
        const Coach& coach = history_.fleet.coaches[c];
        detail::CoachTracks tracks(basis.clocks, c, last_day());
        for (std::size_t r = basis.clocks.first_layer[c]; r < basis.clocks.first_layer[c + 1]; ++r) {
            const detail::LayerRow& row = basis.clocks.layers[r];
            const Joint& joint = coach.joints[row.joint];
            const Layer& layer = joint.layers[row.layer];
            if (layer.kind != "cap_bead") continue;
            const EffectSpread& sd = basis.model.effects;
            const double s = effect(layer.family + coach.model_line, sd.model_line) + effect(layer.family + coach.id, sd.coach) + sd.joint * random_.normal();
            const double factor = life_factor.at(layer.family);
            const AgeTrack& track = tracks.track(row.keys, basis.clocks.movement_factors(row));
            double life = new_life(basis.model, layer.family, factor, s);
            Date fitted = layer.installed_from;
            for (int year = 2016; year <= 2025; ++year) {
                const Date day = make_date(year, 4 + static_cast<int>(c % 6), 10);
                if (day <= fitted || (year < 2025 && is_new(static_cast<int>(c)))) continue;
                const int grade = report(basis.model.scale, track.age_between(fitted, day) / life);
                history_.findings.push_back(finding_of_grade(coach, joint, day, grade <= 1 ? 0 : grade, catalogue_));
                if (grade < 3 || random_.uniform() < 0.3) continue;  // some wait a year
                history_.work.push_back(resealed(coach, joint, day + 30));
                fitted = day + 30;
                life = new_life(basis.model, layer.family, factor, s);
            }
        }
    }

    Catalogue catalogue_;
    RandomStream random_;
    int lines_;
    History history_;
    std::map<std::string, double> effects_;
};

}  // namespace libseal::tuning_tests
