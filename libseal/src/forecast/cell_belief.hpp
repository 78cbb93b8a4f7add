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

/// Where the cells of a belief read a `CellSlices` when a layer has an age.
struct SlicePlace {
    /// @param log_age  ln(age / scale).
    explicit SlicePlace(double log_age);
    std::size_t at = 0;  ///< of the first cell
    bool odd = false;    ///< between an odd half cell and the next even one
    double part = 0;     ///< of the way between the two, the same for all cells
};

/// A function of ln r on half cells, laid out so that the cells of a belief read it in a row: as life grows by a cell, ln r
/// falls by one.
class CellSlices {
public:
    /// @param at  ln r -> value; beyond -6 and 2 it stays as it is there.
    template <class Function>
    explicit CellSlices(const Function& at) : even_(length, 0), odd_(length, 0) {
        for (std::size_t m = 0; m < length; ++m) {
            const int k = 2 * (top - static_cast<int>(m));
            even_[m] = at(node(k));
            odd_[m] = at(node(k + 1));
            if (flat_ == m && even_[m] == open() && odd_[m] == open()) ++flat_;
        }
    }
    /// @param share  What all is multiplied by.
    kernel::CellTable table(const SlicePlace& place, double share = 1) const {
        const double *even = even_.data() + place.at, *odd = odd_.data() + place.at;
        return {place.odd ? odd : even, place.odd ? even - 1 : odd, share * (1 - place.part), share * place.part};
    }
    /// So many of the first cells, the shortest lives, surely read the value of a layer long open.
    std::size_t flat(const SlicePlace& place) const { return flat_ > place.at ? flat_ - place.at : 0; }
    double open() const { return even_.front(); }

    static constexpr int nodes = 1600, top = 1802;  ///< half cells from ln r = -6 up; place of ln r = -6 in the columns
private:
    static constexpr std::size_t length = 2560;     ///< enough for any place
    static double node(int k);
    std::vector<double> even_, odd_;
    std::size_t flat_ = 0;  ///< nodes from the first on that hold one value
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

/// Takes in looks, then sums once for all questions.
///
/// Of lives so short that every look would have found them open, all looks say the same: they are their prior times one number,
/// and no pass goes over them.
class CellBelief {
public:
    explicit CellBelief(const LifePrior& prior);
    /// Of another layer, that nobody looked at; ask nothing before it is seen and summed.
    void begin();
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
    void weigh();
    struct Block {
        const double* cells;
        double share;  ///< of their numbers
    };
    Block block(std::size_t b) const;

    std::size_t count_;                  ///< cells of the grid
    double cells_per_log_, first_edge_;  ///< where ln(life / scale) lies in it
    std::vector<double> prior_, cells_;  ///< in whole blocks, any scale
    std::vector<double> prior_running_;  ///< sums of the blocks before each block, and of all
    std::vector<kernel::CellLook> power_, looks_;  ///< of a weight other than 1, and of 1 as the kernel wants them
    std::size_t plain_ = 0;              ///< of `looks_` without early defects
    std::size_t weighed_from_ = 0;       ///< whole blocks before it are `open_` times their prior
    double open_ = 1;                    ///< all looks' chance of a layer long open
    std::vector<double> blocks_, running_;
    double total_ = 1;
};

}  // namespace libseal::detail
