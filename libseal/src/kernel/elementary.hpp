#pragma once
// Exponentials and logarithms of whole columns.

#include <cstddef>

namespace libseal::kernel {

using ColumnFunction = void (*)(std::size_t count, const double* x, double* y);

struct ElementaryKernels {
    ColumnFunction exponential = nullptr;  ///< x beyond -708 to 709 counts as there; NaN stays NaN
    ColumnFunction logarithm = nullptr;    ///< x in the range of normal doubles above 0
};

}  // namespace libseal::kernel
