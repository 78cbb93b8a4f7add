#include "life/likelihood.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numbers>
#include <thread>

#include "libseal/core/parallel.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// Sums are taken block by block and the blocks in their order, so that threads do not change a bit.
constexpr std::size_t block_rows = 1024, block_groups = 4, most_together = 8;
constexpr std::size_t worth_a_thread = 8192;  // rows to be evaluated
constexpr std::size_t rows_a_breath = 2048;

/// Lets the caller look up in the middle of an evaluation, which with many nodes takes long.
class Breath {
public:
    explicit Breath(const std::function<void()>& meanwhile) : meanwhile_(meanwhile) {}

    /// After `rows` more on this thread.
    void draw(std::size_t rows, std::size_t& since) {
        if (!meanwhile_ || (since += rows) < rows_a_breath) return;
        since = 0;
        if (std::this_thread::get_id() == caller_) meanwhile_();
        else if (given_up_) throw GivenUp{};
    }
    /// While the caller waits for other threads.
    void wait() {
        if (!meanwhile_) return;
        try {
            meanwhile_();
        } catch (...) {
            given_up_ = true;
            throw;
        }
    }

private:
    struct GivenUp {};  // never reaches the caller: what `meanwhile` threw comes first
    const std::function<void()>& meanwhile_;
    std::thread::id caller_ = std::this_thread::get_id();
    std::atomic<bool> given_up_{false};
};

}  // namespace

/// Sums of one block, and room to work in.
struct Likelihood::Work {
    Breath& breath;
    std::size_t since = 0;  ///< rows since the last breath
    CurvedValue sum{};
    RowTable table{};
    VectorXd mu{};
    MatrixXd weighted{};
    void clear(Index size) {
        sum.value = 0;
        sum.slope.setZero(size);
        sum.bend.setZero(size, size);
    }
};

Likelihood::Likelihood(std::shared_ptr<const FitRecords> data, int nodes, int threads)
    : data_(std::move(data)), model_(row_model(*data_)), threads_(threads) {
    const FitLayout& layout = data_->layout;
    for (const int place : {layout.log_sigma, layout.log_odds, layout.log_early, layout.detection})
        if (place >= 0) local_.push_back(place);
    if (layout.group_sd >= 0) rule_ = gauss_hermite(nodes);
}

void Likelihood::add_rows(const VectorXd& parameters, std::size_t begin, std::size_t end, double effect, Work& work) const {
    const FitLayout& layout = data_->layout;
    const Index p = 1 + layout.covariates, count = static_cast<Index>(end - begin);
    const auto x = data_->design.middleRows(static_cast<Index>(begin), count);
    VectorXd shared(static_cast<Index>(local_.size()));
    for (std::size_t k = 0; k < local_.size(); ++k) shared[static_cast<Index>(k)] = parameters[local_[k]];
    const double sd = layout.group_sd >= 0 ? parameters[layout.group_sd] : 0;
    work.mu.noalias() = x * parameters.head(p);
    work.mu.array() += sd * effect;
    model_->fill(shared, begin, work.mu, work.table);
    work.breath.draw(end - begin, work.since);

    const RowTable& t = work.table;
    const int n = model_->locals();
    work.sum.value += t.value;
    work.sum.slope.head(p).noalias() += x.transpose() * t.slope.col(0).matrix();
    work.weighted = x.array().colwise() * t.bend.col(0);
    work.sum.bend.topLeftCorner(p, p).noalias() += x.transpose() * work.weighted;
    int pair = 1;
    for (int b = 1; b < n; ++b, ++pair) {
        const Index at = local_[static_cast<std::size_t>(b - 1)];
        work.sum.slope[at] += t.slope.col(b).sum();
        work.sum.bend.col(at).head(p).noalias() += x.transpose() * t.bend.col(pair).matrix();
        if (layout.group_sd >= 0) work.sum.bend(at, layout.group_sd) += effect * t.bend.col(pair).sum();
    }
    for (int a = 1; a < n; ++a)
        for (int b = a; b < n; ++b, ++pair)
            work.sum.bend(local_[static_cast<std::size_t>(a - 1)], local_[static_cast<std::size_t>(b - 1)]) += t.bend.col(pair).sum();
    if (layout.group_sd < 0) return;
    const Index g = layout.group_sd;  // the effect of the group is a covariate whose coefficient is the standard deviation
    work.sum.slope[g] += effect * t.slope.col(0).sum();
    work.sum.bend.col(g).head(p).noalias() += effect * (x.transpose() * t.bend.col(0).matrix());
    work.sum.bend(g, g) += effect * effect * t.bend.col(0).sum();
}

void Likelihood::centre_of(const VectorXd& parameters, std::size_t begin, std::size_t end, Work& work, double& centre, double& spread) const {
    const FitLayout& layout = data_->layout;
    VectorXd shared(static_cast<Index>(local_.size()));
    for (std::size_t k = 0; k < local_.size(); ++k) shared[static_cast<Index>(k)] = parameters[local_[k]];
    const double sd = parameters[layout.group_sd];
    const VectorXd mu = data_->design.middleRows(static_cast<Index>(begin), static_cast<Index>(end - begin)) * parameters.head(1 + layout.covariates);
    double best = -std::numeric_limits<double>::infinity(), last = 0;
    centre = 0;
    spread = 1;
    double u = 0;
    for (int step = 0; step < 40; ++step) {
        model_->fill(shared, begin, mu.array() + sd * u, work.table);
        work.breath.draw(end - begin, work.since);
        const double value = work.table.value - 0.5 * u * u;
        if (!(value >= best - 1e-12 * std::fabs(best))) {  // too far: half way back
            u = 0.5 * (u + last);
            continue;
        }
        best = value;
        last = u;
        const double slope = sd * work.table.slope.col(0).sum() - u;
        const double stiff = std::max(0.05, 1 - sd * sd * work.table.bend.col(0).sum());
        if (!std::isfinite(slope) || !std::isfinite(stiff)) return;
        centre = u;
        spread = 1 / std::sqrt(stiff);
        const double move = std::clamp(slope / stiff, -2.0, 2.0);
        if (std::fabs(move) < 1e-6 * spread) return;
        u += move;
    }
}

void Likelihood::add_group(const VectorXd& parameters, std::size_t begin, std::size_t end, Work& work) const {
    const Index size = parameters.size(), nodes = rule_.node.size();
    double centre = 0, spread = 1;
    centre_of(parameters, begin, end, work, centre, spread);
    Work at{work.breath, work.since};
    VectorXd log_term(nodes);
    MatrixXd slopes(size, nodes);
    std::vector<MatrixXd> bends(static_cast<std::size_t>(nodes));
    for (Index q = 0; q < nodes; ++q) {
        const double u = centre + std::numbers::sqrt2 * spread * rule_.node[q];
        at.clear(size);
        add_rows(parameters, begin, end, u, at);
        log_term[q] = at.sum.value - 0.5 * u * u + rule_.node[q] * rule_.node[q] + std::log(rule_.weight[q]);
        if (!(at.sum.slope.allFinite() && at.sum.bend.allFinite() && std::isfinite(log_term[q]))) {  // out of reach: no weight
            log_term[q] = -std::numeric_limits<double>::infinity();
            at.clear(size);
        }
        slopes.col(q) = at.sum.slope;
        bends[static_cast<std::size_t>(q)] = at.sum.bend.selfadjointView<Eigen::Upper>();
    }
    work.since = at.since;
    const double top = log_term.maxCoeff();
    // Below, exp in registers stops at a number above 0, which a slope far out would make much of.
    const VectorXd share = (log_term.array() < top - 700).select(0.0, (log_term.array() - top).exp());
    const double sum = share.sum();
    work.sum.value += top + std::log(sum * spread / std::sqrt(std::numbers::pi));
    const VectorXd mean = slopes * share / sum;
    work.sum.slope += mean;
    for (Index q = 0; q < nodes; ++q) {
        if (share[q] == 0) continue;  // its slope may be finite and the square of that not
        const VectorXd away = slopes.col(q) - mean;
        work.sum.bend += share[q] / sum * (bends[static_cast<std::size_t>(q)] + away * away.transpose());
    }
}

void Likelihood::operator()(const VectorXd& parameters, CurvedValue& out, const std::function<void()>& meanwhile) const {
    const bool grouped = data_->layout.group_sd >= 0;
    const std::size_t rows = data_->rows.size(), groups = data_->group_end.size();
    const std::size_t blocks = grouped ? (groups + block_groups - 1) / block_groups : (rows + block_rows - 1) / block_rows;
    std::vector<CurvedValue> sums(blocks);
    const auto work_through = [&](std::size_t b, Work& work) {
        work.clear(parameters.size());
        if (!grouped) {
            add_rows(parameters, b * block_rows, std::min(rows, (b + 1) * block_rows), 0, work);
        } else {
            for (std::size_t g = b * block_groups; g < std::min(groups, (b + 1) * block_groups); ++g)
                add_group(parameters, g ? data_->group_end[g - 1] : 0, data_->group_end[g], work);
        }
        sums[b] = work.sum;
    };
    // Small blocks next to each other share the room they work in; large groups are shared out one block at a time.
    const std::size_t effort = rows * (grouped ? static_cast<std::size_t>(rule_.node.size()) : 1);
    const std::size_t together = std::clamp<std::size_t>(worth_a_thread * blocks / std::max<std::size_t>(1, effort), 1, most_together);
    const std::size_t tasks = (blocks + together - 1) / together;
    Breath breath(meanwhile);
    parallel_for(
        tasks, effort < worth_a_thread ? 1 : threads_,
        [&](std::size_t task) {
            Work work{breath};
            for (std::size_t b = task * together; b < std::min(blocks, (task + 1) * together); ++b) work_through(b, work);
        },
        [&](std::size_t) { breath.wait(); });
    out.value = 0;
    out.slope.setZero(parameters.size());
    out.bend.setZero(parameters.size(), parameters.size());
    for (const CurvedValue& sum : sums) {
        out.value += sum.value;
        out.slope += sum.slope;
        out.bend += sum.bend;
    }
    out.bend = Eigen::MatrixXd(out.bend.selfadjointView<Eigen::Upper>());
    if (std::isnan(out.value)) out.value = -std::numeric_limits<double>::infinity();
}

}  // namespace libseal::detail
