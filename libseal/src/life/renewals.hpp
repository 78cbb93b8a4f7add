#pragma once
// The renewal function on panels of time.

#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/life/life_law.hpp"

namespace libseal::detail {

/// Expected renewals M(t) and their rate m(t) up to a time.
///
/// u(t) = g(t) + integral of u(t - x) f(x) dx is solved for both (g = F gives M, g = f gives m). Lives with a density:
/// polynomials on panels that double from zero, matched at the Gauss points of each panel. Others: steps of distribution
/// (Riemann-Stieltjes) with two step widths, from which the error of second order is taken out.
class Renewals {
public:
    /// @throws ValueError  the time needs more than 20000 steps for so narrow a life.
    Renewals(const LifeLaw& life, double until);
    /// Latest time that the steps hold.
    static double longest(const LifeLaw& life);
    double expected(double t) const { return value(t, count_); }
    double rate(double t) const { return value(t, rate_); }

private:
    void by_panels(const LifeLaw& life, double until, double width);
    void by_steps(const LifeLaw& life, double until, double width);
    double value(double t, const std::vector<double>& nodes) const;

    bool panels_ = true;
    std::vector<double> edge_;   ///< edges of panels, or times of steps
    std::vector<double> count_;  ///< M at the nodes: `order` a panel, or one a step
    std::vector<double> rate_;   ///< m likewise
};

}  // namespace libseal::detail
