#include "libseal/forecast/shared_effects.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr int most_sweeps = 30;
constexpr double still = 1e-9;       // change of a message that counts as none
constexpr std::size_t joints_a_task = 2048;
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

/// The next message of a joint's likelihood, when the others say this of its s.
NormalMessage matched(const LifePrior& prior, const Column& likelihood, const EffectMoments& others, NormalMessage old) {
    const EffectMoments both = tilted(prior, likelihood, others);
    // A look can only narrow a normal belief; where the likelihood is not normal the message says less.
    NormalMessage message{std::max(0.0, 1 / both.variance - 1 / others.variance), 0};
    message.shift = message.precision > 0 ? both.mean / both.variance - others.mean / others.variance : 0;
    return {old.precision + own_share * (message.precision - old.precision), old.shift + own_share * (message.shift - old.shift)};
}

/// The least precision of a family: a spread of zero would be a certainty, the smallest one stands for it.
NormalMessage family_before(const EffectSpread& spread) { return {1 / std::max(1e-12, squared(spread.family)), 0}; }

/// The tree of a list of joints by number, each level in order of its ids, so that sums run as they do by id.
class NumberedTree {
public:
    /// @param joints  In rising order of their keys.
    explicit NumberedTree(const std::vector<JointEvidence>& joints) {
        std::map<std::string, std::size_t> families;
        std::map<std::pair<std::string, std::string>, std::size_t> lines;
        std::map<std::tuple<std::string, std::string, std::string>, std::size_t> coaches;
        for (const auto& joint : joints) {
            families[joint.key.family];
            lines[{joint.key.family, line_of(joint.key)}];
            coaches[{joint.key.family, line_of(joint.key), joint.key.coach}];
        }
        const auto number = [](auto& ids) {
            std::size_t next = 0;
            for (auto& [id, at] : ids) at = next++;
        };
        number(families);
        number(lines);
        number(coaches);
        for (const auto& [id, at] : lines) family_of_line_.push_back(families.at(id.first));
        for (const auto& [id, at] : coaches) line_of_coach_.push_back(lines.at({std::get<0>(id), std::get<1>(id)}));
        for (const auto& joint : joints) coach_of_joint_.push_back(coaches.at({joint.key.family, line_of(joint.key), joint.key.coach}));
        families_.resize(families.size());
    }

    /// Sums of the messages from below, and what each coach hears from above.
    void pass(const std::vector<NormalMessage>& joints, const EffectSpread& spread) {
        coaches_.assign(line_of_coach_.size(), {});
        lines_.assign(family_of_line_.size(), {});
        std::fill(families_.begin(), families_.end(), NormalMessage{});
        for (std::size_t j = 0; j < joints.size(); ++j) add(coaches_[coach_of_joint_[j]], joints[j].through(squared(spread.joint)));
        for (std::size_t c = 0; c < coaches_.size(); ++c) add(lines_[line_of_coach_[c]], coaches_[c].through(squared(spread.coach)));
        for (std::size_t l = 0; l < lines_.size(); ++l) add(families_[family_of_line_[l]], lines_[l].through(squared(spread.model_line)));
        above_.resize(coaches_.size());
        for (std::size_t c = 0; c < coaches_.size(); ++c) {
            const std::size_t l = line_of_coach_[c];
            NormalMessage above = family_before(spread) + families_[family_of_line_[l]] - lines_[l].through(squared(spread.model_line));
            above = above.through(squared(spread.model_line)) + lines_[l] - coaches_[c].through(squared(spread.coach));
            above_[c] = above.through(squared(spread.coach));
        }
    }

    EffectMoments without_own(std::size_t joint, NormalMessage own, const EffectSpread& spread) const {
        const std::size_t c = coach_of_joint_[joint];
        const NormalMessage belief = above_[c] + coaches_[c] - own.through(squared(spread.joint));
        return moments(belief.through(squared(spread.joint)));
    }

private:
    static void add(NormalMessage& sum, NormalMessage part) { sum = sum + part; }
    std::vector<std::size_t> coach_of_joint_, line_of_coach_, family_of_line_;
    std::vector<NormalMessage> coaches_, lines_, families_, above_;
};

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

SharedEffects::SharedEffects(const EffectSpread& spread, const LifePrior& prior, std::vector<JointEvidence> evidence, int threads)
    : spread_(spread) {
    require_positive(spread.joint, "spread.joint");
    std::sort(evidence.begin(), evidence.end(), [](const auto& a, const auto& b) { return a.key < b.key; });
    for (std::size_t j = 0; j < evidence.size(); ++j) {
        if (evidence[j].likelihood.size() != prior.effect_count())
            throw_value_error("evidence.likelihood", std::to_string(prior.effect_count()) + " values",
                              std::to_string(evidence[j].likelihood.size()));
        if (j > 0 && evidence[j].key == evidence[j - 1].key)
            throw_value_error("evidence.key", "each joint once", evidence[j].key.coach + " " + evidence[j].key.joint);
    }
    NumberedTree tree(evidence);
    std::vector<NormalMessage> messages(evidence.size()), next(evidence.size());
    tree.pass(messages, spread_);
    for (int sweep = 0; sweep < most_sweeps && !evidence.empty(); ++sweep) {
        // Each from the messages of the sweep before: the joints can be taken in any order.
        parallel_for((evidence.size() + joints_a_task - 1) / joints_a_task, threads, [&](std::size_t task) {
            const std::size_t end = std::min(evidence.size(), (task + 1) * joints_a_task);
            for (std::size_t j = task * joints_a_task; j < end; ++j)
                next[j] = matched(prior, evidence[j].likelihood, tree.without_own(j, messages[j], spread_), messages[j]);
        });
        double change = 0;
        for (std::size_t j = 0; j < next.size(); ++j)
            change = std::max({change, std::abs(next[j].precision - messages[j].precision), std::abs(next[j].shift - messages[j].shift)});
        messages.swap(next);
        tree.pass(messages, spread_);
        if (change < still) break;
    }
    for (std::size_t j = 0; j < evidence.size(); ++j) sites_.emplace_hint(sites_.end(), std::move(evidence[j].key), messages[j]);
    pass_up();
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
    const NormalMessage own = family_before(spread_);
    const auto found = family_.find(family);
    return moments(found == family_.end() ? own : own + found->second);
}

EffectMoments SharedEffects::model_line(const std::string& name, const std::string& model_line) const {
    NormalMessage above = family_before(spread_);
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
    NormalMessage above = family_before(spread_);
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
