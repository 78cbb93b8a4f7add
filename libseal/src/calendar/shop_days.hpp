#pragma once
// What a shop offers day by day, worked out once.

#include <vector>

#include "libseal/schedule/time.hpp"

namespace libseal::detail {

/// One day of a shop.
struct ShopDay {
    bool works = false;       ///< somebody works
    bool seals = false;       ///< and beads may be laid, in one bay at least
    bool unheated = false;    ///< and in all bays
    Minute capacity = 0;      ///< of all people in their shifts [person-min]
    Minute overtime = 0;      ///< beyond it, as offered [person-min]
    Minute longest = 0;       ///< of the person who works longest [min]
};

/// The days of a stretch of time. Days outside it offer nothing.
class ShopDays {
public:
    ShopDays(const Shop& shop, Date first, Date last);
    const ShopDay& at(Date day) const;
    bool works(Date day) const { return at(day).works; }
    bool seals(Date day) const { return at(day).works && at(day).seals; }
    /// Are beads laid in heated bays only?
    bool needs_heat(Date day) const { return at(day).seals && !at(day).unheated; }
    Date first() const { return first_; }
    Date last() const { return first_ + static_cast<int>(days_.size()) - 1; }

private:
    Date first_;
    std::vector<ShopDay> days_;
};

/// Monday of a day's week.
inline Date monday_of(Date day) { return day - weekday(day); }

}  // namespace libseal::detail
