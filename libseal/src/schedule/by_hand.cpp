// Schedules that somebody wrote, to be judged like those that were searched.

#include <algorithm>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/schedule/verify.hpp"
#include "libseal/schedule/working_time.hpp"
#include "schedule/spans.hpp"
#include "schedule/stretch.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// The working minutes of a step; all of it where nobody works at its start or end, for the check to say so.
std::vector<TimeSpan> pieces_of(const StepTime& time, const Shop& shop) {
    std::vector<TimeSpan> pieces{{time.start, time.end}};
    for (const int person : time.people) pieces = detail::common(pieces, WorkingTime(shop, shop.people[at(person)], time.start, time.end).spans());
    if (pieces.empty() || pieces.front().from != time.start || pieces.back().to != time.end) return {{time.start, time.end}};
    return pieces;
}

}  // namespace

Schedule schedule_by_hand(const std::vector<RunningStep>& steps, const std::vector<Booking>& bookings, const Shop& shop) {
    Schedule result;
    result.outcome = Outcome::feasible;
    result.stopped = "made by hand";
    const std::vector<Bay> bays = bays_of(shop);
    const auto [first, last] = detail::known_minutes();
    for (std::size_t b = 0; b < bookings.size(); ++b) result.stays.push_back({static_cast<int>(b), bookings[b].plan.coach, 0, 0, 0, 0, 0});
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const RunningStep& by_hand = steps[i];
        const std::string field = "steps[" + std::to_string(i) + "]";
        StepTime time;
        const auto booking = std::find_if(bookings.begin(), bookings.end(), [&](const Booking& b) { return b.plan.coach == by_hand.coach; });
        if (booking == bookings.end()) throw_value_error(field + ".coach", "a coach of the bookings", "\"" + by_hand.coach + "\"");
        const auto& known = booking->plan.steps;
        const auto step = std::find_if(known.begin(), known.end(), [&](const Step& s) { return s.id == by_hand.step; });
        if (step == known.end()) throw_value_error(field + ".step", "a step of the plan of " + by_hand.coach, "\"" + by_hand.step + "\"");
        if (by_hand.end < by_hand.start) throw_value_error(field + ".end", "not before its start", time_text(by_hand.end));
        if (by_hand.start < first || by_hand.end > last || by_hand.end - by_hand.start > detail::minutes_of_century)
            throw_value_error(field + ".end", "at most 100 years after its start, both of the years 1400 to 9999",
                              std::to_string(by_hand.start) + " to " + std::to_string(by_hand.end) + " min since 1970");
        time.booking = static_cast<int>(booking - bookings.begin());
        time.step = static_cast<int>(step - known.begin());
        time.start = by_hand.start;
        time.end = by_hand.end;
        for (const auto& id : by_hand.people) {
            const auto who = std::find_if(shop.people.begin(), shop.people.end(), [&](const Person& p) { return p.id == id; });
            if (who == shop.people.end()) throw_value_error(field + ".people", "people of the shop", "\"" + id + "\"");
            time.people.push_back(static_cast<int>(who - shop.people.begin()));
        }
        BayStay& stay = result.stays[at(time.booking)];
        if (!by_hand.bay.empty()) {
            const auto bay = std::find_if(bays.begin(), bays.end(), [&](const Bay& x) { return x.id == by_hand.bay; });
            if (bay == bays.end()) throw_value_error(field + ".bay", "a bay of the shop", "\"" + by_hand.bay + "\"");
            stay.bay = static_cast<int>(bay - bays.begin());
        }
        if (step->people > 0 && time.end > time.start) time.pieces = pieces_of(time, shop);
        result.steps.push_back(std::move(time));
    }
    std::sort(result.steps.begin(), result.steps.end(), [](const StepTime& a, const StepTime& b) { return std::pair(a.booking, a.step) < std::pair(b.booking, b.step); });
    std::set<Date> days;
    for (const StepTime& time : result.steps) {
        BayStay& stay = result.stays[at(time.booking)];
        if (!time.pieces.empty()) stay.begin = stay.begin == 0 ? time.start : std::min(stay.begin, time.start);
        stay.end = std::max(stay.end, time.end);
        for (const TimeSpan& piece : time.pieces) days.insert(day_of(piece.from));
        result.end = std::max(result.end, time.end);
        result.begin = result.begin == 0 ? time.start : std::min(result.begin, time.start);
    }
    for (BayStay& stay : result.stays) {
        if (stay.begin == 0) stay.begin = stay.end;  // marks alone
        if (const Booking& booking = bookings[at(stay.booking)]; booking.promised > 0) stay.late = std::max<Minute>(0, stay.end - booking.promised);
    }
    result.days.assign(days.begin(), days.end());
    return result;
}

}  // namespace libseal
