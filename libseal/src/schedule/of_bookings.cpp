#include "schedule/of_bookings.hpp"

#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

bool within(int i, std::size_t size) { return i >= 0 && static_cast<std::size_t>(i) < size; }

}  // namespace

void check_steps_of(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop) {
    for (std::size_t j = 0; j < schedule.steps.size(); ++j) {
        const StepTime& time = schedule.steps[j];
        const std::string field = "schedule.steps[" + std::to_string(j) + "]";
        if (!within(time.booking, bookings.size()) || !within(time.step, bookings[static_cast<std::size_t>(time.booking)].plan.steps.size()))
            throw_value_error(field, "a step of the bookings", "booking " + std::to_string(time.booking) + ", step " + std::to_string(time.step));
        for (const int person : time.people)
            if (!within(person, shop.people.size()))
                throw_value_error(field + ".people", "people of the shop, from 0 to " + std::to_string(static_cast<int>(shop.people.size()) - 1), std::to_string(person));
    }
}

void check_stays_of(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop) {
    if (schedule.stays.size() != bookings.size())
        throw_value_error("schedule.stays", std::to_string(bookings.size()) + " stays, one a booking", std::to_string(schedule.stays.size()));
    const std::size_t bays = bays_of(shop).size();
    for (std::size_t b = 0; b < schedule.stays.size(); ++b) {
        const BayStay& stay = schedule.stays[b];
        const std::string field = "schedule.stays[" + std::to_string(b) + "]";
        if (stay.booking != static_cast<int>(b)) throw_value_error(field + ".booking", std::to_string(b) + ", the order of the bookings", std::to_string(stay.booking));
        if (!within(stay.bay, bays)) throw_value_error(field + ".bay", "a bay from 0 to " + std::to_string(static_cast<int>(bays) - 1), std::to_string(stay.bay));
    }
}

}  // namespace libseal::detail
