#include <algorithm>
#include <cmath>

#include "forecast/states.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr double surprising_look = 0.01;  // [-]

/// What a row has of its own: it hangs on the joint's length, screws and looks, not on the belief of its layer alone.
struct OwnFacts {
    const LayerRow* row;
    const Layer* layer;
    const AgeTrack* track;
    double early_odds;
    double least_chance;  ///< that was given to a look
    Date last_known;      ///< last look or fitting
};

/// What a row has in common with every equal layer of an equal joint, beside its columns.
struct Answers {
    Date target_day;       ///< on which the chance of being due reaches the target
    ClockTerms age;        ///< by the median date
    double moved = 1;      ///< age over that of the usual movement [-]
    double shared = 1;     ///< exp of the mean of s [-]
};

Date last_known(const LayerState& state) {
    Date last = state.layer->installed_to;
    for (const Look& look : state.looks) last = std::max(last, look.date);
    return last;
}

Date look_wanted(const ForecastBasis& basis, const OwnFacts& own, Date target_day, Date installed, double full_age) {
    const int longest = basis.options.warranty_days > 0 ? std::min(basis.options.warranty_days, basis.model.inspection_days)
                                                        : basis.model.inspection_days;
    Date next = std::min(own.last_known + longest, target_day);
    if (std::isfinite(full_age)) {
        const Date full = own.track->day_of_age(full_age, installed);
        if (full > own.last_known) next = std::min(next, full);
    }
    return next;
}

std::string flag_of(const ForecastBasis& basis, const OwnFacts& own, const JointLooks* looks) {
    const FleetClocks& clocks = basis.clocks;
    const LayerRow& row = *own.row;
    const Coach& coach = clocks.fleet.coaches[row.coach];
    std::string flag = clocks.coach_flag[row.coach];
    const auto say = [&](const std::string& text) { flag += (flag.empty() ? "" : "; ") + text; };
    if (row.dark_and_hot)
        for (std::size_t s = 0; s < coach.stays.size(); ++s)
            if (clocks.warm_key(row.keys[s], basis.model.warm_year)) {
                say("dark finish in a hot place: outside what the lives were set on");
                break;
            }
    if (row.usual_movement >= 0) {
        const double most = clocks.store.movement(row.movement_keys[clocks.stay_now[row.coach]]).amplitude;
        const double high = row.family->movement.high;
        if (most > high) say("moves more than any test of its family: held at " + number_text(100 * high) + " %");
    }
    if (looks && looks->contradicts) say("looks contradict each other: a grade fell without work in between");
    if (own.least_chance < surprising_look) say("a look was far from what the model expected");
    return flag;
}

/// Shares of what makes the layer due by its median date; they sum to 1.
void fill_causes(const Answers& answers, Eigen::Index i, Forecast& result) {
    const double early = result.early_defect[i];
    // A workmanship defect competes with wear, which has done its half by the median date.
    const double workmanship = early / (early + 0.5);
    // What would not have happened without the faster-than-usual effect of family, line, coach and joint.
    const double shared = (1 - workmanship) * std::max(0.0, 1 - 1 / answers.shared);
    // The same of the movement beyond the usual one of such a joint.
    const double movement = (1 - workmanship - shared) * std::max(0.0, 1 - 1 / answers.moved);
    const double weather = 1 - workmanship - shared - movement;
    result.shared_factor[i] = answers.shared;
    result.movement_factor[i] = answers.moved;
    result.share_movement[i] = movement;
    result.share_workmanship[i] = workmanship;
    result.share_shared[i] = shared;
    result.share_light[i] = weather * answers.age.light / answers.age.total();
    result.share_heat[i] = weather * answers.age.heat / answers.age.total();
    result.share_moisture[i] = weather * answers.age.moisture / answers.age.total();
}

/// Columns that hang on the belief of a layer alone.
constexpr Column Forecast::*belief_columns[] = {
    &Forecast::age,         &Forecast::effective_age, &Forecast::condition,   &Forecast::due_now,  &Forecast::due_90_days, &Forecast::due_1_year,
    &Forecast::due_2_years, &Forecast::due_5_years,   &Forecast::open_now,    &Forecast::open_1_year, &Forecast::appearance};
constexpr DateColumn Forecast::*belief_days[] = {&Forecast::due_10, &Forecast::due_50, &Forecast::due_90};

/// The layers of a joint that nobody has looked at, as far as a belief can tell: equal shapes have equal answers.
struct JointShape {
    struct OfLayer {
        const std::string *kind, *family;
        const AgeTrack *track, *usual_track, *exposed_track;
        Date from, to;
        bool operator==(const OfLayer& other) const {
            return track == other.track && usual_track == other.usual_track && exposed_track == other.exposed_track &&
                   from == other.from && to == other.to && *kind == *other.kind && *family == *other.family;
        }
    };
    std::vector<OfLayer> layers;
    const AgeTrack* appearance = nullptr;
    bool operator==(const JointShape&) const = default;
};

/// Fills the rows of one coach. Joints of equal shape are believed alike, so one of them is asked.
class CoachRows {
public:
    CoachRows(const ForecastBasis& basis, std::size_t coach, Forecast& result, Columns wanted)
        : basis_(basis), result_(result), dates_only_(wanted == Columns::dates), coach_(basis.standing.coaches[coach]), base_(basis.clocks.first_layer[coach]),
          end_(basis.clocks.first_layer[coach + 1]), tracks_(basis.clocks, coach, basis.as_of), answers_(end_ - base_) {}

    void fill() {
        for (std::size_t first = base_; first < end_; first = basis_.end_of_joint(first)) {
            const std::size_t end = basis_.end_of_joint(first);
            const Joint& joint = coach_.joints[basis_.clocks.layers[first].joint];
            const JointLooks* looks = basis_.looks_of(coach_, joint);
            bool plain = !looks;
            for (std::size_t r = first; r < end; ++r) plain = plain && basis_.clocks.layers[r].past.empty();
            if (plain) fill_plain(joint, first, end);
            else fill_from(basis_.joint_at(first, tracks_, dates_only_ ? Columns::dates : Columns::all), joint, looks, first);
        }
    }

private:
    void fill_plain(const Joint& joint, std::size_t first, std::size_t end) {
        JointShape shape = shape_of(joint, first, end);
        const auto same = std::find_if(shapes_.begin(), shapes_.end(), [&](const auto& known) { return known.first == shape; });
        if (same == shapes_.end()) {
            fill_from(basis_.joint_at(first, tracks_, dates_only_ ? Columns::dates : Columns::all), joint, nullptr, first);
            shapes_.emplace_back(std::move(shape), first);
            return;
        }
        for (std::size_t r = first; r < end; ++r) {
            const std::size_t twin = same->second + (r - first);
            const auto i = static_cast<Eigen::Index>(r), t = static_cast<Eigen::Index>(twin);
            for (const auto column : belief_columns)
                if ((result_.*column).size() > 0) (result_.*column)[i] = (result_.*column)[t];
            for (const auto column : belief_days) (result_.*column)[i] = (result_.*column)[t];
            answers_[r - base_] = answers_[twin - base_];
            const LayerRow& row = basis_.clocks.layers[r];
            const Layer& layer = joint.layers[row.layer];
            const double odds = early_odds(basis_.model.spread, joint.length, result_.age[i]);
            fill_own({&row, &layer, shape.layers[r - first].track, odds, 1, layer.installed_to}, joint, nullptr, install_nodes(layer).front(), r);
        }
    }

    JointShape shape_of(const Joint& joint, std::size_t first, std::size_t end) {
        JointShape shape;
        for (std::size_t r = first; r < end; ++r) {
            const LayerRow& row = basis_.clocks.layers[r];
            const Layer& layer = joint.layers[row.layer];
            shape.layers.push_back({&layer.kind, &layer.family, &tracks_.track(row.keys, basis_.clocks.movement_factors(row)), &tracks_.track(row.keys),
                                    row.exposed_keys.empty() ? nullptr : &tracks_.track(row.exposed_keys), layer.installed_from, layer.installed_to});
            if (!row.appearance_keys.empty()) shape.appearance = &tracks_.track(row.appearance_keys);
        }
        return shape;
    }

    void fill_from(const JointBelief& belief, const Joint& joint, const JointLooks* looks, std::size_t first) {
        const double nothing = std::nan("");
        const double open_now = dates_only_ ? nothing : belief.open(basis_.as_of);
        const double open_later = dates_only_ ? nothing : belief.open(add_months(basis_.as_of, 12));
        const double appearance = dates_only_ ? nothing : belief.appearance(basis_.as_of);
        const Layer* outermost = outermost_layer(joint);
        for (std::size_t l = 0; l < belief.size(); ++l) {
            const std::size_t r = first + l;
            const auto i = static_cast<Eigen::Index>(r);
            const LayerState& state = belief.layer(l);
            ask_dates(belief, l, r);
            if (!dates_only_) {
                ask_rest(belief, l, r);
                result_.open_now[i] = open_now;
                result_.open_1_year[i] = open_later;
                result_.appearance[i] = state.layer == outermost ? appearance : nothing;
            }
            fill_own({&basis_.clocks.layers[r], state.layer, state.track, state.early_odds, state.least_chance, last_known(state)}, joint,
                     looks, state.installed.front(), r);
        }
    }

    /// When the belief of one layer has it come due.
    void ask_dates(const JointBelief& belief, std::size_t l, std::size_t r) {
        const LayerState& state = belief.layer(l);
        const Date as_of = basis_.as_of;
        const auto i = static_cast<Eigen::Index>(r);
        result_.age[i] = mean_years(state.installed, as_of);
        result_.effective_age[i] = belief.mean_age(l, as_of).total();
        DaySearch search = belief.due_search(l);
        result_.due_now[i] = search.ask(as_of);
        result_.due_90_days[i] = search.ask(as_of + 90);
        result_.due_1_year[i] = search.ask(add_months(as_of, 12));
        result_.due_2_years[i] = search.ask(add_months(as_of, 24));
        result_.due_10[i] = belief.day_of(l, 0.1, search).days;
        result_.due_50[i] = belief.day_of(l, 0.5, search).days;
        result_.due_90[i] = belief.day_of(l, 0.9, search).days;
        answers_[r - base_].target_day = belief.day_of(l, basis_.model.target, search);
    }

    /// All else that it has to say.
    void ask_rest(const JointBelief& belief, std::size_t l, std::size_t r) {
        const LayerState& state = belief.layer(l);
        const auto i = static_cast<Eigen::Index>(r);
        result_.condition[i] = std::min(5.0, belief.expected_grade(l, basis_.as_of));
        result_.due_5_years[i] = belief.due(l, add_months(basis_.as_of, 60));
        Answers& answers = answers_[r - base_];
        const Date from = state.installed.front(), until = std::max(Date{result_.due_50[i]}, state.installed.back() + 1);
        const double usual = state.usual_track->age_between(from, until);
        answers.age = belief.mean_age(l, until);
        answers.moved = usual > 0 ? state.track->age_between(from, until) / usual : 1.0;
        answers.shared = std::exp(belief.effect_mean());
    }

    void fill_own(const OwnFacts& own, const Joint& joint, const JointLooks* looks, Date installed, std::size_t r) {
        const auto i = static_cast<Eigen::Index>(r);
        const Answers& answers = answers_[r - base_];
        result_.coach[r] = coach_.id;
        result_.joint[r] = joint.id;
        result_.layer[r] = own.layer->kind;
        const Utilisation use = utilisation_of(basis_, *own.row, result_.effective_age[i]);
        result_.inspect_by[i] = std::max(basis_.as_of, look_wanted(basis_, own, answers.target_day, installed, use.full_age)).days;
        if (dates_only_) return;
        result_.family[r] = own.layer->family;
        result_.generation[r] = own.layer->generation;
        result_.utilisation[i] = use.now;
        result_.early_defect[i] = std::isinf(own.early_odds) ? 1 : own.early_odds / (1 + own.early_odds);  // in so long a joint there is one
        fill_causes(answers, i, result_);
        result_.flag[r] = flag_of(basis_, own, looks);
    }

    const ForecastBasis& basis_;
    Forecast& result_;
    bool dates_only_;
    const Coach& coach_;
    std::size_t base_, end_;
    CoachTracks tracks_;
    std::vector<Answers> answers_;                            ///< per row of the coach
    std::vector<std::pair<JointShape, std::size_t>> shapes_;  ///< asked so far, with their first rows
};

}  // namespace

Date look_wanted(const ForecastBasis& basis, const JointBelief& joint, std::size_t l, double full_age) {
    const LayerState& state = joint.layer(l);
    const OwnFacts own{&basis.clocks.layers[state.row], state.layer, state.track, state.early_odds, state.least_chance, last_known(state)};
    return look_wanted(basis, own, joint.day_of(l, basis.model.target), state.installed.front(), full_age);
}

bool FleetClocks::warm_key(int key, double warm_year) const {
    return store.mean_air_temperature(store.key(key).site) >= warm_year;
}

void finish_coach(const ForecastBasis& basis, std::size_t coach, Forecast& result, Columns wanted) {
    CoachRows(basis, coach, result, wanted).fill();
}

}  // namespace libseal::detail
