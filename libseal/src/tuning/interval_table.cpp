#include "libseal/tuning/interval_table.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/least_detection.hpp"
#include "tuning/interval_cells.hpp"
#include "tuning/interval_years.hpp"

namespace libseal {
namespace {

using namespace detail;

constexpr double days_a_year = 365.25;
constexpr double settling = 3;  // median lives until open, before years are counted
constexpr double grid_days[] = {30,  45,  60,  75,  90,  120,  150,  days_a_year / 2, 240,  300, days_a_year,
                                456, 548, 730, 913, 1096, 1461, 1826, 2557, 3652};
constexpr Eigen::Index grid_size = std::size(grid_days);
const std::vector<std::string> policy_names = {"run_to_failure", "every_90_days", "half_yearly", "yearly", "best_interval", "best_age"};
enum Policy : Eigen::Index { run_to_failure, every_90_days, half_yearly, yearly, best_interval, best_age, policy_count };

void check_costs(const IntervalTableOptions& options) {
    const bool reseal = !std::isnan(options.reseal_cost), look = !std::isnan(options.look_cost), failure = !options.failure_cost.empty();
    if (reseal != look || look != failure)
        throw_value_error("reseal_cost, look_cost, failure_cost", "all three or none", "some of them",
                          "the catalogue's are in hours of work and cannot be mixed with others");
    if (!reseal) return;
    require_positive(options.reseal_cost, "reseal_cost");
    require_positive(options.look_cost, "look_cost");
    if (options.failure_cost.size() != 4)
        throw_value_error("failure_cost", "four costs, of consequence classes 1 to 4", std::to_string(options.failure_cost.size()));
    for (std::size_t k = 0; k < 4; ++k) require_positive(options.failure_cost[k], "failure_cost[" + std::to_string(k) + "]");
}

void check_options(const IntervalTableOptions& options) {
    check_costs(options);
    if (!std::isnan(options.detection)) require_between(options.detection, detail::least_detection, 1, "detection");
    if (options.found_grade < 2 || options.found_grade > 4) throw_value_error("found_grade", "2 to 4", std::to_string(options.found_grade));
    require_between(options.years, 1, 200, "years");
    if (options.layers < 2 || options.layers > 1000000) throw_value_error("layers", "2 to 1000000", std::to_string(options.layers));
}

/// Cost, failures, ... of each layer (row) under each policy that is tried (column), summed over the counted years.
struct SimulatedCell {
    Eigen::ArrayXXd cost, failures, looks, reseals;
};

SimulatedCell simulate(const JointDraws::Law& law, const std::vector<LayerPolicy>& tried, double settled, const JointCosts& costs,
                       const IntervalTableOptions& options) {
    const auto columns = static_cast<Eigen::Index>(tried.size());
    SimulatedCell cell;
    for (Eigen::ArrayXXd* values : {&cell.cost, &cell.failures, &cell.looks, &cell.reseals}) values->resize(options.layers, columns);
    for (Eigen::Index layer = 0; layer < options.layers; ++layer) {
        JointDraws draws(law, options.seed, static_cast<std::uint64_t>(layer));
        for (Eigen::Index k = 0; k < columns; ++k) {
            const JointYears years = follow_joint(tried[static_cast<std::size_t>(k)], settled, settled + options.years, draws.phase(), draws);
            cell.looks(layer, k) = years.looks;
            cell.reseals(layer, k) = years.reseals;
            cell.failures(layer, k) = years.failures;
        }
    }
    cell.cost = costs.look * cell.looks + costs.reseal * cell.reseals + costs.failure * cell.failures;
    return cell;
}

struct MeanError {
    double mean, error;
};
MeanError mean_error(const Column& values) {
    const double mean = values.mean(), count = static_cast<double>(values.size());
    return {mean, std::sqrt((values - mean).square().sum() / (count - 1) / count)};
}

/// Policies in the order in which they are tried: the fixed ones, the two of the formulas, then the grid.
std::vector<LayerPolicy> tried_policies(const FormulaBest& formula) {
    std::vector<LayerPolicy> tried(policy_count);
    tried[every_90_days].interval = 90 / days_a_year;
    tried[half_yearly].interval = 0.5;
    tried[yearly].interval = 1;
    tried[best_interval].interval = formula.interval;
    tried[best_age].age = formula.age;
    for (const double days : grid_days) tried.push_back({days / days_a_year, INFINITY});
    return tried;
}

/// Column of the cheapest interval: the grid, the formula's, or never.
Eigen::Index cheapest_interval(const Column& cost) {
    Eigen::Index best = run_to_failure;
    for (Eigen::Index k = policy_count; k < policy_count + grid_size; ++k)
        if (cost[k] < cost[best]) best = k;
    return cost[best_interval] < cost[best] ? Eigen::Index{best_interval} : best;
}

void size_table(IntervalTable& t, Eigen::Index rows) {
    for (Column* column : {&t.rate, &t.life, &t.open_life, &t.reseal_cost, &t.look_cost, &t.failure_cost, &t.formula_age, &t.formula_age_cost,
                           &t.formula_interval, &t.formula_interval_cost, &t.best_interval})
        column->resize(rows);
    for (Eigen::ArrayXXd* values : {&t.cost, &t.cost_error, &t.failures, &t.failures_error, &t.found, &t.looks, &t.reseals, &t.saving, &t.saving_error,
                                    &t.more_failures, &t.more_failures_error})
        values->resize(rows, policy_count);
    for (Eigen::ArrayXXd* values : {&t.interval_cost, &t.interval_cost_error, &t.interval_failures}) values->resize(rows, grid_size);
    t.best.resize(static_cast<std::size_t>(rows));
}

void describe(const IntervalCell& cell, const UnitLife& life, IntervalTable& t, Eigen::Index row) {
    t.station.push_back(cell.station);
    t.climate.push_back(cell.climate);
    t.joint_type.push_back(cell.joint_type);
    t.family.push_back(cell.family);
    t.layer.emplace_back("cap_bead");
    t.surface.push_back(cell.surface);
    t.consequence.push_back(cell.consequence);
    t.rate[row] = cell.rate;
    t.life[row] = cell.median_life / cell.rate;
    t.open_life[row] = life.open * t.life[row];
    t.reseal_cost[row] = cell.costs.reseal;
    t.look_cost[row] = cell.costs.look;
    t.failure_cost[row] = cell.costs.failure;
}

/// Columns of the policies, those of the cheapest interval in place of the formula's.
void fill_policies(const SimulatedCell& cell, Eigen::Index interval, double years, IntervalTable& t, Eigen::Index row) {
    const auto column_of = [&](Eigen::Index k) { return k == best_interval ? interval : k; };
    Eigen::Index best = 0;
    for (Eigen::Index k = 0; k < policy_count; ++k) {
        const Eigen::Index from = column_of(k);
        const MeanError cost = mean_error(cell.cost.col(from) / years), failed = mean_error(1000 * cell.failures.col(from) / years);
        t.cost(row, k) = cost.mean;
        t.cost_error(row, k) = cost.error;
        t.failures(row, k) = failed.mean;
        t.failures_error(row, k) = failed.error;
        t.looks(row, k) = cell.looks.col(from).mean() / years;
        t.reseals(row, k) = cell.reseals.col(from).mean() / years;
        const double ends = cell.reseals.col(from).sum() + cell.failures.col(from).sum();
        t.found(row, k) = ends > 0 ? cell.reseals.col(from).sum() / ends : std::nan("");
        if (t.cost(row, k) < t.cost(row, best)) best = k;
    }
    t.best[static_cast<std::size_t>(row)] = policy_names[static_cast<std::size_t>(best)];
    for (Eigen::Index k = 0; k < policy_count; ++k) {
        const MeanError saved = mean_error((cell.cost.col(column_of(k)) - cell.cost.col(column_of(best))) / years);
        const MeanError more = mean_error(1000 * (cell.failures.col(column_of(best)) - cell.failures.col(column_of(k))) / years);
        t.saving(row, k) = std::max(0.0, saved.mean);  // the cheapest: below 0 by rounding alone
        t.saving_error(row, k) = saved.error;
        t.more_failures(row, k) = more.mean;
        t.more_failures_error(row, k) = more.error;
    }
}

void fill_row(const IntervalCell& cell, const UnitLife& life, const IntervalTableOptions& options, IntervalTable& t, Eigen::Index row) {
    const double scale = t.life[row] / life.median;
    const FormulaBest formula = formula_best(life, scale, cell.costs);
    t.formula_age[row] = formula.age;
    t.formula_age_cost[row] = formula.age_cost;
    t.formula_interval[row] = formula.interval * days_a_year;
    t.formula_interval_cost[row] = formula.interval_cost;
    const std::vector<LayerPolicy> tried = tried_policies(formula);
    const JointDraws::Law law{scale, life.spread.shape, life.spread.log_sd, life.visible, life.open, life.detection};
    const SimulatedCell simulated = simulate(law, tried, settling * t.open_life[row], cell.costs, options);
    const Eigen::Index interval = cheapest_interval(simulated.cost.colwise().mean().transpose());
    t.best_interval[row] = tried[static_cast<std::size_t>(interval)].interval * days_a_year;
    fill_policies(simulated, interval, options.years, t, row);
    for (Eigen::Index k = 0; k < grid_size; ++k) {
        const MeanError cost = mean_error(simulated.cost.col(policy_count + k) / options.years);
        t.interval_cost(row, k) = cost.mean;
        t.interval_cost_error(row, k) = cost.error;
        t.interval_failures(row, k) = 1000 * simulated.failures.col(policy_count + k).mean() / options.years;
    }
}

}  // namespace

Eigen::Index IntervalTable::row(const std::string& at_station, const std::string& of_type, const std::string& of_family) const {
    for (std::size_t i = 0; i < station.size(); ++i)
        if (station[i] == at_station && joint_type[i] == of_type && (of_family.empty() || family[i] == of_family)) return static_cast<Eigen::Index>(i);
    return -1;
}

Eigen::Index IntervalTable::policy(const std::string& name) const {
    const auto at = std::find(policies.begin(), policies.end(), name);
    if (at == policies.end()) throw_value_error("policy", "one of the policies of the table", "\"" + name + "\"", "nearest: " + nearest_name(name, policies));
    return at - policies.begin();
}

IntervalTable interval_table(const IntervalTableOptions& options) {
    check_options(options);
    const UnitLife life(options);
    const std::vector<IntervalCell> cells = interval_cells(options);
    IntervalTable table;
    table.cost_unit = options.failure_cost.empty() ? "h" : "";
    table.years = options.years;
    table.layers = options.layers;
    table.policies = policy_names;
    table.intervals = Eigen::Map<const Column>(grid_days, grid_size);
    size_table(table, static_cast<Eigen::Index>(cells.size()));
    for (std::size_t i = 0; i < cells.size(); ++i) describe(cells[i], life, table, static_cast<Eigen::Index>(i));
    ProgressReporter reporter(options.watch, "simulating years");
    parallel_for(
        cells.size(), options.threads, [&](std::size_t i) { fill_row(cells[i], life, options, table, static_cast<Eigen::Index>(i)); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(cells.size())); });
    return table;
}

}  // namespace libseal
