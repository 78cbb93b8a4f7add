#pragma once
// Any life, as far as intervals need it: a Weibull or lognormal life, a formula of your own, or a table.

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "libseal/core/columns.hpp"
#include "libseal/life/lognormal.hpp"
#include "libseal/life/weibull.hpp"

namespace libseal {

namespace detail {
struct LawBody;
}

/// A positive time to failure, given in any way. Times are in any one unit; all results are in the same.
///
/// @threads  Read it from as many threads as you like, if the functions that it was made from allow it.
class LifeLaw {
public:
    LifeLaw(const Weibull& life);    // NOLINT(google-explicit-constructor): these are lives already
    LifeLaw(const Lognormal& life);  // NOLINT(google-explicit-constructor)
    /// @param survival  Probability of no failure [-] up to t [any unit of time] >= 0: 1 at 0, falling to 0.
    /// @param density   Its falling rate [1/unit of time]; without it differences of `survival` are taken, which has to be smooth then.
    /// @throws ValueError  it leaves 0 to 1, rises, or does not fall to 0.
    explicit LifeLaw(std::function<double(double)> survival, std::function<double(double)> density = nullptr);

    /// Life without memory. [unit of time] @param mean  [unit of time], > 0
    static LifeLaw exponential(double mean);
    /// Evenly likely between. [unit of time] @param low  [unit of time], >= 0  @param high  [unit of time], > low
    static LifeLaw uniform(double low, double high);
    /// Survival at some ages, straight between them and 1 at 0. What is left after the last age fails at the mean hazard
    /// of the later half of the table (of all of it, if nothing failed there). [unit of time]
    /// @param age  Ascending. [unit of time], > 0  @param survival  As many. [-], 0 to 1, not rising, below 1 at the end
    /// @throws ValueError  with the row that is wrong.
    static LifeLaw table(ConstColumn age, ConstColumn survival);

    /// Probability of no failure up to t. [-], 1 for t <= 0  @param t  [unit of time]
    double survival(double t) const;
    /// Density of the time to failure. 0 for t < 0 [1/unit of time]  @param t  [unit of time]
    double density(double t) const;
    /// Rate of failure among those still sound; infinite where none is. [1/unit of time]  @param t  [unit of time]
    double hazard(double t) const;
    /// Mean time lived up to t: the area under the survival. 0 for t <= 0 [unit of time]  @param t  [unit of time]
    double area(double t) const;
    /// Mean time to failure. [unit of time]
    double mean() const;
    /// Age by which a share p has failed. [unit of time]  @param p  [-], in (0, 1)
    double quantile(double p) const;
    /// Age that no more than one in 10^12 outlives. [unit of time]
    double horizon() const;
    /// False for tables and uniform lives, whose density jumps.
    bool smooth() const;

    /// Numbers that the life is made of: scale and shape, median and sigma, mean; a formula or table has `stretch`, 1.
    std::vector<std::string> parameter_names() const;
    /// [unit of the parameter]
    double parameter(const std::string& name) const;
    /// The same kind of life with another number. [unit of the parameter]
    /// @param value  [unit of the parameter]
    /// @throws ValueError  unknown name, or a number that the life refuses.
    LifeLaw with_parameter(const std::string& name, double value) const;

private:
    explicit LifeLaw(std::shared_ptr<const detail::LawBody> body) : body_(std::move(body)) {}
    std::shared_ptr<const detail::LawBody> body_;
};

}  // namespace libseal
