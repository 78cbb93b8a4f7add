#pragma once
// How a layer looks: a process of its own that shares only a part of the joint's effects with how it holds.

#include "forecast/layers.hpp"

namespace libseal::detail {

/// Belief of a layer's appearance: r = age exp(effect s) / life, life lognormal, first ageing seen at the first cut.
class AppearanceBelief {
public:
    /// @param life  Median years of the appearance clock until grade 2.
    AppearanceBelief(const AppearanceModel& model, const LifePrior& prior, double life);
    void see(const Look& look, double age);
    /// Likelihood of the looks as a function of s, largest value 1.
    Column effect_likelihood() const;
    /// Expected grade of appearance at an age, 0 to 2, with weights of s that hold these looks already. [-]
    double expected_grade(double age, const Column& effect) const;

private:
    double grade(double age, Eigen::Index z, int k) const;
    const AppearanceModel* model_;
    const LifePrior* prior_;
    double life_;
    Eigen::ArrayXXd seen_;  ///< chance of the looks per (node of ln(life), node of s), with the weights of the life
};

}  // namespace libseal::detail
