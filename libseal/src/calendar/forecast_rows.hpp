#pragma once
// The rows of one coach out of a forecast of many, without a walk over all of them.

#include <string>
#include <unordered_map>
#include <vector>

#include "libseal/forecast/forecast.hpp"

namespace libseal::detail {

class ForecastRows {
public:
    explicit ForecastRows(const Forecast& forecast);
    /// A forecast of that coach alone, with the columns that calendars use; without rows if it has none.
    Forecast of(const std::string& coach) const;

private:
    const Forecast& forecast_;
    std::unordered_map<std::string, std::vector<Eigen::Index>> rows_;
};

}  // namespace libseal::detail
