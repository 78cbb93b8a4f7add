#include "forecast/joint_belief.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace libseal::detail {
namespace {

constexpr int most_install_nodes = 12;  // possible installation dates of an interval
constexpr int track_years = 60;         // beyond, the rate of the last year goes on
constexpr int search_years = 1000;      // no due date is looked for beyond
constexpr std::size_t no_layer = static_cast<std::size_t>(-1);

/// Middle days of equal pieces of the installation interval.
std::vector<Date> install_nodes(const Layer& layer) {
    const int days = layer.installed_to - layer.installed_from;
    const int count = std::clamp(days / 30 + 1, 1, most_install_nodes);
    std::vector<Date> nodes;
    for (int i = 0; i < count; ++i) nodes.push_back(layer.installed_from + (2 * i + 1) * days / (2 * count));
    return nodes;
}

bool found_a_defect(const Look& look) { return look.lowest >= 3; }

}  // namespace

CoachTracks::CoachTracks(const FleetClocks& clocks, std::size_t coach, Date as_of) : clocks_(clocks) {
    const Coach& standing = clocks.fleet.coaches[coach];
    Date earliest = as_of;
    for (const auto& joint : standing.joints)
        for (const auto& layer : joint.layers) earliest = std::min(earliest, layer.installed_from);
    for (std::size_t i = clocks.first_layer[coach]; i < clocks.first_layer[coach + 1]; ++i)
        for (const auto& past : clocks.layers[i].past) earliest = std::min(earliest, past.layer.installed_from);
    months_ = months_of_itinerary(standing.stays, earliest, add_years(as_of, track_years));
}

const AgeTrack& CoachTracks::track(const std::vector<int>& keys, const std::vector<double>& factors) {
    const auto found = tracks_.find({keys, factors});
    if (found != tracks_.end()) return found->second;
    std::vector<const ClockYear*> years;
    for (const int key : keys) years.push_back(&clocks_.store.clock(key));
    return tracks_.emplace(std::make_pair(keys, factors), AgeTrack(months_, years, factors)).first->second;
}

JointBelief::JointBelief(const FleetClocks& clocks, const LifeModel& model, const Catalogue& catalogue,
                         std::size_t first, std::size_t end, const JointLooks* looks, CoachTracks& tracks, Date as_of)
    : model_(model),
      catalogue_(catalogue),
      joint_(clocks.fleet.coaches[clocks.layers[first].coach].joints[clocks.layers[first].joint]),
      background_(Column::Ones(model.prior.effect_count())),
      effect_(model.prior.effect) {
    const Coach& coach = clocks.fleet.coaches[clocks.layers[first].coach];
    for (std::size_t row = first; row < end; ++row) add_layer(clocks, row, looks, tracks, as_of);
    // The family of the joint is the one it was built with: a repair keeps the joint's place in the tree.
    const std::string outermost = outermost_layer(joint_)->kind;
    for (const auto& state : layers_)
        if (state.layer->kind == outermost) {
            const LayerRow& row = clocks.layers[state.row];
            key_ = {row.past.empty() ? state.layer->family : row.past.front().layer.family, coach.model_line, coach.id, joint_.id};
        }
    see_layers(looks);
    couple(clocks, tracks);
    if (looks) see_water(*looks);
    if (bedding_) bedding_->take_in_looks();
    see_appearance(clocks, looks, tracks);
}

void JointBelief::add_layer(const FleetClocks& clocks, std::size_t r, const JointLooks* looks, CoachTracks& tracks, Date as_of) {
    const LayerRow& row = clocks.layers[r];
    const Layer& layer = joint_.layers[row.layer];
    const bool bare = layer.kind == "bedding" && !layer_of(joint_, "cap_bead");
    const std::vector<Date> nodes = install_nodes(layer);
    const double median = family_under_law(catalogue_, layer.family, law_of_layer(layer.kind)).median_life;
    const std::vector<int>& keys = bare ? row.exposed_keys : row.keys;
    layers_.push_back({r, &layer, &tracks.track(keys, clocks.movement_factors(row)), &tracks.track(keys), nodes,
                       LifeBelief(model_.prior, median, static_cast<int>(nodes.size())), {}, 0, 1});
    const double hidden = 1 - std::exp(-model_.spread.early_defects_per_m * joint_.length);
    double age = 0;
    for (const Date from : nodes) age += years_between(from, as_of) / static_cast<double>(nodes.size());
    const double left = hidden * std::exp(-std::max(0.0, age) / model_.spread.early_time);
    layers_.back().early_odds = left / (1 - left);
    if (!looks) return;
    const auto own = looks->layers.find(layer.kind);
    if (own == looks->layers.end()) return;
    const Date after = row.past.empty() ? Date{std::numeric_limits<std::int32_t>::min()} : row.past.back().ended;
    for (const Look& look : own->second)
        if (look.date > after) layers_.back().looks.push_back(look);
    Date began{std::numeric_limits<std::int32_t>::min()};
    for (const auto& past : row.past) {
        see_past(past, began, *looks, layer.kind, tracks);
        began = past.ended;
    }
}

/// Looks at a generation that work has ended since; a look on the day of the work came before it.
void JointBelief::see_past(const PastGeneration& past, Date after, const JointLooks& looks, const std::string& kind,
                           CoachTracks& tracks) {
    const std::vector<Date> nodes = install_nodes(past.layer);
    const double median = family_under_law(catalogue_, past.layer.family, law_of_layer(kind)).median_life;
    LifeBelief belief(model_.prior, median, static_cast<int>(nodes.size()));
    const AgeTrack& track = tracks.track(past.keys);
    bool any = false;
    for (const Look& look : looks.layers.at(kind)) {
        if (look.date <= after || look.date > past.ended) continue;
        std::vector<double> ages;
        for (const Date from : nodes) ages.push_back(track.age_between(from, look.date));
        belief.see(look, ages, model_.scale);
        any = true;
    }
    if (any) background_ *= belief.effect_likelihood(model_.prior);
}

std::vector<double> JointBelief::ages(const LayerState& state, Date day) const {
    std::vector<double> result;
    for (const Date from : state.installed) result.push_back(state.track->age_between(from, day));
    return result;
}

/// A defect seen early may be one of workmanship: its chance grows, and the wear is believed less for it.
void JointBelief::see_early(LayerState& state, const Look& look, const std::vector<double>& ages) {
    constexpr double defect_grade = 4;
    if (*std::max_element(ages.begin(), ages.end()) <= 0) return;
    if (!found_a_defect(look)) {
        if (look.highest < 3) state.early_odds *= 1 - model_.clean_look_detection;
        return;
    }
    const double if_defect = look_chance(look, model_.scale, defect_grade);
    state.early_odds *= if_defect / std::max(1e-9, state.belief.chance(look, ages, model_.scale));
}

void JointBelief::see_layers(const JointLooks* looks) {
    if (!looks) return;
    const double fresh = 1 - std::exp(-model_.spread.early_defects_per_m * joint_.length);
    for (auto& state : layers_) {
        double missed = 1;  // share of defects that the looks so far have left unseen
        for (auto& look : state.looks) {
            const std::vector<double> at = ages(state, look.date);
            see_early(state, look, at);
            if (found_a_defect(look)) {
                double age = 0;
                for (const Date from : state.installed) age += years_between(from, look.date) / static_cast<double>(state.installed.size());
                const double left = missed * fresh * std::exp(-std::max(0.0, age) / model_.spread.early_time);
                look.early = left / (1 - fresh + left);
            } else if (look.highest < 3) {
                missed *= 1 - model_.clean_look_detection;
            }
            state.least_chance = std::min(state.least_chance, state.belief.chance(look, at, model_.scale));
            state.belief.see(look, at, model_.scale);
        }
    }
}

std::size_t JointBelief::find(const char* kind) const {
    for (std::size_t l = 0; l < layers_.size(); ++l)
        if (layers_[l].layer->kind == kind) return l;
    return no_layer;
}

std::vector<CapGroup> JointBelief::cap_groups() const {
    constexpr double tail = 3e-4;  // shorter and longer lives go with the outermost groups
    constexpr int groups_wanted = 64, groups_least = 8;
    const LayerState& cap = layers_[cap_at_];
    const std::size_t beddings = layers_[bedding_at_].installed.size();
    const bool paired = cap.layer->installed_from == layers_[bedding_at_].layer->installed_from &&
                        cap.layer->installed_to == layers_[bedding_at_].layer->installed_to;
    const auto pairs = static_cast<int>(cap.installed.size() * (paired ? 1 : beddings));
    const int count = std::max(groups_least, groups_wanted / pairs);
    const Column& mass = model_.prior.mass;
    Eigen::Index low = 0, high = mass.size();
    for (double sum = 0; (sum += mass[low]) < tail;) ++low;
    for (double sum = 0; (sum += mass[high - 1]) < tail;) --high;
    const double half_cell = 0.5 * (LifePrior::life_node(1) - LifePrior::life_node(0));
    const auto life = [&](double log_life) { return cap.belief.scale() * std::exp(log_life); };
    std::vector<CapGroup> groups;
    for (int j = 0; j < cap.belief.nodes(); ++j)
        for (int a = 0; a < count; ++a) {
            const Date from = cap.installed[static_cast<std::size_t>(j)];
            const Eigen::Index first = low + (high - low) * a / count, end = low + (high - low) * (a + 1) / count;
            const double lower = LifePrior::life_node(first) - half_cell, upper = LifePrior::life_node(end - 1) + half_cell;
            CapGroup group{a == 0 ? 0 : first, a + 1 == count ? mass.size() : end, j, j, {}, {}, {}, {}};
            group.failed = cap.track->day_of_age(model_.cap_failed * life((lower + upper) / 2), from);
            group.open_first = cap.track->day_of_age(model_.scale.cuts.back() * life(lower), from);
            group.open_last = cap.track->day_of_age(model_.scale.cuts.back() * life(upper), from);
            group.likelihood = Column::Zero(model_.prior.effect_count());
            for (Eigen::Index k = 0; k < group.likelihood.size(); ++k)
                for (Eigen::Index i = group.first; i < group.end; ++i)
                    group.likelihood[k] += cap.belief.seen()(i, j) * model_.prior.threshold[i + k * model_.prior.stride];
            for (int b = 0; b < (paired ? 1 : static_cast<int>(beddings)); ++b) {
                groups.push_back(group);
                if (!paired) groups.back().bedding_node = b;
            }
        }
    return groups;
}

void JointBelief::couple(const FleetClocks& clocks, CoachTracks& tracks) {
    cap_at_ = find("cap_bead");
    bedding_at_ = find("bedding");
    if (cap_at_ == no_layer || bedding_at_ == no_layer) return;
    const LayerState& state = layers_[bedding_at_];
    const LayerRow& row = clocks.layers[state.row];
    const double median = family_under_law(catalogue_, state.layer->family, Law::surface).median_life;
    bedding_.emplace(model_.prior, median, model_.scale, state.installed, cap_groups(), tracks.track(row.keys),
                     tracks.track(row.exposed_keys));
    for (const Look& look : state.looks) bedding_->see(look);
}

void JointBelief::see_water(const JointLooks& looks) {
    for (const WetLook& look : looks.wet)
        see_water(look.date, model_.moisture.chance_open(look.difference), model_.moisture.chance_closed(look.difference));
    for (const WaterLook& look : looks.water) see_water(look.date, look.if_open, look.if_closed);
}

void JointBelief::see_water(Date day, double open, double closed) {
    if (bedding_) return bedding_->see_water(day, open, closed);
    for (const char* kind : {"bedding", "gasket", "bulb_seal", "cap_bead"}) {
        const std::size_t l = find(kind);
        if (l == no_layer) continue;
        LayerState& state = layers_[l];
        const double largest = std::max(open, closed);
        state.belief.see_open(open / largest, closed / largest, ages(state, day), model_.scale);
        return;
    }
}

void JointBelief::see_appearance(const FleetClocks& clocks, const JointLooks* looks, CoachTracks& tracks) {
    const std::size_t l = find(outermost_layer(joint_)->kind.c_str());
    const LayerState& state = layers_[l];
    const LayerRow& row = clocks.layers[state.row];
    if (row.appearance_keys.empty()) return;
    appearance_track_ = &tracks.track(row.appearance_keys);
    appearance_.emplace(model_.appearance, model_.prior, sealant(catalogue_, state.layer->family).appearance_life);
    if (!looks) return;
    bool any = false;
    for (const Look& look : looks->appearance) {
        if (!row.past.empty() && look.date <= row.past.back().ended) continue;
        double age = 0;
        for (const Date from : state.installed) age += appearance_track_->age_between(from, look.date) / static_cast<double>(state.installed.size());
        appearance_->see(look, age);
        any = true;
    }
    if (any) background_ *= appearance_->effect_likelihood();
}

/// Likelihood of everything but one layer's own looks; a cap and its bedding count as one.
Column JointBelief::without(std::size_t own) const {
    Column product = background_;
    for (std::size_t l = 0; l < layers_.size(); ++l) {
        if (l == own || (bedding_ && (l == cap_at_ || l == bedding_at_))) continue;
        if (!layers_[l].looks.empty() || layers_[l].belief.least_chance() < 1) product *= layers_[l].belief.effect_likelihood(model_.prior);
    }
    if (bedding_ && own != cap_at_ && own != bedding_at_) product *= bedding_->effect_likelihood();
    return product;
}

Column JointBelief::effect_likelihood() const { return without(no_layer); }

void JointBelief::settle(const EffectMoments& others) {
    const Column before = effect_weights(model_.prior, others.mean, others.variance);
    effect_ = before * without(no_layer);
    effect_ /= effect_.sum();
    for (std::size_t l = 0; l < layers_.size(); ++l)
        if (!bedding_ || (l != cap_at_ && l != bedding_at_)) layers_[l].belief.set_effect(model_.prior, before * without(l));
    if (!bedding_) return;
    const Column others_of_pair = before * without(cap_at_);
    bedding_->settle(others_of_pair);
    settle_cap(others_of_pair);
}

/// What the bedding showed bears on the cap through s and through the day the cap failed.
void JointBelief::settle_cap(const Column& others) {
    LifeBelief& cap = layers_[cap_at_].belief;
    if (!bedding_->was_seen()) {
        cap.set_effect(model_.prior, others);
        return;
    }
    std::vector<Column> by_cell(static_cast<std::size_t>(cap.weight().rows() * cap.nodes()), Column::Zero(others.size()));
    for (std::size_t g = 0; g < bedding_->groups().size(); ++g) {
        const CapGroup& group = bedding_->groups()[g];
        for (Eigen::Index i = group.first; i < group.end; ++i)
            by_cell[static_cast<std::size_t>(i + group.cap_node * cap.weight().rows())] += others * bedding_->seen_by_group(g);
    }
    cap.set_effect_by_cell(model_.prior, [&](Eigen::Index i, Eigen::Index j) -> const Column& {
        return by_cell[static_cast<std::size_t>(i + j * cap.weight().rows())];
    });
}

double JointBelief::worse_than(std::size_t l, Date day, double worn_share) const {
    if (is_coupled(l)) return bedding_->worse_than(day, worn_share);
    std::vector<double> at = ages(layers_[l], day);
    for (double& age : at) age /= worn_share;
    return layers_[l].belief.due(at);
}

double JointBelief::worn_share(std::size_t l, Date day, double p) const {
    constexpr int halvings = 13;  // of the scale: to a thousandth of a grade
    double low = 0, high = model_.scale.cuts.back() + (model_.scale.cuts.back() - *(model_.scale.cuts.end() - 2));
    if (worse_than(l, day, high) > 1 - p) return high;
    for (int i = 0; i < halvings; ++i) {
        const double middle = (low + high) / 2;
        (worse_than(l, day, middle) > 1 - p ? low : high) = middle;
    }
    return (low + high) / 2;
}

Date JointBelief::day_of(std::size_t l, double p) const {
    Date low = layers_[l].installed.front(), high = add_years(low, search_years);
    if (due(l, high) < p) return high;
    while (high - low > 1) {
        const Date middle{low.days + (high.days - low.days) / 2};
        (due(l, middle) >= p ? high : low) = middle;
    }
    return high;
}

double JointBelief::expected_grade(std::size_t l, Date day) const {
    return is_coupled(l) ? bedding_->expected_grade(day)
                         : layers_[l].belief.expected_grade(ages(layers_[l], day), model_.scale);
}

ClockTerms JointBelief::mean_age(std::size_t l, Date day) const {
    if (is_coupled(l)) return bedding_->mean_age(day);
    ClockTerms sum;
    const LayerState& state = layers_[l];
    const Column nodes = state.belief.weight().colwise().sum().transpose();
    for (std::size_t j = 0; j < state.installed.size(); ++j)
        sum = sum + nodes[static_cast<Eigen::Index>(j)] * (state.track->at(day) - state.track->at(state.installed[j]));
    return sum;
}

double JointBelief::layer_open(std::size_t l, Date day) const {
    std::vector<double> at = ages(layers_[l], day);
    for (double& age : at) age /= model_.scale.cuts.back();
    return layers_[l].belief.due(at);
}

double JointBelief::open(Date day) const {
    double all = 1;
    for (std::size_t l = 0; l < layers_.size(); ++l) {
        if (bedding_ && (l == cap_at_ || l == bedding_at_)) continue;
        if (layers_[l].layer->kind != "insert") all *= layer_open(l, day);
    }
    if (bedding_) all *= bedding_->open(day);
    const std::size_t insert = find("insert");
    const bool alone = insert != no_layer && layers_.size() == 1;
    if (insert == no_layer) return all;
    // A lost insert bares the screws of its moulding: water is in at once.
    const double bare = layer_open(insert, day);
    return alone ? bare : 1 - (1 - all) * (1 - bare);
}

double JointBelief::appearance(Date day) const {
    if (!appearance_) return std::numeric_limits<double>::quiet_NaN();
    const LayerState& state = layers_[find(outermost_layer(joint_)->kind.c_str())];
    double age = 0;
    for (const Date from : state.installed) age += appearance_track_->age_between(from, day) / static_cast<double>(state.installed.size());
    return appearance_->expected_grade(age, effect_);
}

double JointBelief::effect_mean() const {
    double mean = 0;
    for (int k = 0; k < model_.prior.effect_count(); ++k) mean += effect_[k] * model_.prior.effect_node(k);
    return mean;
}

}  // namespace libseal::detail
