#pragma once
// Working time of one person or shop over a stretch, with sums: questions cost a search, not a walk over days.

#include <cstdint>
#include <vector>

#include "libseal/schedule/time.hpp"

namespace libseal {

/// Working time as stretches in order with sums of minutes before each.
///
/// At the end of a stretch and the beginning of the next the same work is done: going forward work ends at the former, going
/// backward it begins at the latter.
/// @threads  Read it from as many threads as you like.
class WorkingTime {
public:
    /// @param spans  In order, apart, none empty. Touching ones are joined.
    /// @throws ValueError  unless they are.
    explicit WorkingTime(const std::vector<TimeSpan>& spans);
    /// A person's working time in [from, to). @throws ValueError  if from > to or more than 100 years apart.
    WorkingTime(const Shop& shop, const Person& person, Minute from, Minute to);

    /// The stretches.
    const std::vector<TimeSpan>& spans() const { return spans_; }
    /// Minutes of work in [a, b); 0 if b <= a.
    std::int64_t work_between(Minute a, Minute b) const;
    /// First working minute at or after t. @throws ValueError  if there is none.
    Minute next(Minute t) const;
    /// Earliest end of `work` minutes begun at or after t; t itself for none.
    /// @throws ValueError  if work < 0 or there is not enough behind t.
    Minute add_work(Minute t, std::int64_t work) const;
    /// Latest beginning of `work` minutes that are done by t; t itself for none.
    /// @throws ValueError  if work < 0 or there is not enough before t.
    Minute subtract_work(Minute t, std::int64_t work) const;

private:
    std::int64_t before(Minute t) const;
    void fill_sums();
    std::vector<TimeSpan> spans_;
    std::vector<std::int64_t> sums_;  ///< minutes before each stretch, and all at the end
};

}  // namespace libseal
