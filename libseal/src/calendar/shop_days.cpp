#include "calendar/shop_days.hpp"

#include <algorithm>
#include <map>

namespace libseal::detail {
namespace {

Minute minutes_of(const Shop& shop, const Person& person, Date day) {
    Minute sum = 0;
    for (const TimeSpan& span : working_spans(shop, person, day)) sum += span.to - span.from;
    return sum;
}

/// Has somebody hours of their own: away, or overtime?
bool special(const Shop& shop, const Person& person) {
    return std::any_of(shop.absences.begin(), shop.absences.end(), [&](const Absence& a) { return a.person == person.id; }) ||
           std::any_of(shop.overtime.begin(), shop.overtime.end(), [&](const Overtime& o) { return o.person == person.id; });
}

}  // namespace

ShopDays::ShopDays(const Shop& shop, Date first, Date last) : first_(first) {
    Shop shifts = shop;
    shifts.overtime.clear();
    // People with the same shift are asked about once.
    std::map<std::pair<int, int>, std::pair<Person, int>> equal;
    std::vector<Person> own;
    for (const Person& person : shop.people) {
        if (special(shop, person)) {
            own.push_back(person);
            continue;
        }
        auto& [one, count] = equal[{person.from, person.to}];
        one = person;
        ++count;
    }
    for (Date date = first; date <= last; date = date + 1) {
        ShopDay day;
        day.works = works_on(shop, date);
        day.seals = seals_on(shop, date);
        day.unheated = seals_on(shop, date, Bay{});
        for (const auto& [shift, some] : equal) {
            const Minute each = minutes_of(shifts, some.first, date);
            day.capacity += each * some.second;
            day.longest = std::max(day.longest, each);
        }
        for (const Person& person : own) {
            const Minute all = minutes_of(shop, person, date), usual = minutes_of(shifts, person, date);
            day.capacity += usual;
            day.overtime += all - usual;
            day.longest = std::max(day.longest, all);
        }
        days_.push_back(day);
    }
}

const ShopDay& ShopDays::at(Date day) const {
    static const ShopDay nothing;
    const int i = day - first_;
    return i < 0 || static_cast<std::size_t>(i) >= days_.size() ? nothing : days_[static_cast<std::size_t>(i)];
}

}  // namespace libseal::detail
