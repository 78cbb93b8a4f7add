#pragma once
// Contiguous columns of numbers, visible from NumPy without a copy.

#include <Eigen/Core>
#include <cstdint>

namespace libseal {

using Column = Eigen::ArrayXd;
using ConstColumn = Eigen::Ref<const Eigen::ArrayXd>;
using InstantColumn = Eigen::Array<std::int64_t, Eigen::Dynamic, 1>;
using ConstInstantColumn = Eigen::Ref<const InstantColumn>;

}  // namespace libseal
