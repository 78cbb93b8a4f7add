#pragma once
// How a layer looks: a process of its own that shares only a part of the joint's effects with how it holds.

#include <vector>

#include "libseal/forecast/belief.hpp"

namespace libseal::detail {

/// How a layer looks, beside how it holds.
struct AppearanceModel {
    /// Fills `worn`, when the rest stands.
    void ready(const LifePrior& prior);

    GradeScale scale;         ///< cuts of the appearance, grade 2 at 1
    double effect = 0.5;      ///< part of s that appearance has in common with bond [-]
    double log_sd = 0.35;
    Eigen::ArrayXXd worn;     ///< worn share at the age of the median life, per (node of ln(life), node of s)
};

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

/// All lives of an appearance, relative to their median, in rising order; the same for every layer.
class AppearanceLives {
public:
    AppearanceLives(const AppearanceModel& model, const LifePrior& prior);

private:
    friend class UnseenAppearance;
    struct Point {
        double life;    ///< [-]
        double weight;  ///< of the node of ln(life) [-]
        int effect;     ///< node of s
    };
    GradeScale scale_;
    std::vector<Point> points_;
};

/// Expected appearance of layers of which nothing was seen: running sums over all lives. The lives must outlive it.
class UnseenAppearance {
public:
    /// @param effect  Weights of s, summing to 1.
    UnseenAppearance(const AppearanceLives& lives, const Column& effect);
    /// Expected grade at an age over the median life, 0 to 2. [-]
    double expected_grade(double age_over_life) const;

private:
    const AppearanceLives* lives_;
    Column weight_, rate_;  ///< running sums of the weights, and of weight / life, from 0
};

}  // namespace libseal::detail
