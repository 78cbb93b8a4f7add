#pragma once
// The inside of a sweep: a layer and the series of its terms.

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "ageing/sweep_term.hpp"

namespace libseal::detail {

class SweepTables {
public:
    /// @throws ValueError  if the tolerance was not reached.
    SweepTables(std::shared_ptr<const SweptLayer> layer, const std::vector<SweepRange>& ranges);

    const std::vector<SweptParameter>& parameters() const { return parameters_; }
    const SweepError& error() const { return error_; }
    const SweptLayer& layer() const { return *layer_; }

    /// Numbers of one point, or of sixteen, in work, with room for all terms.
    SweepWork work() const;
    std::unique_ptr<SweepBlock> block() const;
    bool within(const double* point) const;
    /// @param place  Of the point in messages. @throws ValueError  naming the first value outside its range.
    void check(const double* point, const std::string& place) const;
    std::array<ClockTerms, 12> months(const double* point, SweepWork& work) const;
    /// Mean over the year. [yr/yr]
    double rate(const double* point, SweepWork& work) const;
    /// The same by the hours.
    std::array<ClockTerms, 12> exact_months(const double* point) const;
    /// Sixteen points at once: parameters x lanes. Years in lanes.
    void rates(const double* points, SweepBlock& block, double* years) const;
    /// Months x lanes.
    void month_rates(const double* points, SweepBlock& block, double* months) const;
    /// d ln(year) / d parameter: parameters x lanes.
    void slopes(const double* points, SweepBlock& block, double* slopes) const;

private:
    /// Parts of a rate in the order of ClockTerms.
    using Parts = std::array<double, 3>;
    struct Term {
        std::size_t part;
        SweepTerm series;
    };
    void make(int more_nodes);
    std::size_t room() const;
    /// Of the parts whose weight is not swept: what a weight takes comes from them.
    double years_of_others(const double (&years)[3][points_at_once], std::size_t lane) const;
    void check_series();
    /// @throws ValueError  if they cannot sum to 1.
    Parts weights(const double* point) const;
    /// The same of sixteen points.
    std::array<Parts, points_at_once> weights_of(const double* points) const;

    std::shared_ptr<const SweptLayer> layer_;
    std::vector<SweptRange> ranges_;
    std::vector<SweptParameter> parameters_;
    std::array<int, 3> weight_parameter_{-1, -1, -1};
    Parts base_weights_{};
    std::vector<Term> terms_;
    SweepError error_;
};

}  // namespace libseal::detail
