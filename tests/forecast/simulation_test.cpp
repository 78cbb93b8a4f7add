// Simulation-based calibration: fleets drawn from the model's own prior, inspected with noise, forecast.
// Synthetic throughout. Method: Talts, Betancourt, Simpson, Vehtari & Gelman 2018 (ranks of prior draws are uniform).
#include "support/catch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "forecast/basis.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/random.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {

const Date as_of = make_date(2025, 1, 1);
constexpr int fleets = 420;
constexpr int rounds = 3;

/// Two model lines of two coaches, a few joints each: a vent, two windows, a moulding with insert, a bulb seal.
Fleet small_fleet() {
    Fleet fleet;
    for (int c = 0; c < 4; ++c) {
        LayoutOptions options;
        options.id = "t" + std::to_string(c);
        options.model_line = c < 2 ? "line a" : "line b";
        options.installed_from = make_date(2019 + c % 2, 4, 1);
        options.installed_to = c == 3 ? add_months(options.installed_from, 9) : options.installed_from;
        Coach coach = travel_trailer(8.0, options);
        std::map<std::string, int> left = {{"roof_vent_flange", 1}, {"window_frame", 2}, {"corner_moulding", 1}, {"slide_bulb_seal", 1}};
        std::vector<Joint> kept;
        for (const auto& joint : coach.joints)
            if (left.count(joint.type) && left[joint.type]-- > 0) kept.push_back(joint);
        coach.joints = kept;
        coach.stays = {libseal_test::stay_since(make_date(2015, 1, 1))};
        fleet.coaches.push_back(coach);
    }
    return fleet;
}

/// Workmanship defects are another process: left out here.
Catalogue without_defects() {
    return Catalogue::built_in().with_overlay(R"({"schema":"libseal/catalogue/1","values":{"model/early_defects_per_m":
        {"value":0,"unit":"1/m","low":0,"high":0.04,"source":"synthetic","mark":"judgement"}}})", "test");
}

/// What is true in one drawn fleet.
struct Truth {
    std::vector<double> life;   ///< per row [effective yr]
    std::vector<Date> due;      ///< per row
    std::vector<Date> fitted;   ///< per row
    std::vector<Date> cap_failed;  ///< per row, of beddings
};

/// The sampler: the model's assumptions, written down apart from its inference.
class Sampler {
public:
    Sampler(const FleetClocks& clocks, const LifeModel& model, std::uint64_t seed) : clocks_(clocks), model_(model), random_(9, seed) {}

    Truth truth() {
        Truth truth;
        const std::size_t rows = clocks_.layers.size();
        truth.life.resize(rows);
        truth.due.resize(rows);
        truth.fitted.resize(rows);
        truth.cap_failed.resize(rows);
        std::map<std::size_t, Date> fitted;  // one building date per coach
        std::map<std::pair<std::size_t, std::size_t>, double> effect;
        for (std::size_t r = 0; r < rows; ++r) {
            const LayerRow& row = clocks_.layers[r];
            const Coach& coach = clocks_.fleet.coaches[row.coach];
            const Joint& joint = coach.joints[row.joint];
            const Layer& layer = joint.layers[row.layer];
            const int span = layer.installed_to - layer.installed_from;
            if (!fitted.count(row.coach)) fitted[row.coach] = layer.installed_from + (span > 0 ? static_cast<int>(random_.below(static_cast<std::uint64_t>(span))) : 0);
            truth.fitted[r] = fitted[row.coach];
            if (!effect.count({row.coach, row.joint})) effect[{row.coach, row.joint}] = joint_effect(coach, joint);
            const double scale = sealant(catalogue_, layer.family).median_life / std::exp(model_.prior.median_log);
            truth.life[r] = scale * std::pow(-std::log(random_.uniform()), 1 / model_.spread.shape) *
                            std::exp(-effect[{row.coach, row.joint}]);
        }
        for (std::size_t r = 0; r < rows; ++r) truth.due[r] = due_day(r, truth);
        return truth;
    }

    /// Age of a row on a day, as it truly is.
    double age(std::size_t r, const Truth& truth, Date day) {
        const LayerRow& row = clocks_.layers[r];
        const AgeTrack& track = track_of(row.coach, row.keys, clocks_.movement_factors(row));
        const Date from = truth.fitted[r];
        const std::size_t cap = cap_of(r);
        if (cap == r) return track.age_between(from, day);
        const Date change = std::clamp(truth.cap_failed[r], from, std::max(from, day));
        const AgeTrack& exposed = track_of(row.coach, row.exposed_keys);
        return track.age_between(from, change) + exposed.age_between(change, day);
    }

    /// Grade reported by a look: errs, overlooks, or says nothing.
    int report(double worn_share) {
        const GradeScale& scale = model_.scale;
        if (random_.uniform() < scale.stray) return static_cast<int>(random_.below(6));
        double grade = grade_of_worn_share(scale, worn_share);
        if (grade > 2.5 && random_.uniform() > scale.detection) grade = 2.0;
        return std::clamp(static_cast<int>(std::lround(grade + scale.look_noise * random_.normal())), 0, 5);
    }

    double moisture(bool open) {
        const MoistureModel& m = model_.moisture;
        if (open || random_.uniform() < m.elsewhere) return m.open_mean + m.open_sd * random_.normal();
        return m.closed_sd * random_.normal();
    }

    /// A rust run, looked for: there or not.
    WaterLook rust_run(Date day, bool open) {
        const double if_open = catalogue_.number("meaning/water/rust_run/seen_if_open"),
                     if_closed = catalogue_.number("meaning/water/rust_run/seen_if_closed");
        const bool there = random_.uniform() < (open ? if_open : if_closed);
        return {day, there ? if_open : 1 - if_open, there ? if_closed : 1 - if_closed};
    }

    double uniform() { return random_.uniform(); }

private:
    double joint_effect(const Coach& coach, const Joint& joint) {
        const std::string family = outermost_layer(joint)->family;
        const auto draw = [&](const std::string& name, double sd) {
            const auto [place, fresh] = effects_.try_emplace(name, 0.0);
            if (fresh) place->second = sd * random_.normal();
            return place->second;
        };
        return draw(family, model_.effects.family) + draw(family + coach.model_line, model_.effects.model_line) +
               draw(family + coach.model_line + coach.id, model_.effects.coach) + model_.effects.joint * random_.normal();
    }

    std::size_t cap_of(std::size_t r) const {
        const LayerRow& row = clocks_.layers[r];
        const Joint& joint = clocks_.fleet.coaches[row.coach].joints[row.joint];
        if (joint.layers[row.layer].kind != "bedding") return r;
        for (std::size_t l = 0; l < joint.layers.size(); ++l)
            if (joint.layers[l].kind == "cap_bead") return r - row.layer + l;
        return r;
    }

    Date due_day(std::size_t r, Truth& truth) {
        const std::size_t cap = cap_of(r);
        if (cap != r) truth.cap_failed[r] = first_day(cap, truth, model_.cap_failed * truth.life[cap]);
        return first_day(r, truth, truth.life[r]);
    }

    Date first_day(std::size_t r, const Truth& truth, double age_wanted) {
        Date low = truth.fitted[r], high = add_years(low, 900);
        while (high - low > 1) {
            const Date middle{low.days + (high.days - low.days) / 2};
            (age(r, truth, middle) >= age_wanted ? high : low) = middle;
        }
        return high;
    }

    const AgeTrack& track_of(std::size_t coach, const std::vector<int>& keys, const std::vector<double>& factors = {}) {
        if (!tracks_.count(coach)) tracks_.emplace(coach, std::make_unique<CoachTracks>(clocks_, coach, as_of));
        return tracks_.at(coach)->track(keys, factors);
    }

    const FleetClocks& clocks_;
    const LifeModel& model_;
    Catalogue catalogue_ = Catalogue::built_in();
    RandomStream random_;
    std::map<std::string, double> effects_;
    std::map<std::size_t, std::unique_ptr<CoachTracks>> tracks_;
};

/// Whether a joint is ever looked at: the second window of each coach is not.
bool is_inspected(const Coach& coach, std::size_t joint) {
    std::size_t windows = 0;
    for (std::size_t j = 0; j <= joint; ++j) windows += coach.joints[j].type == "window_frame";
    return !(coach.joints[joint].type == "window_frame" && windows == 2);
}

/// Looks of the first `count` rounds; the draws of a round do not depend on how many follow.
FleetLooks looks_of(Sampler& sampler, const FleetClocks& clocks, const Truth& truth, const LifeModel& model) {
    FleetLooks looks;
    for (int round = 0; round < rounds; ++round) {
        const Date day = add_months(make_date(2021, 10, 1), 16 * round);
        for (std::size_t r = 0; r < clocks.layers.size(); ++r) {
            const LayerRow& row = clocks.layers[r];
            const Coach& coach = clocks.fleet.coaches[row.coach];
            if (!is_inspected(coach, row.joint)) continue;
            const Joint& joint = coach.joints[row.joint];
            const Layer& layer = joint.layers[row.layer];
            JointLooks& own = looks[{coach.id, joint.id}];
            const double worn = sampler.age(r, truth, day) / truth.life[r];
            const bool wet_round = joint.type == "roof_vent_flange" && round == 1;
            if (layer.kind == "bedding" && wet_round) {
                const double cap = sampler.age(r - row.layer, truth, day) / truth.life[r - row.layer];
                const double open = model.scale.cuts.back();
                own.wet.push_back({day, sampler.moisture(cap >= open && worn >= open)});
            }
            if (layer.kind == "bedding" && joint.type == "window_frame" && round == 2) {
                const double cap = sampler.age(r - row.layer, truth, day) / truth.life[r - row.layer];
                const double open = model.scale.cuts.back();
                own.water.push_back(sampler.rust_run(day, cap >= open && worn >= open));
            }
            if (layer.kind == "bedding" && joint.type != "corner_moulding") continue;  // hidden under a flange
            Look look;
            look.date = day;
            look.lowest = look.highest = sampler.report(worn);
            own.layers[layer.kind].push_back(look);
        }
    }
    return looks;
}

FleetLooks first_rounds(const FleetLooks& all, int count) {
    const Date end = add_months(make_date(2021, 10, 1), 16 * count);
    FleetLooks some;
    for (const auto& [key, looks] : all) {
        JointLooks kept;
        for (const auto& [kind, list] : looks.layers)
            for (const auto& look : list)
                if (look.date < end) kept.layers[kind].push_back(look);
        for (const auto& look : looks.wet)
            if (look.date < end) kept.wet.push_back(look);
        for (const auto& look : looks.water)
            if (look.date < end) kept.water.push_back(look);
        if (!kept.layers.empty() || !kept.wet.empty()) some[key] = kept;
    }
    return some;
}

/// What one fleet contributes.
struct Score {
    std::vector<double> rank;                   ///< per row, after the last round
    std::array<double, rounds + 1> inspected{};  ///< mean log score by number of rounds
    double alone = 0, shared = 0;               ///< of joints never inspected
};

double log_score(const JointBelief& belief, std::size_t l, Date due) {
    constexpr int window = 30;  // [d]
    return std::log(std::max(1e-12, belief.due(l, due + window) - belief.due(l, due - window)));
}

Score score_fleet(const FleetClocks& clocks, const LifeModel& model, const Catalogue& catalogue, std::uint64_t seed) {
    Sampler sampler(clocks, model, seed);
    const Truth truth = sampler.truth();
    const FleetLooks all = looks_of(sampler, clocks, truth, model);
    Score score;
    score.rank.resize(clocks.layers.size());
    std::map<std::size_t, std::unique_ptr<CoachTracks>> tracks;
    for (std::size_t c = 0; c < clocks.fleet.coaches.size(); ++c) tracks[c] = std::make_unique<CoachTracks>(clocks, c, as_of);
    for (int round = 0; round <= rounds; ++round) {
        const FleetLooks looks = first_rounds(all, round);
        std::vector<std::pair<std::size_t, std::unique_ptr<JointBelief>>> joints;
        std::vector<JointEvidence> evidence;
        for (std::size_t first = 0, next; first < clocks.layers.size(); first = next) {
            const LayerRow& row = clocks.layers[first];
            for (next = first; next < clocks.layers.size() && clocks.layers[next].coach == row.coach && clocks.layers[next].joint == row.joint;) ++next;
            const Coach& coach = clocks.fleet.coaches[row.coach];
            const auto own = looks.find({coach.id, coach.joints[row.joint].id});
            const JointLooks* seen = own == looks.end() ? nullptr : &own->second;
            joints.emplace_back(first, std::make_unique<JointBelief>(clocks, model, catalogue, first, next, seen, *tracks[row.coach], as_of));
            if (seen) evidence.push_back({joints.back().second->key(), joints.back().second->effect_likelihood()});
        }
        const SharedEffects shared(model.effects, model.prior, evidence);
        double seen = 0, unseen = 0;
        for (const auto& [first, belief] : joints) {
            const LayerRow& row = clocks.layers[first];
            const bool inspected = is_inspected(clocks.fleet.coaches[row.coach], row.joint);
            belief->settle(shared.without_own(belief->key()));
            for (std::size_t l = 0; l < belief->size(); ++l) {
                (inspected ? seen : unseen) += 1;
                const double value = log_score(*belief, l, truth.due[first + l]);
                if (inspected) score.inspected[static_cast<std::size_t>(round)] += value;
                else if (round == 0) score.alone += value;
                else if (round == rounds) score.shared += value;
                if (round == rounds) score.rank[first + l] = belief->due(l, truth.due[first + l]);
            }
        }
        score.inspected[static_cast<std::size_t>(round)] /= seen;
        if (round == 0) score.alone /= unseen;
        if (round == rounds) score.shared /= unseen;
    }
    return score;
}

struct Mean {
    double value, error;
};
Mean mean_of(const std::vector<double>& values) {
    double sum = 0, square = 0;
    for (const double v : values) sum += v;
    const double mean = sum / static_cast<double>(values.size());
    for (const double v : values) square += (v - mean) * (v - mean);
    return {mean, std::sqrt(square / static_cast<double>(values.size() - 1) / static_cast<double>(values.size()))};
}

}  // namespace

TEST_CASE("fleets drawn from the prior are forecast with the right certainty, and looks and neighbours help", "[law][simulation]") {
    const Fleet fleet = small_fleet();
    ForecastOptions options;
    options.catalogue = without_defects();
    FleetClocks clocks(fleet, fleet, as_of, options);
    clocks.store.evaluate(0, {});
    const LifeModel model = life_model(options.catalogue);
    // The looks rely on it: asked here, for Catch counts from one thread alone.
    for (const LayerRow& row : clocks.layers) {
        const Joint& joint = clocks.fleet.coaches[row.coach].joints[row.joint];
        if (joint.layers[row.layer].kind != "bedding" || (joint.type != "roof_vent_flange" && joint.type != "window_frame")) continue;
        REQUIRE(joint.layers[0].kind == "cap_bead");
    }
    std::vector<Score> scores(fleets);
    parallel_for(fleets, 0, [&](std::size_t i) { scores[i] = score_fleet(clocks, model, options.catalogue, i); });

    // 80 % intervals cover 80 +- 2 %; the fleets are independent, the layers of one are not.
    std::vector<double> covered;
    std::array<int, 10> bins{};
    for (std::size_t f = 0; f < scores.size(); ++f) {
        double inside = 0;
        for (const double rank : scores[f].rank) inside += rank > 0.1 && rank < 0.9;
        covered.push_back(inside / static_cast<double>(scores[f].rank.size()));
        // One layer of each fleet, taken in turn: independent ranks.
        const double rank = scores[f].rank[f % scores[f].rank.size()];
        ++bins[std::min<std::size_t>(9, static_cast<std::size_t>(rank * 10))];
    }
    const Mean coverage = mean_of(covered);
    INFO("coverage " << coverage.value << " +- " << coverage.error);
    CHECK(coverage.value == Approx(0.80).margin(0.02));
    // Pearson's statistic of ten equal bins: 21.67 is exceeded by chance in one of a hundred (9 degrees of freedom).
    double statistic = 0;
    for (const int count : bins) statistic += std::pow(count - fleets / 10.0, 2) / (fleets / 10.0);
    INFO("ranks: chi square " << statistic);
    CHECK(statistic < 21.67);

    for (std::size_t round = 0; round < rounds; ++round) {
        std::vector<double> gain;
        for (const auto& score : scores) gain.push_back(score.inspected[round + 1] - score.inspected[round]);
        const Mean mean = mean_of(gain);
        INFO("gain of round " << round + 1 << ": " << mean.value << " +- " << mean.error);
        CHECK(mean.value > 2 * mean.error);
    }
    std::vector<double> gain;
    for (const auto& score : scores) gain.push_back(score.shared - score.alone);
    const Mean mean = mean_of(gain);
    INFO("gain of joints never inspected: " << mean.value << " +- " << mean.error);
    CHECK(mean.value > 2 * mean.error);
}
