#pragma once
// Effective age of a layer over calendar time, through all places where its coach stands.

#include <array>
#include <vector>

#include "libseal/ageing/clock.hpp"
#include "libseal/coach/stay.hpp"

namespace libseal {

/// A run of days in one stay and one calendar month.
struct MonthOfStay {
    Date from{};
    Date to{};       ///< day after the last
    int stay = 0;    ///< index into the itinerary
    int year = 0;    ///< of the Gregorian calendar
    int month = 0;   ///< 1 to 12
};

/// Cuts [from, to) by months and stays.
///
/// Before the first stay the first one holds. After the last one it goes on, unless the itinerary spans a year or
/// more: then its last whole years repeat, so that a summer and winter round goes on.
std::vector<MonthOfStay> months_of_itinerary(const Itinerary& itinerary, Date from, Date to);

/// One year of months after the other, for ever: the age from any 1 January on in closed form.
class SteadyYears {
public:
    SteadyYears() = default;
    /// @param rate  Of each calendar month [yr/yr].
    SteadyYears(const std::array<ClockTerms, 12>& rate, int first_year);

    /// Terms gathered since 1 January of the first year. [yr]  @param day  [d since 1970-01-01]
    ClockTerms at(double day) const;
    /// All of them together. [yr]  @param day  [d since 1970-01-01]
    double total_at(double day) const;
    /// First instant at which their total reaches `age`; some month must age. [d since 1970-01-01]
    /// @param age  [yr]
    double instant_of(double age) const;

private:
    /// Calls sum(years, leap days, months before, daily rate's month, days into it): the age of a day is put together of them.
    template <class Sum>
    auto put_together(double day, const Sum& sum) const;
    double start_of_year(int year) const;
    std::array<ClockTerms, 12> daily_{};     ///< [yr/d]
    std::array<ClockTerms, 13> before_{};    ///< to the start of each month of a common year, and to its end [yr]
    std::array<double, 12> total_daily_{};   ///< all terms together [yr/d]
    std::array<double, 13> total_before_{};  ///< all terms together [yr]
    int first_year_ = 1970;
    int first_leap_days_ = 0;                ///< 29 Februaries before it
};

/// Effective age as a function of the day: piecewise linear, through days where they are known and through months
/// elsewhere; before its start and after its end it goes on at the rate of its first and last year.
///
/// Days may be fractions, in days since 1970-01-01; a Date is its morning.
/// @threads  Read it from as many threads as you like.
class AgeTrack {
public:
    /// @param months   From `months_of_itinerary`, at least one.
    /// @param clocks   One clock per stay.
    /// @param factors  One multiplier per stay, as of movement [-], >= 0; empty: 1 everywhere.
    /// @throws ValueError  no months, a stay without clock or factor, a factor below 0 or not finite.
    AgeTrack(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clocks,
             const std::vector<double>& factors = {});

    /// Terms gathered from the start of the track to the morning of `day` (negative before the start). [yr]
    /// @param day  [d since 1970-01-01]
    ClockTerms at(Date day) const { return at(static_cast<double>(day.days)); }
    ClockTerms at(double day) const;
    /// All terms together; never falling. [yr]  @param day  [d since 1970-01-01]
    double total_at(double day) const;
    /// Age gathered between two instants. [yr]  @param installed, day  [d since 1970-01-01]
    double age_between(Date installed, Date day) const { return age_between(double(installed.days), double(day.days)); }
    double age_between(double installed, double day) const { return total_at(day) - total_at(installed); }

    /// First day on whose morning the age since `installed` reaches `age`: `installed` itself for ages of 0 and below,
    /// at most 1000 years later. @param age  [yr]
    Date day_of_age(double age, Date installed) const { return day_of_total(age, installed, total_at(installed.days)); }
    /// The same where `total_at(installed)` is known. @param age, installed_total  [yr]
    Date day_of_age(double age, Date installed, double installed_total) const { return day_of_total(age, installed, installed_total); }
    /// The same for several ages. @param ages  [yr]
    std::vector<Date> days_of_ages(const std::vector<double>& ages, Date installed) const;
    /// The same to the fraction of a day; undoes `age_between`. [d since 1970-01-01]
    /// @param age  [yr]  @param installed  [d since 1970-01-01]
    double instant_of_age(double age, double installed) const { return instant_of_total(age, installed, total_at(installed)); }

private:
    Date day_of_total(double age, Date installed, double installed_total) const;
    double instant_of_total(double age, double installed, double installed_total) const;
    void add(Date to, const ClockTerms& rate);
    void add_stretch(Date to, const ClockYear& clock, int month, double factor);

    bool is_steady_after() const { return end_ > days_.back(); }

    std::vector<std::int32_t> days_;  ///< ends of the pieces, rising; up to where one clock goes on and nothing is dated
    std::vector<ClockTerms> sums_;    ///< [yr]
    std::vector<double> totals_;      ///< never falling [yr]
    std::int32_t end_ = 0;            ///< of the track, from the last piece on in steady years
    SteadyYears steady_;
    ClockTerms steady_start_;         ///< where the steady years stand at the last piece [yr]
    double steady_start_total_ = 0;   ///< all terms together [yr]
    ClockTerms end_sum_;              ///< at the end of the track [yr]
    double end_total_ = 0;            ///< all terms together [yr]
    ClockTerms first_rate_;           ///< of the first year [yr/d]
    ClockTerms last_rate_;            ///< of the last year [yr/d]
};

/// Terms that a layer gathers from `installed` to `day` when its clock changes on `switch_day`: a bedding that ages under
/// a sound cap (`before`) and as an exposed one (`after`) once the cap has failed. A change before `installed` or after
/// `day` is none. [yr]
ClockTerms switched_age(const AgeTrack& before, const AgeTrack& after, Date installed, Date switch_day, Date day);

}  // namespace libseal
