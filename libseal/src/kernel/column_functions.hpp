#pragma once
// The elementary kernels for columns of Eigen: one value, or an expression, to a column.

#include "kernel/kernels.hpp"
#include "libseal/core/columns.hpp"

namespace libseal::detail {

/// e^x of each value, into what holds x. x beyond -708 to 709 counts as there.
inline void exponentiate(Eigen::Ref<Column> x) {
    kernel::kernels().elementary.exponential(static_cast<std::size_t>(x.size()), x.data(), x.data());
}
inline Column exponential(Column x) {
    exponentiate(x);
    return x;
}
/// Logarithm of each value, which must be above 0 and no denormal.
inline Column logarithm(Column x) {
    kernel::kernels().elementary.logarithm(static_cast<std::size_t>(x.size()), x.data(), x.data());
    return x;
}
/// x^exponent of each value above 0.
inline Column power(Column x, double exponent) { return exponential(exponent * logarithm(std::move(x))); }

}  // namespace libseal::detail
