#pragma once
// Expected grade over many lives at once: the grade is straight in the worn share between its cuts.

#include <algorithm>

#include "libseal/forecast/belief.hpp"

namespace libseal::detail {

/// Sum of weight times grade (at most `worst`) over lives in rising order, at one age; r = age / life.
///
/// @param weight, rate  Running sums of the weights, and of weight / life, from 0: one more than lives.
/// @param lives_beyond  r -> how many lives are so short that they have reached r.
template <class LivesBeyond>
double grade_sum(const GradeScale& scale, double worst, double age, const Column& weight, const Column& rate,
                 const LivesBeyond& lives_beyond) {
    double from_r = 0, from_grade = 0, total = 0;
    Eigen::Index end = weight.size() - 1;
    const auto add_piece = [&](double to_r, double to_grade) {
        const Eigen::Index first = std::min<Eigen::Index>(end, lives_beyond(to_r));
        const double slope = (to_grade - from_grade) / (to_r - from_r);
        total += (from_grade - slope * from_r) * (weight[end] - weight[first]) + slope * age * (rate[end] - rate[first]);
        end = first;
        from_r = to_r;
        from_grade = to_grade;
    };
    for (std::size_t k = 0; k < scale.cuts.size(); ++k) add_piece(scale.cuts[k], static_cast<double>(k) + 0.5);
    const double last = scale.cuts.back() - *(scale.cuts.end() - 2);
    if (from_grade < worst) add_piece(from_r + (worst - from_grade) * last, worst);
    return total + worst * weight[end];
}

}  // namespace libseal::detail
