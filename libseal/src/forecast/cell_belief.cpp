#include "forecast/cell_belief.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "forecast/look_tables.hpp"
#include "kernel/kernels.hpp"

namespace libseal::detail {
namespace {

using kernel::cell_block;
constexpr double lowest = -6.0, half_cell = 0.005;  // of `LookTable`

}  // namespace

SlicePlace::SlicePlace(double log_age) {
    // Beyond these ages every cell reads an end of a table. Counted from eight half cells below them, so as never to be negative.
    const double position = std::clamp((log_age - LifePrior::life_node(0) - lowest) / half_cell + 8, 0.0, 2.0 * CellSlices::top + 4);
    const auto whole = static_cast<std::size_t>(position);
    part = position - static_cast<double>(whole);
    odd = whole % 2 == 1;
    at = CellSlices::top + 4 - whole / 2;
}

double CellSlices::node(int k) { return lowest + std::clamp(k, 0, nodes) * half_cell; }

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

CellBelief::CellBelief(const LifePrior& prior)
    : count_(static_cast<std::size_t>(prior.mass.size())),
      cells_per_log_(1 / (LifePrior::life_node(1) - LifePrior::life_node(0))),
      first_edge_(LifePrior::life_node(0) - 0.5 / cells_per_log_) {
    prior_.assign((count_ + cell_block - 1) / cell_block * cell_block, 0.0);
    std::copy(prior.mass.data(), prior.mass.data() + prior.mass.size(), prior_.begin());
    cells_ = prior_;
    blocks_.resize(cells_.size() / cell_block);
    running_.resize(blocks_.size() + 1);
    prior_running_.resize(running_.size(), 0.0);
    for (std::size_t b = 0; b < blocks_.size(); ++b)
        prior_running_[b + 1] = std::accumulate(prior_.data() + b * cell_block, prior_.data() + (b + 1) * cell_block, prior_running_[b]);
}

void CellBelief::begin() {
    power_.clear(), looks_.clear();
    plain_ = 0;
    weighed_from_ = cells_.size();
    open_ = 1;
}

void CellBelief::see(const CellLookTables& tables, double log_age, double early, double weight) {
    const SlicePlace place(log_age);
    kernel::CellLook look;
    look.wear = tables.wear.table(place, 1 - early);
    look.power = weight;
    std::size_t flat = tables.wear.flat(place);
    double open = (1 - early) * tables.wear.open();
    if (early > 0) {
        look.workmanship = tables.workmanship.table(place, early);
        flat = std::min(flat, tables.workmanship.flat(place));
        open += early * tables.workmanship.open();
    }
    weighed_from_ = std::min(weighed_from_, flat / cell_block * cell_block);
    open_ *= weight == 1 ? open : std::pow(open, weight);
    if (weight != 1) power_.push_back(look);
    else if (early > 0) looks_.push_back(look);
    else looks_.insert(looks_.begin() + plain_++, look);
}

void CellBelief::weigh() {
    const kernel::LifeCellKernels& kernels = kernel::kernels().life_cells;
    const double* from = prior_.data();
    for (const kernel::CellLook& look : power_) {
        kernels.weigh_power(look, weighed_from_, cells_.size(), from, cells_.data());
        from = cells_.data();
    }
    std::size_t done = 0;
    do {
        const std::size_t count = std::min(kernel::looks_a_pass, looks_.size() - done), plain = std::min(count, plain_ - std::min(plain_, done));
        kernels.weigh(looks_.data() + done, plain, count - plain, weighed_from_, cells_.size(), from, cells_.data(), blocks_.data());
        from = cells_.data();
        done += count;
    } while (done < looks_.size());
}

void CellBelief::sum() {
    weigh();
    const std::size_t weighed = weighed_from_ / cell_block;
    for (std::size_t b = 0; b <= weighed; ++b) running_[b] = open_ * prior_running_[b];
    for (std::size_t b = weighed; b < blocks_.size(); ++b) running_[b + 1] = running_[b] + blocks_[b];
    total_ = running_.back();
}

CellBelief::Block CellBelief::block(std::size_t b) const {
    const bool open = b * cell_block < weighed_from_;
    return {(open ? prior_ : cells_).data() + b * cell_block, open ? open_ : 1};
}

double CellBelief::below(double log_life) const {
    const double position = (log_life - first_edge_) * cells_per_log_;
    if (!(position > 0)) return 0;
    if (position >= static_cast<double>(count_)) return 1;
    const auto cell = static_cast<std::size_t>(position);
    const auto [cells, share] = block(cell / cell_block);
    double sum = cells[cell % cell_block] * (position - static_cast<double>(cell));
    for (std::size_t i = 0; i < cell % cell_block; ++i) sum += cells[i];
    return std::min(1.0, (running_[cell / cell_block] + share * sum) / total_);
}

double CellBelief::quantile(double p) const {
    const double wanted = p * total_;
    const auto reached = static_cast<std::size_t>(std::lower_bound(running_.begin() + 1, running_.end() - 1, wanted) - (running_.begin() + 1));
    const auto [cells, share] = block(reached);
    double sum = running_[reached];
    std::size_t i = 0;
    while (i + 1 < cell_block && sum + share * cells[i] < wanted) sum += share * cells[i++];
    const double here = share * cells[i], part = here > 0 ? std::min(1.0, (wanted - sum) / here) : 0.0;
    return first_edge_ + (static_cast<double>(reached * cell_block + i) + part) / cells_per_log_;
}

double CellBelief::mean(const CellSlices& function, double log_age) const {
    const SlicePlace place(log_age);
    // Where the function does not change, one value times a sum that is known.
    const std::size_t flat = std::min(function.flat(place) / cell_block, blocks_.size()), from = flat * cell_block;
    const auto sum_of = [&](const std::vector<double>& cells, std::size_t first, std::size_t end) {
        return first < end ? kernel::kernels().life_cells.mean(function.table(place), first, end, cells.data()) : 0.0;
    };
    const double sum = function.open() * running_[flat] + open_ * sum_of(prior_, from, weighed_from_) + sum_of(cells_, std::max(from, weighed_from_), cells_.size());
    return sum / total_;
}

}  // namespace libseal::detail
