#pragma once
// ln likelihood of many records of one kind with first and second derivatives along mu and ln sigma.

#include <cstddef>

namespace libseal::kernel {

enum class StandardLife { extreme_value, logistic };
enum class LifeKind { exact, right, left, interval };

/// Records of one kind, one value a record each. All times as logarithms.
struct LifeRows {
    StandardLife life = StandardLife::extreme_value;
    LifeKind kind = LifeKind::right;
    std::size_t count = 0;
    double log_sigma = 0;
    const double* mu = nullptr;
    const double* time = nullptr;    ///< of the end of an interval: its lower one; else the only one
    const double* width = nullptr;   ///< ln upper - ln lower of intervals; unread for other kinds
    const double* entry = nullptr;   ///< null: watched from the beginning
    const double* weight = nullptr;
    /// Of each record, times its weight: ln likelihood; its derivatives by mu and ln sigma; by mu mu, mu sigma, sigma sigma.
    double* out[6] = {};
};

/// @return  False if a record lies so far out (300 times the spread) that these formulas lose digits: nothing then counts.
using LifeRowsKernel = bool (*)(const LifeRows& rows);

}  // namespace libseal::kernel
