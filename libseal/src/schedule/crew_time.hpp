#pragma once
// Who is free when: the working time of people together, less what they do already.

#include <map>
#include <vector>

#include "libseal/schedule/time.hpp"

namespace libseal::detail {

/// A place found for a step.
struct Slot {
    Minute start = 0;
    Minute end = 0;
    std::vector<TimeSpan> pieces;
    std::vector<int> people;
};

class CrewTime {
public:
    explicit CrewTime(const Shop& shop) : shop_(shop), busy_(shop.people.size()) {}

    /// Earliest slot of `work` minutes for `people` at once, not before t; ties by the order of people.
    /// An unbroken step stays within one stretch of work if any stretch is long enough for it.
    Slot find(Minute t, std::int64_t work, int people, bool unbroken);
    /// The same as if nobody had anything else to do: no schedule can be earlier.
    Slot find_free(Minute t, std::int64_t work, int people, bool unbroken);
    void book(const Slot& slot, int step);
    /// Step that person p was last at before t, or -1.
    int last_step(int p, Minute t) const;

private:
    struct Booking {
        TimeSpan span;
        int step;
    };
    Slot find_for(const std::vector<int>& people, Minute t, std::int64_t work, bool unbroken, bool heed_bookings);
    Slot best_of(Minute t, std::int64_t work, int people, bool unbroken, bool heed_bookings);
    /// Stretches in which all of them work on a day, shifts and breaks heeded.
    const std::vector<TimeSpan>& common(const std::vector<int>& people, Date day);
    bool free(const std::vector<int>& people, TimeSpan span, Minute& until) const;

    const Shop& shop_;
    std::vector<std::vector<Booking>> busy_;  ///< per person, in order of time
    std::map<std::pair<std::vector<int>, std::int32_t>, std::vector<TimeSpan>> common_;
    std::map<int, std::vector<std::vector<int>>> teams_;
};

}  // namespace libseal::detail
