#pragma once
// The work of all bookings as numbers: what the search works on.

#include <string>
#include <vector>

#include "libseal/schedule/schedule.hpp"
#include "schedule/shop_hours.hpp"

namespace libseal::detail {

/// A wait between two jobs.
struct Wait {
    int other = 0;        ///< the job at the other end
    Minute lag = 0;
    Minute longest = -1;  ///< -1 for none
    LagClock clock = LagClock::elapsed;
};

/// One step of one booking.
struct BookedStep {
    int booking = 0;
    int step = 0;
    Minute work = 0;                ///< 0 for marks in time
    bool unbroken = false;
    int reach = -1;                 ///< 0 ladder, 1 platform, -1 none
    int gate = 0;                   ///< number of ShopHours
    const std::vector<int>* teams = nullptr;
    Minute release = 0;             ///< not before
    Minute tail = 0;                ///< working minutes and waits of the longest way behind it, itself included
    int task = -1;                  ///< urgent task that it ends, index into Jobs::urgent; -1 for none
    StepState state = StepState::planned;
    bool known = false;             ///< in the running plan
    Minute start = 0, end = 0;      ///< there
    std::vector<int> people;        ///< there
    std::string side;               ///< where a ladder stands
};

/// One coach.
struct Guest {
    Minute arrival = 0, promised = 0, latest = 0;
    int bay = -1;                   ///< fixed, or -1
    int first = 0, last = 0;        ///< its jobs are [first, last)
    bool here = false;              ///< work on it has begun
    Minute begun = 0;
};

/// An urgent task: the day by which its last job must end.
struct Urgent {
    Minute due = 0;
    std::vector<int> jobs;
};

struct Jobs {
    std::vector<BookedStep> jobs;
    std::vector<std::vector<Wait>> before, after;  ///< by job
    std::vector<int> order;                        ///< a sequence that heeds all waits
    std::vector<Guest> guests;
    std::vector<Urgent> urgent;
    std::vector<int> bay_kind;                     ///< by bay, number of ShopHours
    std::vector<int> shelter;                      ///< by bay: 2 heated, 1 roofed, 0 in the open
    int reaches[2] = {0, 0};                       ///< ladder and platform sets
    Minute start = 0;
    Minute now = 0;
    bool running = false;                          ///< there is a running plan
    bool longest_waits = false;
};

/// @throws ValueError  bookings, options or running steps that cannot be.
Jobs jobs_of(const std::vector<Booking>& bookings, ShopHours& hours, Date start, const ScheduleOptions& options);

/// What no schedule can meet, in words, with ways out; empty if nothing was found.
struct Obstacles {
    int steps = 0;
    std::vector<std::string> words, ways;
};
Obstacles find_obstacles(const Jobs& jobs, const std::vector<Booking>& bookings, ShopHours& hours);

}  // namespace libseal::detail
