#include "libseal/forecast/shared_effects.hpp"

#include <algorithm>
#include <cmath>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr int most_sweeps = 30;
constexpr double still = 1e-9;       // change of a message that counts as none
constexpr double own_share = 0.8;    // of a new message; the rest is the old one, so that neighbours do not overshoot

double squared(double x) { return x * x; }

EffectMoments moments(NormalMessage belief) { return {belief.mean(), belief.variance()}; }

std::string line_of(const EffectKey& key) { return key.model_line.empty() ? "coach " + key.coach : key.model_line; }

/// Mean and variance of likelihood times normal, on the grid.
EffectMoments tilted(const LifePrior& prior, const Column& likelihood, const EffectMoments& around) {
    const Column weight = likelihood * effect_weights(prior, around.mean, around.variance);
    const double sum = weight.sum();
    double mean = 0, square = 0;
    for (int k = 0; k < prior.effect_count(); ++k) mean += weight[k] * prior.effect_node(k) / sum;
    for (int k = 0; k < prior.effect_count(); ++k) square += weight[k] * squared(prior.effect_node(k) - mean) / sum;
    return {mean, square};
}

}  // namespace

double EffectSpread::total() const {
    return std::sqrt(squared(family) + squared(model_line) + squared(coach) + squared(joint));
}

EffectSpread effect_spread(const Catalogue& catalogue) {
    return {catalogue.number("model/sd_family"), catalogue.number("model/sd_model_line"),
            catalogue.number("model/sd_coach"), catalogue.number("model/sd_joint")};
}

NormalMessage NormalMessage::through(double effect_variance) const {
    const double kept = 1 / (1 + precision * effect_variance);
    return {precision * kept, shift * kept};
}

SharedEffects::SharedEffects(const EffectSpread& spread, const LifePrior& prior, std::vector<JointEvidence> evidence)
    : spread_(spread) {
    require_positive(spread.joint, "spread.joint");
    std::sort(evidence.begin(), evidence.end(), [](const auto& a, const auto& b) { return a.key < b.key; });
    for (const auto& joint : evidence) {
        if (joint.likelihood.size() != prior.effect_count())
            throw_value_error("evidence.likelihood", std::to_string(prior.effect_count()) + " values",
                              std::to_string(joint.likelihood.size()));
        if (!sites_.emplace(joint.key, NormalMessage{}).second)
            throw_value_error("evidence.key", "each joint once", joint.key.coach + " " + joint.key.joint);
    }
    pass_up();
    for (int sweep = 0; sweep < most_sweeps; ++sweep) {
        double change = 0;
        std::map<EffectKey, NormalMessage> next;
        for (const auto& joint : evidence) {
            const EffectMoments others = without_own(joint.key);
            const EffectMoments both = tilted(prior, joint.likelihood, others);
            // A look can only narrow a normal belief; where the likelihood is not normal the message says less.
            NormalMessage message{std::max(0.0, 1 / both.variance - 1 / others.variance), 0};
            message.shift = message.precision > 0 ? both.mean / both.variance - others.mean / others.variance : 0;
            const NormalMessage& old = sites_.at(joint.key);
            message = {old.precision + own_share * (message.precision - old.precision),
                       old.shift + own_share * (message.shift - old.shift)};
            change = std::max({change, std::abs(message.precision - old.precision), std::abs(message.shift - old.shift)});
            next.emplace_hint(next.end(), joint.key, message);
        }
        sites_ = std::move(next);
        pass_up();
        if (change < still) break;
    }
}

void SharedEffects::pass_up() {
    family_.clear();
    line_.clear();
    coach_.clear();
    for (const auto& [key, site] : sites_) {
        NormalMessage& sum = coach_[{key.family, line_of(key), key.coach}];
        sum = sum + site.through(squared(spread_.joint));
    }
    for (const auto& [key, sum] : coach_) {
        NormalMessage& line = line_[{std::get<0>(key), std::get<1>(key)}];
        line = line + sum.through(squared(spread_.coach));
    }
    for (const auto& [key, sum] : line_) {
        NormalMessage& family = family_[key.first];
        family = family + sum.through(squared(spread_.model_line));
    }
}

EffectMoments SharedEffects::family(const std::string& family) const {
    // A spread of zero would be a certainty; the smallest one stands for it.
    const NormalMessage own{1 / std::max(1e-12, squared(spread_.family)), 0};
    const auto found = family_.find(family);
    return moments(found == family_.end() ? own : own + found->second);
}

EffectMoments SharedEffects::model_line(const std::string& name, const std::string& model_line) const {
    NormalMessage above{1 / std::max(1e-12, squared(spread_.family)), 0};
    const auto line = line_.find({name, model_line});
    const auto all = family_.find(name);
    if (all != family_.end()) above = above + all->second;
    if (line != line_.end()) above = above - line->second.through(squared(spread_.model_line));
    above = above.through(squared(spread_.model_line));
    return moments(line == line_.end() ? above : above + line->second);
}

/// What a coach hears of the sum of effects down to it, its own joints left out.
NormalMessage SharedEffects::from_above(const CoachKey& coach) const {
    const auto& [family, line, id] = coach;
    NormalMessage above{1 / std::max(1e-12, squared(spread_.family)), 0};
    const auto all = family_.find(family);
    const auto lines = line_.find({family, line});
    const auto own = coach_.find(coach);
    if (all != family_.end()) above = above + all->second;
    if (lines != line_.end()) above = above - lines->second.through(squared(spread_.model_line));
    above = above.through(squared(spread_.model_line));
    if (lines != line_.end()) above = above + lines->second;
    if (own != coach_.end()) above = above - own->second.through(squared(spread_.coach));
    return above.through(squared(spread_.coach));
}

EffectMoments SharedEffects::without_own(const EffectKey& key) const {
    const CoachKey coach{key.family, line_of(key), key.coach};
    NormalMessage belief = from_above(coach);
    const auto all = coach_.find(coach);
    if (all != coach_.end()) belief = belief + all->second;
    const auto own = sites_.find(key);
    if (own != sites_.end()) belief = belief - own->second.through(squared(spread_.joint));
    return moments(belief.through(squared(spread_.joint)));
}

std::string SharedEffects::to_json() const {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/shared_effects/1");
    out.member("sd_family", spread_.family);
    out.member("sd_model_line", spread_.model_line);
    out.member("sd_coach", spread_.coach);
    out.member("sd_joint", spread_.joint);
    out.key("joints");
    out.begin_list();
    for (const auto& [key, site] : sites_) {
        out.begin_object();
        out.member("family", key.family);
        out.member("model_line", key.model_line);
        out.member("coach", key.coach);
        out.member("joint", key.joint);
        out.member("precision", site.precision);
        out.member("shift", site.shift);
        out.end_object();
    }
    out.end_list();
    out.end_object();
    return out.take();
}

SharedEffects SharedEffects::from_json(std::string_view text, const std::string& name) {
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const detail::JsonView root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/shared_effects/1");
    root.check_keys({"schema", "sd_family", "sd_model_line", "sd_coach", "sd_joint", "joints"});
    const auto sd = [&](const char* key) { return root.required(key).number(0, 2, 0.1); };
    SharedEffects effects(EffectSpread{sd("sd_family"), sd("sd_model_line"), sd("sd_coach"), sd("sd_joint")});
    for (const detail::JsonView& joint : root.required("joints").items()) {
        joint.check_keys({"family", "model_line", "coach", "joint", "precision", "shift"});
        const EffectKey key{joint.required("family").text(), joint.required("model_line").text(),
                            joint.required("coach").text(), joint.required("joint").text()};
        const NormalMessage site{joint.required("precision").number(0, 1e9, 0), joint.required("shift").number(-1e9, 1e9, 0)};
        if (!effects.sites_.emplace(key, site).second)
            joint.fail("each joint once", key.coach + " " + key.joint + " again");
    }
    problems.throw_if_any();
    effects.pass_up();
    return effects;
}

}  // namespace libseal
