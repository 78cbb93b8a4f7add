#pragma once
// What the cycles of a history add up to under a power law, without a table of them: for many long histories.

#include "libseal/ageing/rainflow.hpp"

namespace libseal {

/// Histories of the same length, one a row.
using SeriesRows = Eigen::Array<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using ConstSeriesRows = Eigen::Ref<const SeriesRows>;

/// Sums of count * range^exponent over the cycles of `rainflow`, open ranges counted half. A power law of fatigue
/// makes of them Miner's sum: times 1 / (cycles to failure at a range of 1). The same as `range_moment` of the table,
/// but for rounding, at a small part of its time.
///
/// @param series     [any unit], any length; fewer than two different values give sums of 0.
/// @param exponents  [-], each finite and > 0, whole or not.
/// @return           One sum an exponent [unit of the series ^ exponent]. Same bits on every processor.
/// @throws ValueError  naming the first value or exponent that is out of range.
/// @threads pure.
/// @accuracy  Against `range_moment` within 1e-12 of the sum for exponents up to 20.
/// @source  ASTM E1049-85 (2017), section 5.4.4; Miner 1945.
Column rainflow_moments(ConstColumn series, ConstColumn exponents);

/// The same sums over the cycles of `rainflow_repeating`: of a history, such as a typical year, that repeats for ever. [unit of the series ^ exponent]
/// @param series  [any unit]  @param exponents  [-], each finite and > 0
/// @throws ValueError  naming the first value or exponent that is out of range.
/// @threads pure.
/// @source  ASTM E1049-85 (2017), section 5.4.5.
Column rainflow_moments_repeating(ConstColumn series, ConstColumn exponents);

/// The sums of many histories of the same length at once.
///
/// @param rows       One history a row.
/// @param exponents  [-], each finite and > 0.
/// @param repeating  Whether each history repeats for ever.
/// @param threads    0: one per processor; no result depends on it.
/// @return           One row a history, one column an exponent.
/// @throws ValueError  naming the first value or exponent that is out of range.
/// @threads pure; runs on several threads of its own.
/// @source  ASTM E1049-85 (2017), sections 5.4.4 and 5.4.5.
SeriesRows rainflow_moments_of_rows(ConstSeriesRows rows, ConstColumn exponents, bool repeating = false, int threads = 0);

}  // namespace libseal
