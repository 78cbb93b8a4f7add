#include "forecast/look_information.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

constexpr int grades = 6;  // 0 to 5

/// P(grade reported, not due) and P(grade reported, due) of one layer, one column per node of s, which is given there.
struct LayerTable {
    Eigen::MatrixXd grade;    ///< (grade, node)
    Eigen::MatrixXd not_due;  ///< (grade, node)
};

/// Chance of each grade (columns 0 to 5), and of each grade while not due (6 to 11), per cell of life.
Eigen::MatrixXd chances(const std::vector<LookTable>& looks, double age, double age_until, double scale, Eigen::Index cells) {
    const double first = LifePrior::life_node(0), step = LifePrior::life_node(1) - first;
    const double due_cells = age_until > 0 ? (std::log(age_until / scale) - first) / step + 0.5 : 0.0;
    const double log_age = age > 0 ? std::log(age / scale) : -100.0;  // not fitted yet: as new
    Eigen::MatrixXd table(cells, 2 * grades);
    for (Eigen::Index i = 0; i < cells; ++i) {
        const double due = std::clamp(due_cells - static_cast<double>(i), 0.0, 1.0);
        for (int g = 0; g < grades; ++g) {
            table(i, g) = looks[static_cast<std::size_t>(g)](log_age - LifePrior::life_node(i));
            table(i, grades + g) = table(i, g) * (1 - due);
        }
    }
    return table;
}

bool has_bedding_under_cap(const JointBelief& joint) {
    for (std::size_t l = 0; l < joint.size(); ++l)
        if (joint.is_coupled(l)) return true;
    return false;
}

/// Weights of the cells of one installation date, one column per node of s. What a bedding showed bears on its cap.
Eigen::MatrixXd cell_weights(const JointBelief& joint, std::size_t l, Eigen::Index node, const LifePrior& prior) {
    const LifeBelief& belief = joint.layer(l).belief;
    const Eigen::Index cells = belief.cells();
    const Column seen = belief.seen(node);
    Eigen::MatrixXd weights(cells, prior.effect_count());
    for (int k = 0; k < prior.effect_count(); ++k)
        weights.col(k) = (seen * prior.threshold.segment(k * prior.stride, cells)).matrix();
    if (joint.layer(l).layer->kind != "cap_bead" || !has_bedding_under_cap(joint) || !joint.bedding().was_seen())
        return weights;
    Eigen::MatrixXd shown = Eigen::MatrixXd::Zero(cells, prior.effect_count());
    const BeddingBelief& bedding = joint.bedding();
    for (std::size_t g = 0; g < bedding.groups().size(); ++g) {
        const CapGroup& group = bedding.groups()[g];
        if (group.cap_node != node) continue;
        shown.middleRows(group.first, group.end - group.first).rowwise() += bedding.seen_by_group(g).matrix().transpose();
    }
    return weights.cwiseProduct(shown);
}

LayerTable layer_table(const JointBelief& joint, std::size_t l, const LifeModel& model, Date day, Date until, double noise) {
    const LayerState& state = joint.layer(l);
    std::vector<LookTable> looks;
    for (int g = 0; g < grades; ++g) {
        Look look{day, g, g, noise, 0, 1};
        look.early = state.early_odds / (1 + state.early_odds);
        looks.push_back(model.look_tables->table(look));
    }
    Eigen::MatrixXd sums = Eigen::MatrixXd::Zero(2 * grades, model.prior.effect_count());
    for (Eigen::Index j = 0; j < state.belief.nodes(); ++j) {
        const Date from = state.installed[static_cast<std::size_t>(j)];
        const Eigen::MatrixXd table = chances(looks, state.track->age_between(from, day), state.track->age_between(from, until),
                                              state.belief.scale(), state.belief.cells());
        sums += table.transpose() * cell_weights(joint, l, j, model.prior);
    }
    // Where the looks leave nothing of a node, s has no weight there either.
    for (Eigen::Index k = 0; k < sums.cols(); ++k) {
        const double total = sums.col(k).head(grades).sum();
        if (total > 0) sums.col(k) /= total;
    }
    return {sums.topRows(grades), sums.bottomRows(grades)};
}

double term(double together, double a, double b) { return together > 0 ? together * std::log2(together / (a * b)) : 0.0; }

double entropy(double p) { return p <= 0 || p >= 1 ? 0.0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p); }

/// What a set of reported grades weighs as a function of s: in all, and with nothing due.
struct Reported {
    Column all;
    Column not_due;
};

/// All combinations of grades of the layers; given s, the layers are independent.
std::vector<Reported> combinations(const std::vector<LayerTable>& layers, const Column& effect) {
    std::vector<Reported> combined{{effect, effect}};
    for (const LayerTable& layer : layers) {
        std::vector<Reported> next;
        next.reserve(combined.size() * grades);
        for (const Reported& before : combined)
            for (int g = 0; g < grades; ++g)
                next.push_back({before.all * layer.grade.row(g).transpose().array(),
                                before.not_due * layer.not_due.row(g).transpose().array()});
        combined = std::move(next);
    }
    return combined;
}

}  // namespace

bool is_seen(const JointBelief& joint, std::size_t l) {
    const auto has = [&](const char* kind) {
        for (std::size_t other = 0; other < joint.size(); ++other)
            if (joint.layer(other).layer->kind == kind) return true;
        return false;
    };
    const std::string& kind = joint.layer(l).layer->kind;
    if (has("cover_tape")) return kind == "cover_tape";
    return kind != "bedding" || !has("cap_bead");
}

LookInformation look_information(const JointBelief& joint, const LifeModel& model, Date day, Date until, double noise) {
    std::vector<LayerTable> layers;
    for (std::size_t l = 0; l < joint.size(); ++l)
        if (is_seen(joint, l)) layers.push_back(layer_table(joint, l, model, day, until, noise));
    const std::vector<Reported> reported = combinations(layers, joint.effect());
    double total = 0, sound = 0;
    for (const Reported& one : reported) {
        total += one.all.sum();
        sound += one.not_due.sum();
    }
    LookInformation result;
    result.due = std::clamp(1 - sound / total, 0.0, 1.0);
    result.open = entropy(result.due);
    for (const Reported& one : reported) {
        const double all = one.all.sum() / total, not_due = std::min(all, one.not_due.sum() / total);
        result.bits += term(not_due, all, 1 - result.due) + term(all - not_due, all, result.due);
    }
    result.bits = std::clamp(result.bits, 0.0, result.open);  // rounding
    return result;
}

}  // namespace libseal::detail
