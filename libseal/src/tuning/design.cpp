#include "tuning/design.hpp"

#include <algorithm>
#include <queue>

namespace libseal::detail {

std::size_t PrecisionTree::add_joint(const EffectKey& key, double precision) {
    if (lines_.empty()) family_ = 1 / std::max(1e-12, spread_.family * spread_.family);
    const std::string line = key.model_line.empty() ? "coach " + key.coach : key.model_line;
    const auto [line_place, new_line] = line_numbers_.try_emplace(line, lines_.size());
    if (new_line) lines_.emplace_back();
    const auto [coach_place, new_coach] = coach_numbers_.try_emplace({line, key.coach}, coaches_.size());
    if (new_coach) coaches_.push_back({0, line_place->second});
    joints_.push_back({0, coach_place->second});
    take({joints_.size() - 1, precision});
    return joints_.size() - 1;
}

double PrecisionTree::family_with(const EffectLook& look) const {
    const Node& joint = joints_[look.joint];
    const Node& coach = coaches_[joint.up];
    const Node& line = lines_[coach.up];
    const double of_coach = coach.own + through(joint.own + look.precision, spread_.joint) - through(joint.own, spread_.joint);
    const double of_line = line.own + through(of_coach, spread_.coach) - through(coach.own, spread_.coach);
    return family_ + through(of_line, spread_.model_line) - through(line.own, spread_.model_line);
}

void PrecisionTree::take(const EffectLook& look) {
    family_ = family_with(look);
    Node& joint = joints_[look.joint];
    Node& coach = coaches_[joint.up];
    Node& line = lines_[coach.up];
    const double coach_before = through(coach.own, spread_.coach);
    coach.own += through(joint.own + look.precision, spread_.joint) - through(joint.own, spread_.joint);
    line.own += through(coach.own, spread_.coach) - coach_before;
    joint.own += look.precision;
}

std::vector<std::size_t> greedy_looks(PrecisionTree& tree, const std::vector<EffectLook>& candidates, std::size_t most,
                                      std::vector<double>& precision_after) {
    // What a look adds only falls as others are taken: a gain that is still the largest when worked out anew is the largest of all.
    struct Waiting {
        double gain;
        std::size_t index, at;
        bool operator<(const Waiting& other) const { return gain < other.gain || (gain == other.gain && index > other.index); }
    };
    std::priority_queue<Waiting> queue;
    for (std::size_t i = 0; i < candidates.size(); ++i) queue.push({tree.family_with(candidates[i]) - tree.family(), i, 0});
    std::vector<std::size_t> taken;
    while (taken.size() < most && !queue.empty()) {
        Waiting next = queue.top();
        queue.pop();
        if (next.at == taken.size()) {
            tree.take(candidates[next.index]);
            taken.push_back(next.index);
            precision_after.push_back(tree.family());
            continue;
        }
        next.gain = tree.family_with(candidates[next.index]) - tree.family();
        next.at = taken.size();
        queue.push(next);
    }
    return taken;
}

}  // namespace libseal::detail
