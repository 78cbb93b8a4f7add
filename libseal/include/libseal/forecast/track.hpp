#pragma once
// Effective age of a layer over calendar time, through all places where its coach stands.

#include <vector>

#include "libseal/ageing/clock.hpp"
#include "libseal/coach/stay.hpp"

namespace libseal {

/// A run of days in one stay and one calendar month.
struct MonthOfStay {
    Date from{};
    Date to{};       ///< day after the last
    int stay = 0;    ///< index into the itinerary
    int year = 0;
    int month = 0;   ///< 1 to 12
};

/// Cuts [from, to) by months and stays.
///
/// Before the first stay the first one holds. After the last one it goes on, unless the itinerary spans a year or
/// more: then its last whole years repeat, so that a summer and winter round goes on.
std::vector<MonthOfStay> months_of_itinerary(const Itinerary& itinerary, Date from, Date to);

/// Effective age as a function of the day: piecewise linear, going on at the rate of its last year.
class AgeTrack {
public:
    /// @param clocks  One clock per stay.
    AgeTrack(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks);

    /// Terms gathered from the start of the track to the morning of `day` (negative before the start). [yr]
    ClockTerms at(Date day) const;
    double age_between(Date installed, Date day) const { return at(day).total() - at(installed).total(); }

private:
    std::vector<std::int32_t> days_;
    std::vector<ClockTerms> sums_;
    ClockTerms first_rate_;  ///< of the first year [1/d]
    ClockTerms last_rate_;   ///< of the last year [1/d]
};

}  // namespace libseal
