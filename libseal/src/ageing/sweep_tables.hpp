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

    /// Numbers of one point in work, with room for all terms.
    SweepWork work() const;
    bool within(const double* point) const;
    /// @param place  Of the point in messages. @throws ValueError  naming the first value outside its range.
    void check(const double* point, const std::string& place) const;
    std::array<ClockTerms, 12> months(const double* point, SweepWork& work) const;
    /// The same by the hours.
    std::array<ClockTerms, 12> exact_months(const double* point) const;
    /// d(rate of the year) / d parameter, one a parameter. @return  The rate of the year.
    double slopes(const double* point, SweepWork& work, double* by_parameter) const;
    /// Mean over the year. [yr/yr]
    static double of_year(const std::array<ClockTerms, 12>& months);

private:
    /// Parts of a rate in the order of ClockTerms.
    using Parts = std::array<double, 3>;
    struct Term {
        std::size_t part;
        SweepTerm series;
    };
    void make(int more_nodes);
    void check_series();
    /// @throws ValueError  if they cannot sum to 1.
    Parts weights(const double* point) const;

    std::shared_ptr<const SweptLayer> layer_;
    std::vector<SweptRange> ranges_;
    std::vector<SweptParameter> parameters_;
    std::array<int, 3> weight_parameter_{-1, -1, -1};
    Parts base_weights_{};
    std::vector<Term> terms_;
    SweepError error_;
};

}  // namespace libseal::detail
