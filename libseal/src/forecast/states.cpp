#include "forecast/states.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/ageing/laws.hpp"

namespace libseal::detail {
namespace {

/// Mean over the possible installation dates.
template <class Value>
double mean_over(const LayerState& state, const Value& value) {
    double sum = 0;
    for (const Date from : state.installed) sum += value(from) / static_cast<double>(state.installed.size());
    return sum;
}

/// Does anything flow out of this layer? Only what does not cure.
bool flows(const Layer& layer, const Catalogue& catalogue) {
    return layer.kind == "bedding" && catalogue.number("sealant/" + layer.family + "/cure_rate") == 0;
}

/// The place and finish of a key under another law.
ClockKey under(ClockKey key, Law law) {
    key.law = law;
    key.depth = law == Law::flow ? Depth::sheltered : Depth::exposed;
    return key;
}

void state_of_bead(const ForecastBasis& basis, const LayerState& state, double age, const CoachTracks& tracks,
                   const StateClocks& clocks, LayerStates& result, Eigen::Index i) {
    const LayerRow& row = basis.clocks.layers[state.row];
    const Catalogue& catalogue = basis.options.catalogue;
    const double amplitude = basis.clocks.store.movement(row.movement_keys[basis.clocks.stay_now[row.coach]]).amplitude;
    result.crack_rating[i] = crack_rating(crack_law(catalogue, state.layer->family), age, 100 * std::min(1.0, amplitude));
    result.capability_left[i] =
        capability_share(age, row.family->capability_decay);
    result.utilisation[i] = utilisation_of(basis, row, age).now;
    const AgeTrack bond = clocks.track(row, Law::bond, tracks);
    const BondLaw law = bond_law(catalogue, "default");
    result.bond_left[i] = mean_over(state, [&](Date from) {
        return bond_share(law, std::max(0.0, bond.age_between(from, basis.as_of)));
    });
}

}  // namespace

Utilisation utilisation_of(const ForecastBasis& basis, const LayerRow& row, double effective_age) {
    const double largest = basis.clocks.largest_strain(row, basis.clocks.stay_now[row.coach]);
    const double capability = row.family->itself.movement_capability, decay = row.family->capability_decay;
    Utilisation result;
    if (std::isnan(largest) || capability <= 0) return result;
    constexpr double least = 1e-300;  // very old layers have less left than a number can hold
    result.now = utilisation(largest, std::max(least, remaining_capability(capability, std::max(0.0, effective_age), decay)));
    if (largest > 0) result.full_age = std::max(0.0, decay * std::log(capability / largest));
    return result;
}

StateClocks::StateClocks(const ForecastBasis& basis, const std::vector<Eigen::Index>& rows)
    : basis_(basis), store_(basis.options.catalogue, basis.clocks.store.session()) {
    const auto add = [&](const LayerRow& row, Law law) {
        for (const int key : row.keys) {
            const ClockKey asked = under(basis.clocks.store.key(key), law);
            index_.try_emplace(asked, store_.add_key(asked));
        }
    };
    for (const Eigen::Index i : rows) {
        const LayerRow& row = basis.clocks.layers[static_cast<std::size_t>(i)];
        const Layer& layer = basis.standing.coaches[row.coach].joints[row.joint].layers[row.layer];
        if (layer.kind == "cap_bead") add(row, Law::bond);
        if (flows(layer, basis.options.catalogue)) add(row, Law::flow);
    }
    store_.evaluate(basis.options.threads, {});
}

AgeTrack StateClocks::track(const LayerRow& row, Law law, const CoachTracks& tracks) const {
    std::vector<const ClockYear*> years;
    for (const int key : row.keys) years.push_back(&store_.clock(index_.at(under(basis_.clocks.store.key(key), law))));
    return AgeTrack(tracks.months(), years);
}

void state_of(const ForecastBasis& basis, const JointBelief& belief, std::size_t l, const CoachTracks& tracks,
              const StateClocks& clocks, LayerStates& result, Eigen::Index i) {
    const LayerState& state = belief.layer(l);
    const Catalogue& catalogue = basis.options.catalogue;
    const std::string& kind = state.layer->kind;
    const std::string base = "sealant/" + state.layer->family;
    const double age = std::max(0.0, belief.mean_age(l, basis.as_of).total());
    if (kind == "cap_bead") state_of_bead(basis, state, age, tracks, clocks, result, i);
    // A fixed limit of set or shrinkage is reached at the family's life: the share of the life is the share of that time.
    const double worn = age / sealant(catalogue, state.layer->family).median_life;
    if (kind == "gasket" && catalogue.has(base + "/set_limit")) {
        const SetLaw law = set_law(catalogue, state.layer->family);
        result.compression_set[i] = compression_set(law, worn * set_time(law, catalogue.number(base + "/set_limit")));
    }
    if (kind == "insert" && catalogue.has(base + "/shrink_limit")) {
        const ShrinkLaw law = shrink_law(catalogue, state.layer->family);
        result.shrinkage[i] = shrinkage(law, worn * shrink_time(law, catalogue.number(base + "/shrink_limit")));
    }
    if (flows(*state.layer, catalogue)) {
        const LayerRow& row = basis.clocks.layers[state.row];
        const AgeTrack flow = clocks.track(row, Law::flow, tracks);
        const SqueezeLaw law = squeeze_law(catalogue);
        const double stress = catalogue.number("law/clamp_stress");
        result.squeezed_out[i] = mean_over(state, [&](Date from) {
            return squeeze_out(law, stress, std::max(0.0, flow.age_between(from, basis.as_of)));
        });
    }
}

}  // namespace libseal::detail
