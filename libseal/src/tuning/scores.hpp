#pragma once
// Scores, reliability and ranks of forecasts that came true or not.

#include "libseal/tuning/back_test.hpp"

namespace libseal::detail {

/// @param below  Chance of a grade better than the one reported, per look [-].
CatalogueScore score_of(const BackTest& test, const Column& below, Eigen::Index column, int bins);

/// Mean over looks and its standard error when coaches are independent of each other and looks of a coach are not.
struct ClusteredMean {
    double mean = 0;
    double error = 0;
};
ClusteredMean clustered_mean(const Column& values, const std::vector<std::string>& cluster);

}  // namespace libseal::detail
