#include <algorithm>
#include <cmath>

#include "forecast/layers.hpp"
#include "libseal/forecast/track.hpp"

namespace libseal::detail {
namespace {

constexpr int most_install_nodes = 12;   // possible installation dates of an interval
constexpr int track_years = 60;          // beyond, the rate of the last year goes on
constexpr int search_years = 1000;       // no due date is looked for beyond
constexpr double surprising_look = 0.01; // [-]

/// Middle days of equal pieces of the installation interval.
std::vector<Date> install_nodes(const Layer& layer) {
    const int days = layer.installed_to - layer.installed_from;
    const int count = std::clamp(days / 30 + 1, 1, most_install_nodes);
    std::vector<Date> nodes;
    for (int i = 0; i < count; ++i) nodes.push_back(layer.installed_from + (2 * i + 1) * days / (2 * count));
    return nodes;
}

/// A layer's age by day, its belief, and the questions asked of both.
struct LayerLife {
    const AgeTrack& track;
    std::vector<Date> installed;
    LifeBelief belief;

    std::vector<double> ages(Date day) const {
        std::vector<double> result;
        for (const Date from : installed) result.push_back(track.age_between(from, day));
        return result;
    }
    double due(Date day) const { return belief.due(ages(day)); }
    /// First day on which the probability of being due reaches p.
    Date day_of(double p) const {
        Date low = installed.front(), high = add_years(low, search_years);
        if (due(high) < p) return high;
        while (high - low > 1) {
            const Date middle{low.days + (high.days - low.days) / 2};
            (due(middle) >= p ? high : low) = middle;
        }
        return high;
    }
};

double early_defect(const LifeModel& model, const Joint& joint, double age, int looks) {
    const double fresh = 1 - std::exp(-model.spread.early_defects_per_m * joint.length);
    const double hidden = fresh * std::exp(-std::max(0.0, age) / model.spread.early_time);
    const double odds = hidden / (1 - hidden) * std::pow(1 - model.clean_look_detection, looks);
    return odds / (1 + odds);
}

std::string flag_of(const FleetClocks& clocks, const LayerRow& row, const LayerLife& life, const Layer& layer,
                    const LifeModel& model) {
    const Coach& coach = clocks.fleet.coaches[row.coach];
    std::string flag = clocks.coach_flag[row.coach];
    const auto say = [&](const std::string& text) { flag += (flag.empty() ? "" : "; ") + text; };
    if (row.dark_and_hot)
        for (std::size_t s = 0; s < coach.stays.size(); ++s)
            if (clocks.warm_key(row.keys[s], model.warm_year)) {
                say("dark finish in a hot place: outside what the lives were set on");
                break;
            }
    if (life.belief.least_chance() < surprising_look) say("a look was far from what the model expected");
    if (layer.kind == "bedding") say("as if its cap stays sound");
    return flag;
}

struct Output {
    const LifeModel& model;
    Date as_of;
    Forecast& result;

    void fill(Eigen::Index i, const LayerLife& life, const Joint& joint, const Layer& layer,
              const std::vector<Look>& looks) const {
        const std::vector<double> now = life.ages(as_of);
        double age = 0, effective = 0;
        for (std::size_t k = 0; k < now.size(); ++k) {
            age += years_between(life.installed[k], as_of) / static_cast<double>(now.size());
            effective += now[k] / static_cast<double>(now.size());
        }
        result.family[static_cast<std::size_t>(i)] = layer.family;
        result.age[i] = age;
        result.effective_age[i] = effective;
        result.condition[i] = life.belief.expected_grade(now, model.scale);
        result.due_now[i] = life.belief.due(now);
        result.due_90_days[i] = life.due(as_of + 90);
        result.due_1_year[i] = life.due(add_months(as_of, 12));
        result.due_2_years[i] = life.due(add_months(as_of, 24));
        result.due_5_years[i] = life.due(add_months(as_of, 60));
        const Date due_50 = life.day_of(0.5);
        result.due_10[i] = life.day_of(0.1).days;
        result.due_50[i] = due_50.days;
        result.due_90[i] = life.day_of(0.9).days;
        int since = 0;
        Date last_known = layer.installed_to;
        for (const auto& look : looks)
            if (look.date > layer.installed_to) {
                ++since;
                last_known = std::max(last_known, look.date);
            }
        const Date routine = last_known + model.inspection_days;
        result.inspect_by[i] = std::max(as_of, std::min(routine, life.day_of(model.target))).days;
        result.early_defect[i] = early_defect(model, joint, age, since);
        fill_shares(i, life, std::max(due_50, life.installed.back() + 1));
    }

    void fill_shares(Eigen::Index i, const LayerLife& life, Date until) const {
        ClockTerms sum;
        for (const Date from : life.installed) {
            const ClockTerms a = life.track.at(from), b = life.track.at(until);
            sum.light += b.light - a.light;
            sum.heat += b.heat - a.heat;
            sum.moisture += b.moisture - a.moisture;
        }
        result.share_light[i] = sum.light / sum.total();
        result.share_heat[i] = sum.heat / sum.total();
        result.share_moisture[i] = sum.moisture / sum.total();
    }
};

}  // namespace

bool FleetClocks::warm_key(int key, double warm_year) const {
    return store.mean_air_temperature(store.key(key).site) >= warm_year;
}

void finish_coach(const FleetClocks& clocks, std::size_t c, const LooksByJoint& looks, const LifeModel& model,
                  const ForecastOptions& options, Forecast& result) {
    const Coach& coach = clocks.fleet.coaches[c];
    const std::size_t first = clocks.first_layer[c], end = clocks.first_layer[c + 1];
    if (first == end) return;
    Date earliest = result.as_of;
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers) earliest = std::min(earliest, layer.installed_from);
    const std::vector<MonthOfStay> months =
        months_of_itinerary(coach.stays, earliest, add_years(result.as_of, track_years));
    std::map<std::vector<int>, AgeTrack> tracks;
    const Output output{model, result.as_of, result};
    static const std::vector<Look> no_looks;
    for (std::size_t i = first; i < end; ++i) {
        const LayerRow& row = clocks.layers[i];
        const Joint& joint = coach.joints[row.joint];
        const Layer& layer = joint.layers[row.layer];
        auto track = tracks.find(row.keys);
        if (track == tracks.end()) {
            std::vector<const ClockYear*> years;
            for (const int key : row.keys) years.push_back(&clocks.store.clock(key));
            track = tracks.emplace(row.keys, AgeTrack(months, years)).first;
        }
        const std::vector<Date> nodes = install_nodes(layer);
        const double median = family_under_law(options.catalogue, layer.family, law_of_layer(layer.kind)).median_life;
        LayerLife life{track->second, nodes, LifeBelief(model.prior, median, static_cast<int>(nodes.size()))};
        const auto seen = looks.find({coach.id, joint.id, layer.kind});
        const std::vector<Look>& layer_looks = seen == looks.end() ? no_looks : seen->second;
        for (const auto& look : layer_looks) life.belief.see(look, life.ages(look.date), model.scale);

        result.coach[i] = coach.id;
        result.joint[i] = joint.id;
        result.layer[i] = layer.kind;
        output.fill(static_cast<Eigen::Index>(i), life, joint, layer, layer_looks);
        result.flag[i] = flag_of(clocks, row, life, layer, model);
    }
}

}  // namespace libseal::detail
