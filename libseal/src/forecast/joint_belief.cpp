#include "forecast/joint_belief.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "forecast/unseen_defects.hpp"

namespace libseal::detail {
namespace {

constexpr int most_install_nodes = 12;  // possible installation dates of an interval
constexpr int track_years = 60;         // beyond, the rate of the last year goes on
constexpr int search_years = 1000;      // no due date is looked for beyond
constexpr std::size_t no_layer = static_cast<std::size_t>(-1);

bool found_a_defect(const Look& look) { return look.lowest >= 3; }

}  // namespace

std::vector<Date> install_nodes(const Layer& layer) {
    const int days = layer.installed_to - layer.installed_from;
    const int count = std::clamp(days / 30 + 1, 1, most_install_nodes);
    std::vector<Date> nodes;
    for (int i = 0; i < count; ++i) nodes.push_back(layer.installed_from + (2 * i + 1) * days / (2 * count));
    return nodes;
}

double mean_years(const std::vector<Date>& installed, Date day) {
    double age = 0;
    for (const Date from : installed) age += years_between(from, day) / static_cast<double>(installed.size());
    return age;
}

double early_odds(const LifeSpread& spread, double joint_length, double age) {
    const double hidden = 1 - std::exp(-spread.early_defects_per_m * joint_length);
    const double left = hidden * std::exp(-std::max(0.0, age) / spread.early_time);
    return left / (1 - left);
}

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
    const auto found = tracks_.find(std::tie(keys, factors));
    if (found != tracks_.end()) return found->second;
    std::vector<const ClockYear*> years;
    for (const int key : keys) years.push_back(&clocks_.store.clock(key));
    return tracks_.emplace(std::make_tuple(keys, factors), AgeTrack(months_, years, factors)).first->second;
}

JointBelief::JointBelief(const FleetClocks& clocks, const LifeModel& model, const Catalogue& catalogue,
                         std::size_t first, std::size_t end, const JointLooks* looks, CoachTracks& tracks, Date as_of,
                         Columns wanted)
    : model_(model),
      catalogue_(catalogue),
      joint_(clocks.fleet.coaches[clocks.layers[first].coach].joints[clocks.layers[first].joint]),
      asked_if_open_(wanted == Columns::all || (looks && (!looks->wet.empty() || !looks->water.empty()))),
      was_looked_at_(looks != nullptr) {
    if (was_looked_at_) background_ = Column::Ones(model.prior.effect_count());
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
    if (looks && bedding_) bedding_->take_in_looks();
    see_appearance(clocks, looks, tracks);
}

void JointBelief::add_layer(const FleetClocks& clocks, std::size_t r, const JointLooks* looks, CoachTracks& tracks, Date as_of) {
    const LayerRow& row = clocks.layers[r];
    const Layer& layer = joint_.layers[row.layer];
    const bool bare = layer.kind == "bedding" && !layer_of(joint_, "cap_bead");
    const std::vector<Date> nodes = install_nodes(layer);
    const std::vector<int>& keys = bare ? row.exposed_keys : row.keys;
    layers_.push_back({r, &layer, &tracks.track(keys, clocks.movement_factors(row)), &tracks.track(keys), nodes,
                       LifeBelief(model_.prior, row.family->itself.median_life, static_cast<int>(nodes.size())), {},
                       early_odds(model_.spread, joint_.length, mean_years(nodes, as_of)), 1});
    if (!looks) return;
    const auto own = looks->layers.find(layer.kind);
    if (own == looks->layers.end()) return;
    const Date after = row.past.empty() ? Date{std::numeric_limits<std::int32_t>::min()} : row.past.back().ended;
    for (const Look& look : own->second)
        if (look.date > after) layers_.back().looks.push_back(look);
    Date began{std::numeric_limits<std::int32_t>::min()};
    for (const auto& past : row.past) {
        const std::vector<double> factors =
            layer.kind == "cap_bead" ? clocks.movement_factors(row, movement_law(catalogue_, past.layer.family)) : std::vector<double>();
        see_past(past, began, *looks, layer.kind, tracks.track(past.keys, factors));
        began = past.ended;
    }
}

/// Looks at a generation that work has ended since; a look on the day of the work came before it.
void JointBelief::see_past(const PastGeneration& past, Date after, const JointLooks& looks, const std::string& kind, const AgeTrack& track) {
    const std::vector<Date> nodes = install_nodes(past.layer);
    const double median = family_under_law(catalogue_, past.layer.family, law_of_layer(kind)).median_life;
    LifeBelief belief(model_.prior, median, static_cast<int>(nodes.size()));
    UnseenDefects defects(model_, joint_.length);
    bool any = false;
    for (Look look : looks.layers.at(kind)) {
        if (look.date <= after || look.date > past.ended) continue;
        look.early = defects.take(look.lowest, look.highest, mean_years(nodes, look.date));
        std::vector<double> ages;
        for (const Date from : nodes) ages.push_back(track.age_between(from, look.date));
        belief.see(model_.look_tables->table(look), ages);
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
    state.early_odds *= if_defect / std::max(1e-9, state.belief.chance(model_.look_tables->table(look), ages));
}

void JointBelief::see_layers(const JointLooks* looks) {
    if (!looks) return;
    for (auto& state : layers_) {
        UnseenDefects defects(model_, joint_.length);
        for (auto& look : state.looks) {
            const std::vector<double> at = ages(state, look.date);
            see_early(state, look, at);
            look.early = defects.take(look.lowest, look.highest, mean_years(state.installed, look.date));
            state.least_chance = std::min(state.least_chance, state.belief.see(model_.look_tables->table(look), at));
        }
    }
}

std::size_t JointBelief::find(const char* kind) const {
    for (std::size_t l = 0; l < layers_.size(); ++l)
        if (layers_[l].layer->kind == kind) return l;
    return no_layer;
}

/// As many classes of the cap's life as keep the number of groups of a pair about the same.
int JointBelief::cap_class_count(bool paired) const {
    constexpr int groups_wanted = 64, classes_least = 8;
    const auto pairs = static_cast<int>(layers_[cap_at_].installed.size() * (paired ? 1 : layers_[bedding_at_].installed.size()));
    return std::max(classes_least, groups_wanted / pairs);
}

std::vector<CapGroup> JointBelief::cap_groups(bool paired, const std::vector<CapClass>& classes) const {
    const LayerState& cap = layers_[cap_at_];
    const int beddings = paired ? 1 : static_cast<int>(layers_[bedding_at_].installed.size());
    const LifePrior& prior = model_.prior;
    std::vector<CapGroup> groups;
    for (int j = 0; j < cap.belief.nodes(); ++j) {
        const Date from = cap.installed[static_cast<std::size_t>(j)];
        const Column seen = was_looked_at_ ? cap.belief.seen(j) : Column();
        const auto days_of_worn_share = [&](double r, double CapClass::*log_life) {
            std::vector<double> ages;
            for (const CapClass& lives : classes) ages.push_back(r * cap.belief.scale() * std::exp(lives.*log_life));
            return cap.track->days_of_ages(ages, from);
        };
        const std::vector<Date> failed = days_of_worn_share(model_.cap_failed, &CapClass::middle);
        std::vector<Date> open_first, open_last;
        if (asked_if_open_) {
            open_first = days_of_worn_share(model_.scale.cuts.back(), &CapClass::shortest);
            open_last = days_of_worn_share(model_.scale.cuts.back(), &CapClass::longest);
        }
        const std::size_t block = groups.size();
        for (std::size_t c = 0; c < classes.size(); ++c) {
            const CapClass& lives = classes[c];
            CapGroup group{lives.first, lives.end, j, paired ? j : 0, failed[c], {}, {}, {}};
            if (asked_if_open_) {
                group.open_first = open_first[c];
                group.open_last = open_last[c];
            }
            if (was_looked_at_) group.likelihood.resize(prior.effect_count());
            for (Eigen::Index k = 0; k < group.likelihood.size(); ++k) {
                const Eigen::Index count = lives.end - lives.first;
                group.likelihood[k] = (seen.segment(lives.first, count) * prior.threshold.segment(lives.first + k * prior.stride, count)).sum();
            }
            groups.push_back(std::move(group));
        }
        for (int b = 1; b < beddings; ++b)
            for (std::size_t g = 0; g < classes.size(); ++g) {
                groups.push_back(groups[block + g]);
                groups.back().bedding_node = b;
            }
    }
    return groups;
}

void JointBelief::couple(const FleetClocks& clocks, CoachTracks& tracks) {
    cap_at_ = find("cap_bead");
    bedding_at_ = find("bedding");
    if (cap_at_ == no_layer || bedding_at_ == no_layer) return;
    const LayerState &cap = layers_[cap_at_], &state = layers_[bedding_at_];
    const LayerRow& row = clocks.layers[state.row];
    const bool paired = cap.layer->installed_from == state.layer->installed_from && cap.layer->installed_to == state.layer->installed_to;
    const auto classes = model_.unseen->classes(cap_class_count(paired));
    bedding_.emplace(model_.prior, row.family->itself.median_life, model_.scale, state.installed, cap_groups(paired, *classes), classes->size(),
                     tracks.track(row.keys), tracks.track(row.exposed_keys));
    for (const Look& look : state.looks) bedding_->see(look.date, model_.look_tables->table(look));
}

void JointBelief::see_water(const JointLooks& looks) {
    for (const WetLook& look : looks.wet) {
        const MoistureModel::Chances chances = model_.moisture.chances(look.difference);
        see_water(look.date, chances.open, chances.closed);
    }
    for (const WaterLook& look : looks.water) see_water(look.date, look.if_open, look.if_closed);
}

/// Of cap and bedding, by what was seen so far.
double JointBelief::pair_open(Date day) {
    bedding_->take_in_looks();
    bedding_->settle(model_.prior.effect);
    return bedding_->open(day);
}

/// Every part hears of the water as far as a way in hangs on it, the others as they are believed before.
void JointBelief::see_water(Date day, double open, double closed) {
    const std::size_t insert = layers_.size() > 1 ? find("insert") : no_layer;
    std::vector<std::size_t> alone;
    for (std::size_t l = 0; l < layers_.size(); ++l)
        if (l != insert && !is_of_pair(l)) alone.push_back(l);
    if (bedding_ && alone.empty() && insert == no_layer) return bedding_->see_water(day, open, closed);
    const double bare = insert == no_layer ? 0 : layer_open(insert, day), pair = bedding_ ? pair_open(day) : 1;
    std::vector<double> before;
    for (const std::size_t l : alone) before.push_back(layer_open(l, day));
    const auto others = [&](std::size_t but) {
        double product = but < alone.size() ? pair : 1;
        for (std::size_t i = 0; i < before.size(); ++i)
            if (i != but) product *= before[i];
        return product;
    };
    const auto chance = [&](double way) { return (way * open + (1 - way) * closed) / std::max(open, closed); };
    const auto tell = [&](std::size_t l, double if_open, double if_closed) {
        layers_[l].belief.see_open(chance(if_open), chance(if_closed), ages(layers_[l], day), model_.scale);
    };
    for (std::size_t i = 0; i < alone.size(); ++i) tell(alone[i], 1 - (1 - others(i)) * (1 - bare), bare);
    if (bedding_) bedding_->see_water(day, chance(1 - (1 - others(alone.size())) * (1 - bare)), chance(bare));
    if (insert != no_layer) tell(insert, 1, others(alone.size()) * pair);
}

void JointBelief::see_appearance(const FleetClocks& clocks, const JointLooks* looks, CoachTracks& tracks) {
    const std::size_t l = find(outermost_layer(joint_)->kind.c_str());
    const LayerState& state = layers_[l];
    const LayerRow& row = clocks.layers[state.row];
    if (row.appearance_keys.empty()) return;
    appearance_track_ = &tracks.track(row.appearance_keys);
    appearance_life_ = row.family->itself.appearance_life;
    if (!looks) return;
    appearance_.emplace(model_.appearance, model_.prior, appearance_life_);
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
        if (l == own || is_of_pair(l)) continue;
        if (layers_[l].belief.is_seen()) product *= layers_[l].belief.effect_likelihood(model_.prior);
    }
    // A pair of which nothing was seen says nothing: the ends of its grid are no evidence.
    const bool pair_seen = bedding_ && (layers_[cap_at_].belief.is_seen() || bedding_->was_seen());
    if (pair_seen && own != cap_at_ && own != bedding_at_) product *= bedding_->effect_likelihood();
    return product;
}

Column JointBelief::effect_likelihood() const {
    return was_looked_at_ ? without(no_layer) : Column::Ones(model_.prior.effect_count()).eval();
}

void JointBelief::settle(const EffectMoments& others) {
    if (was_looked_at_) return settle_on_looks(others);
    unseen_ = model_.unseen->joint(others);
    for (auto& state : layers_) state.belief.set_effect(unseen_->life);
    if (bedding_) bedding_->settle(model_.unseen->pair(others, static_cast<int>(bedding_->block())));
}

void JointBelief::settle_on_looks(const EffectMoments& others) {
    const Column before = effect_weights(model_.prior, others.mean, others.variance);
    effect_ = before * without(no_layer);
    effect_ /= effect_.sum();
    for (std::size_t l = 0; l < layers_.size(); ++l)
        if (!is_of_pair(l)) layers_[l].belief.set_effect(model_.prior, before * without(l));
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
    const Eigen::Index cells = cap.cells();
    std::vector<Column> by_cell(static_cast<std::size_t>(cells * cap.nodes()), Column::Zero(others.size()));
    for (std::size_t g = 0; g < bedding_->groups().size(); ++g) {
        const CapGroup& group = bedding_->groups()[g];
        for (Eigen::Index i = group.first; i < group.end; ++i)
            by_cell[static_cast<std::size_t>(i + group.cap_node * cells)] += others * bedding_->seen_by_group(g);
    }
    cap.set_effect_by_cell(model_.prior, [&](Eigen::Index i, Eigen::Index j) -> const Column& {
        return by_cell[static_cast<std::size_t>(i + j * cells)];
    });
}

double JointBelief::worse_than(std::size_t l, Date day, double worn_share) const {
    if (is_coupled(l)) return bedding_->worse_than(day, worn_share);
    std::vector<double> at = ages(layers_[l], day);
    for (double& age : at) age /= worn_share;
    return layers_[l].belief.due(at);
}

std::vector<double> JointBelief::worse_than(std::size_t l, Date day, const std::vector<double>& worn_shares) const {
    if (is_coupled(l)) return bedding_->worse_than(day, worn_shares);
    const std::vector<double> on_day = ages(layers_[l], day);
    std::vector<double> at(on_day.size()), chances;
    for (const double worn_share : worn_shares) {
        for (std::size_t j = 0; j < at.size(); ++j) at[j] = on_day[j] / worn_share;
        chances.push_back(layers_[l].belief.due(at));
    }
    return chances;
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

DaySearch JointBelief::due_search(std::size_t l) const {
    const Date low = layers_[l].installed.front();
    return {low, add_years(low, search_years), [this, l](Date day) { return due(l, day); }};
}

Date JointBelief::day_of(std::size_t l, double p, DaySearch& search) const {
    const LayerState& state = layers_[l];
    // As one installation date would have it, a bedding exposed from the start or sheltered to the end.
    const double age = state.belief.age_of(p);
    const AgeTrack& fastest = is_coupled(l) ? bedding_->exposed() : *state.track;
    const Date latest = state.track->day_of_age(age, state.installed.back());
    const bool one = &fastest == state.track && state.installed.size() == 1;
    return search.first_day(p, one ? latest : fastest.day_of_age(age, state.installed.front()), latest);
}

Date JointBelief::day_of(std::size_t l, double p) const {
    DaySearch search = due_search(l);
    return day_of(l, p, search);
}

double JointBelief::expected_grade(std::size_t l, Date day) const {
    return is_coupled(l) ? bedding_->expected_grade(day)
                         : layers_[l].belief.expected_grade(ages(layers_[l], day), model_.scale);
}

ClockTerms JointBelief::mean_age(std::size_t l, Date day) const {
    if (is_coupled(l)) return bedding_->mean_age(day);
    ClockTerms sum;
    const LayerState& state = layers_[l];
    for (std::size_t j = 0; j < state.installed.size(); ++j)
        sum = sum + state.belief.node_weight(static_cast<Eigen::Index>(j)) * (state.track->at(day) - state.track->at(state.installed[j]));
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
        if (is_of_pair(l)) continue;
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
    if (!appearance_track_) return std::numeric_limits<double>::quiet_NaN();
    const LayerState& state = layers_[find(outermost_layer(joint_)->kind.c_str())];
    double age = 0;
    for (const Date from : state.installed) age += appearance_track_->age_between(from, day) / static_cast<double>(state.installed.size());
    return appearance_ ? appearance_->expected_grade(age, effect_) : unseen_->appearance.expected_grade(age / appearance_life_);
}

double JointBelief::effect_mean() const {
    if (unseen_) return unseen_->effect_mean;
    double mean = 0;
    for (int k = 0; k < model_.prior.effect_count(); ++k) mean += effect_[k] * model_.prior.effect_node(k);
    return mean;
}

}  // namespace libseal::detail
