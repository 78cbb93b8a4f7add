#pragma once
// A belief about one life, cell by cell of its logarithm: weighing by looks, sums.

#include <cstddef>

namespace libseal::kernel {

/// Numbers per cell that are read between two tables: a + part (b - a).
struct CellTable {
    const double* a = nullptr;
    const double* b = nullptr;
};

/// Chance of a look per cell: (1 - early) wear + early workmanship, at least `least`, to the power of `weight`.
struct CellLook {
    CellTable wear, workmanship;  ///< the second is unread where early is 0
    double part = 0;
    double early = 0;
    double weight = 1;
    double least = 0;
};

/// Loops over cells; their number is a whole number of blocks of 16.
struct LifeCellKernels {
    /// to[i] = from[i] times the chance; both may be the same.
    void (*weigh)(const CellLook& look, std::size_t count, const double* from, double* to) = nullptr;
    /// Sum of each block of 16 cells.
    void (*block_sums)(const double* cells, std::size_t count, double* sums) = nullptr;
    /// Sum of cells times table.
    double (*mean)(const CellTable& table, double part, const double* cells, std::size_t count) = nullptr;
};

}  // namespace libseal::kernel
