#include "tuning/seen.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "forecast/input_checks.hpp"
#include "forecast/unseen_defects.hpp"
#include "libseal/core/parallel.hpp"

namespace libseal::detail {
namespace {

/// Age of a layer on a day, counted from a day of its fitting. [effective yr]
using AgeFrom = std::function<double(Date fitted, Date day)>;

constexpr Date last_day{std::numeric_limits<std::int32_t>::max()};

/// Takes the looks of one generation: those in (after, until].
SeenGeneration generation_of(const Layer& layer, const std::vector<Look>& looks, Date after, Date until, const AgeFrom& age) {
    SeenGeneration seen;
    seen.layer = layer;
    seen.installed = install_nodes(layer);
    for (const Look& look : looks) {
        if (look.date <= after || look.date > until) continue;
        if (look.date < layer.installed_from) {
            seen.before_fitting = true;
            continue;
        }
        SeenLook taken;
        taken.look = look;
        for (const Date fitted : seen.installed) taken.ages.push_back(age(fitted, look.date));
        taken.age_low = look.date > layer.installed_to ? age(layer.installed_to, look.date) : 0.0;
        taken.age_high = age(layer.installed_from, look.date);
        seen.looks.push_back(std::move(taken));
    }
    return seen;
}

/// Chance at each due look that a workmanship defect is there to be seen: clean looks before it would have found most of them.
void mark_early(SeenGeneration& seen, const LifeModel& model, double joint_length) {
    UnseenDefects defects(model, joint_length);
    for (auto& [look, ages, low, high] : seen.looks) look.early = defects.take(look.lowest, look.highest, mean_years(seen.installed, look.date));
}

/// Walks the layers of one coach.
class CoachLooks {
public:
    CoachLooks(const ForecastBasis& basis, std::size_t coach, bool unseen_too)
        : basis_(basis), coach_(coach), unseen_too_(unseen_too), tracks_(basis.clocks, coach, basis.as_of) {}

    SeenCoach take() {
        const FleetClocks& clocks = basis_.clocks;
        for (std::size_t first = clocks.first_layer[coach_]; first < clocks.first_layer[coach_ + 1]; first = basis_.end_of_joint(first))
            for (std::size_t row = first; row < basis_.end_of_joint(first); ++row) take_layer(first, row);
        return std::move(result_);
    }

private:
    void take_layer(std::size_t first, std::size_t r) {
        const LayerRow& row = basis_.clocks.layers[r];
        const Coach& coach = basis_.standing.coaches[row.coach];
        const Joint& joint = coach.joints[row.joint];
        const Layer& layer = joint.layers[row.layer];
        const JointLooks* own = basis_.looks_of(coach, joint);
        static const std::vector<Look> none;
        const auto found = own ? own->layers.find(layer.kind) : std::map<std::string, std::vector<Look>>::const_iterator{};
        const std::vector<Look>& looks = own && found != own->layers.end() ? found->second : none;
        if (looks.empty() && !unseen_too_) {
            result_.never_seen += static_cast<int>(row.past.size()) + 1;
            return;
        }
        Date after{std::numeric_limits<std::int32_t>::min()};
        for (const auto& past : row.past) {
            // The joint moved before as it does now, if its family was the same.
            const bool same = past.layer.family == layer.family;
            const AgeTrack& track = tracks_.track(past.keys, same ? basis_.clocks.movement_factors(row) : std::vector<double>());
            keep(generation_of(past.layer, looks, after, past.ended, age_by(track)), row, true);
            after = past.ended;
        }
        const bool bedding = layer.kind == "bedding", capped = bedding && layer_of(joint, "cap_bead");
        const AgeTrack& track = tracks_.track(bedding && !capped ? row.exposed_keys : row.keys, basis_.clocks.movement_factors(row));
        const bool seen_since = !looks.empty() && looks.back().date > after;
        SeenGeneration standing = capped && seen_since ? bedding_under_cap(first, r, looks, after, track)
                                                       : generation_of(layer, looks, after, last_day, age_by(track));
        if (!capped)
            for (const Date from : standing.installed) standing.ages_now.push_back(track.age_between(from, basis_.as_of));
        keep(std::move(standing), row, false);
    }

    static AgeFrom age_by(const AgeTrack& track) {
        return [&track](Date from, Date day) { return track.age_between(from, day); };
    }

    /// Its age is a mean over when the cap failed; the day of fitting moves it by what it ages sheltered.
    SeenGeneration bedding_under_cap(std::size_t first, std::size_t r, const std::vector<Look>& looks, Date after, const AgeTrack& sheltered) {
        const Layer& layer = basis_.standing.coaches[coach_].joints[basis_.clocks.layers[r].joint].layers[basis_.clocks.layers[r].layer];
        const JointBelief belief = basis_.joint_at(first, tracks_);
        const std::vector<Date> nodes = install_nodes(layer);
        double middle = 0;
        for (const Date from : nodes) middle += sheltered.at(from).total() / static_cast<double>(nodes.size());
        std::map<Date, double> mean;  // by day: asked once for all days of fitting
        return generation_of(layer, looks, after, last_day, [&](Date from, Date day) {
            const auto [age, fresh] = mean.try_emplace(day, 0.0);
            if (fresh) age->second = belief.mean_age(r - first, day).total();
            return std::max(0.0, age->second + middle - sheltered.at(from).total());
        });
    }

    void keep(SeenGeneration seen, const LayerRow& row, bool renewed) {
        if (seen.looks.empty()) ++result_.never_seen;
        if (seen.looks.empty() && (!unseen_too_ || renewed)) return;
        seen.coach = row.coach;
        seen.joint = row.joint;
        seen.layer_at = row.layer;
        seen.renewed = renewed;
        seen.median_life = sealant(basis_.options.catalogue, seen.layer.family).median_life;
        mark_early(seen, basis_.model, basis_.standing.coaches[row.coach].joints[row.joint].length);
        result_.generations.push_back(std::move(seen));
    }

    const ForecastBasis& basis_;
    std::size_t coach_;
    bool unseen_too_;
    CoachTracks tracks_;
    SeenCoach result_;
};

}  // namespace

Fleet coaches_looked_at(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, ForecastOptions& options) {
    check_fleet_inputs(fleet, findings, as_of, options);
    std::set<std::string> seen;
    for (const auto& finding : findings) seen.insert(finding.coach);
    Fleet looked_at;
    for (const auto& coach : fleet.coaches)
        if (seen.count(coach.id) > 0) looked_at.coaches.push_back(coach);
    std::erase_if(options.work_done, [&](const WorkDone& work) { return seen.count(work.coach) == 0; });
    return looked_at;
}

std::vector<SeenCoach> seen_generations(const ForecastBasis& basis, const Watch& watch, bool unseen_too) {
    std::vector<SeenCoach> by_coach(basis.standing.coaches.size());
    ProgressReporter reporter(watch, "findings");
    parallel_for(
        by_coach.size(), basis.options.threads, [&](std::size_t c) { by_coach[c] = CoachLooks(basis, c, unseen_too).take(); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(by_coach.size())); });
    return by_coach;
}

Column effect_likelihood(const SeenGeneration& seen, const LifeModel& model) {
    LifeBelief belief(model.prior, seen.median_life, static_cast<int>(seen.installed.size()));
    for (const SeenLook& one : seen.looks) belief.note(model.look_tables->table(one.look), one.ages);
    return belief.effect_likelihood(model.prior);
}

LifeBelief belief_after(const SeenGeneration& seen, const LifeModel& model, std::size_t looks) {
    LifeBelief belief(model.prior, seen.median_life, static_cast<int>(seen.installed.size()));
    for (std::size_t i = 0; i < looks; ++i) belief.see(model.look_tables->table(seen.looks[i].look), seen.looks[i].ages);
    return belief;
}

}  // namespace libseal::detail
