#pragma once
// The belief of a layer with one known installation day, in room that is used again for the next layer.

#include <array>
#include <map>
#include <memory>
#include <vector>

#include "core/recent.hpp"
#include "kernel/life_cells.hpp"
#include "libseal/forecast/belief.hpp"

namespace libseal::detail {

/// A function of ln r on half cells, laid out so that the cells of a belief read it in a row: as life grows by a cell, ln r
/// falls by one.
class CellSlices {
public:
    /// @param at  ln r -> value; beyond -6 and 2 it stays as it is there.
    template <class Function>
    explicit CellSlices(const Function& at) : even_(length, 0), odd_(length, 0) {
        for (int m = 0; m < length; ++m) {
            even_[static_cast<std::size_t>(m)] = at(node(2 * (top - m)));
            odd_[static_cast<std::size_t>(m)] = at(node(2 * (top - m) + 1));
        }
    }
    /// @param log_age  ln(age / scale). @param part  Of the way from a to b, the same for all cells.
    kernel::CellTable slice(double log_age, double& part) const;

private:
    static constexpr int nodes = 1600, top = 1802, length = 2560;  // of half cells from ln r = -6; enough for any clamped age
    static double node(int k);
    std::vector<double> even_, odd_;
};

/// What one look says of each cell, without and with a workmanship defect. The same chances as `LookTable`.
struct CellLookTables {
    CellLookTables(Look look, const GradeScale& scale);
    CellSlices wear, workmanship;
};

/// Tables of all looks asked for. @threads  safe.
class CellLooks {
public:
    explicit CellLooks(const GradeScale& scale) : scale_(scale) {}
    std::shared_ptr<const CellLookTables> tables(int lowest, int highest, double noise);

private:
    const GradeScale& scale_;
    Recent<std::array<double, 3>, CellLookTables> kept_{64};
};

class CellBelief {
public:
    explicit CellBelief(const LifePrior& prior);
    /// Of another layer, that nobody looked at; ask nothing before it is seen and summed.
    void begin() { seen_ = false; }
    /// @param log_age  ln(effective age / scale) at the look.
    void see(const CellLookTables& tables, double log_age, double early, double weight);
    /// After the last look, before any question.
    void sum();
    /// Probability that ln(life / scale) is below. [-]
    double below(double log_life) const;
    /// Where `below` reaches p.
    double quantile(double p) const;
    /// Mean over lives of a function of ln r at an age.
    double mean(const CellSlices& function, double log_age) const;

private:
    double before(std::size_t cell) const;

    std::size_t count_;                  ///< cells of the grid
    std::vector<double> prior_, cells_;  ///< in whole blocks of 16, any scale
    bool seen_ = false;
    std::vector<double> blocks_, running_;
    double total_ = 1;
};

}  // namespace libseal::detail
