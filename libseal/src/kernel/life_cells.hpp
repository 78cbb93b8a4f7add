#pragma once
// A belief about one life, cell by cell of its logarithm: weighing by looks, sums.

#include <cstddef>

namespace libseal::kernel {

/// Cells are worked on, and summed, in whole blocks.
constexpr std::size_t cell_block = 16;
/// Looks that one pass takes at most.
constexpr std::size_t looks_a_pass = 3;

/// Numbers per cell that are mixed of two tables: share_a a + share_b b.
struct CellTable {
    const double* a = nullptr;
    const double* b = nullptr;
    double share_a = 1, share_b = 0;
};

/// Chance of a look per cell: (wear + workmanship)^power.
struct CellLook {
    CellTable wear, workmanship;  ///< the second is null where no early defect can be there
    double power = 1;
};

/// Loops over cells [first, end), whole blocks. Columns begin at cell 0.
struct LifeCellKernels {
    /// to = from times the chances of up to `looks_a_pass` looks of power 1, those with early defects last; sums[block] = its sum. `from` and `to`
    /// may be the same.
    void (*weigh)(const CellLook* looks, std::size_t plain, std::size_t early, std::size_t first, std::size_t end, const double* from, double* to,
                  double* sums) = nullptr;
    /// The same with one look of any power, and without sums.
    void (*weigh_power)(const CellLook& look, std::size_t first, std::size_t end, const double* from, double* to) = nullptr;
    /// Sum of cells times table.
    double (*mean)(const CellTable& table, std::size_t first, std::size_t end, const double* cells) = nullptr;
};

}  // namespace libseal::kernel
