#include "forecast/cell_belief.hpp"

#include <algorithm>
#include <cmath>

#include "forecast/look_tables.hpp"
#include "kernel/kernels.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t block = 16;
constexpr double lowest = -6.0, half_cell = 0.005;  // of `LookTable`

/// Place of ln(life / scale) in cells from the lower edge of the first.
double position_of(double log_life) {
    static const double first = LifePrior::life_node(0), step = LifePrior::life_node(1) - LifePrior::life_node(0);
    return (log_life - first) / step + 0.5;
}

}  // namespace

double CellSlices::node(int k) { return lowest + std::clamp(k, 0, nodes) * half_cell; }

kernel::CellTable CellSlices::slice(double log_age, double& part) const {
    // Beyond these ages every cell reads an end of the table.
    const double position = std::clamp((log_age - LifePrior::life_node(0) - lowest) / half_cell, -8.0, 2.0 * top - 4);
    const auto whole = static_cast<int>(std::floor(position));
    part = position - whole;
    const int c = static_cast<int>(std::floor(whole / 2.0));
    const auto at = static_cast<std::size_t>(top - c);
    if (whole == 2 * c) return {even_.data() + at, odd_.data() + at};
    return {odd_.data() + at, even_.data() + at - 1};
}

CellLookTables::CellLookTables(Look look, const GradeScale& scale)
    : wear([&](double log_r) { return look_chance(look, scale, grade_of_worn_share(scale, std::exp(log_r))); }),
      workmanship([&](double log_r) {
          look.early = 1;
          return look_chance(look, scale, grade_of_worn_share(scale, std::exp(log_r)));
      }) {}

std::shared_ptr<const CellLookTables> CellLooks::tables(int low, int high, double noise) {
    return kept_.get({static_cast<double>(low), static_cast<double>(high), noise}, [&] {
        Look look;
        look.lowest = low;
        look.highest = high;
        look.noise = noise;
        return CellLookTables(look, scale_);
    });
}

CellBelief::CellBelief(const LifePrior& prior) : count_(static_cast<std::size_t>(prior.mass.size())) {
    prior_.assign((count_ + block - 1) / block * block, 0.0);
    std::copy(prior.mass.data(), prior.mass.data() + prior.mass.size(), prior_.begin());
    cells_ = prior_;
    blocks_.resize(cells_.size() / block);
    running_.resize(blocks_.size() + 1);
}

void CellBelief::see(const CellLookTables& tables, double log_age, double early, double weight) {
    kernel::CellLook look;
    look.wear = tables.wear.slice(log_age, look.part);
    look.workmanship = tables.workmanship.slice(log_age, look.part);
    look.early = early;
    look.weight = weight;
    look.least = least_chance_of_a_look;
    kernel::kernels().life_cells.weigh(look, cells_.size(), seen_ ? cells_.data() : prior_.data(), cells_.data());
    seen_ = true;
}

void CellBelief::sum() {
    kernel::kernels().life_cells.block_sums(cells_.data(), cells_.size(), blocks_.data());
    running_[0] = 0;
    for (std::size_t b = 0; b < blocks_.size(); ++b) running_[b + 1] = running_[b] + blocks_[b];
    total_ = running_.back();
}

double CellBelief::before(std::size_t cell) const {
    double sum = running_[cell / block];
    for (std::size_t i = cell / block * block; i < cell; ++i) sum += cells_[i];
    return sum;
}

double CellBelief::below(double log_life) const {
    const double position = position_of(log_life);
    if (!(position > 0)) return 0;
    if (position >= static_cast<double>(count_)) return 1;
    const auto cell = static_cast<std::size_t>(position);
    return std::min(1.0, (before(cell) + cells_[cell] * (position - static_cast<double>(cell))) / total_);
}

double CellBelief::quantile(double p) const {
    const double wanted = p * total_, step = LifePrior::life_node(1) - LifePrior::life_node(0);
    const auto reached = std::lower_bound(running_.begin() + 1, running_.end(), wanted) - (running_.begin() + 1);
    double sum = running_[static_cast<std::size_t>(std::min<std::ptrdiff_t>(reached, std::ssize(blocks_) - 1))];
    for (std::size_t i = static_cast<std::size_t>(reached) * block; i < count_; ++i) {
        if (sum + cells_[i] >= wanted) {
            const double part = cells_[i] > 0 ? (wanted - sum) / cells_[i] : 0.0;
            return LifePrior::life_node(static_cast<Eigen::Index>(i)) + step * (part - 0.5);
        }
        sum += cells_[i];
    }
    return LifePrior::life_node(static_cast<Eigen::Index>(count_) - 1);
}

double CellBelief::mean(const CellSlices& function, double log_age) const {
    double part = 0;
    const kernel::CellTable table = function.slice(log_age, part);
    return kernel::kernels().life_cells.mean(table, part, cells_.data(), cells_.size()) / total_;
}

}  // namespace libseal::detail
