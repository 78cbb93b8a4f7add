#pragma once
// From hours to months and days: what every clock of a site shares, and what one clock gathers.

#include <array>
#include <cstdint>
#include <vector>

#include "libseal/ageing/clock.hpp"

namespace libseal::detail {

/// The three raw terms, hour by hour. NaN where they are not known.
struct RateHours {
    Column light, heat, moisture;
};

/// Where the intervals of a weather lie in the calendar of its site, worked out once for all its clocks.
struct HourPlaces {
    explicit HourPlaces(const Weather& weather);
    std::vector<std::uint8_t> month;  ///< calendar month of each interval's middle, 0 to 11
    std::vector<std::int64_t> hour;   ///< local hour since 1970-01-01T00 in which each interval begins to count
    int hours_each = 1;               ///< hours that an interval covers, for steps of more than an hour
    double weight = 1;                ///< part of an hour that an interval fills [h]
    Date first{};                     ///< first and last local day touched
    Date last{};
};

/// Of the calendar months, in the mean of four years; 365.25 in all. [d]
constexpr std::array<double, 12> month_days = {31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/// @throws ValueError  that says that a calendar month (0 to 11) of a weather has no known hour.
[[noreturn]] void throw_month(std::size_t month);

/// Gathers hours of one or more dated weathers into days. An hour belongs to the weather that was added first.
class DayGatherer {
public:
    /// Room for the days [first, last].
    DayGatherer(Date first, Date last);
    void add(const HourPlaces& places, const RateHours& rates);
    /// Days of which enough is known.
    DatedDays days() const;
    /// Means of the days that are known, by calendar month. @throws ValueError  if a month has none.
    static std::array<ClockTerms, 12> month_means(const DatedDays& days);

private:
    struct Hour {
        ClockTerms sum;
        double weight = 0;  ///< [h]
        int owner = 0;      ///< 0: nobody yet
    };
    Date first_;
    std::vector<Hour> hours_;
    int owners_ = 0;
};

}  // namespace libseal::detail
