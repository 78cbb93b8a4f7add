#pragma once
// Small plans for tests of schedules. Invented.

#include <algorithm>

#include "libseal/schedule/schedule.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

namespace libseal_test {

const libseal::Date monday = libseal::make_date(2027, 3, 1);

inline libseal::Minute hour(int hours) { return libseal::minute_of(monday, 60 * hours); }

/// Monday to Friday, 8 to 12 and 13 to 17.
inline libseal::Shop plain_shop(int people = 1, int bays = 1) {
    libseal::Shop shop = sample_shop(people, bays);
    shop.break_from = 12 * 60;
    shop.break_to = 13 * 60;
    return shop;
}

inline libseal::Step plain_step(const std::string& id, double minutes, int people = 1, bool unbroken = false) {
    libseal::Step s;
    s.id = s.kind = id;
    s.minutes = {minutes, minutes, minutes};
    s.people = people;
    s.unbroken = unbroken;
    return s;
}

inline libseal::Edge plain_edge(int from, int to, double lag = 0) {
    return {from, to, "bed_before_cap", libseal::Strength::hard, lag, "because"};
}

inline libseal::WorkPlan plan_with(std::vector<libseal::Step> steps, std::vector<libseal::Edge> edges, const std::string& coach = "synthetic") {
    libseal::WorkPlan plan;
    plan.coach = coach;
    plan.steps = std::move(steps);
    plan.edges = std::move(edges);
    plan.order = libseal::ordered_steps(plan.steps, plan.edges);
    return plan;
}

}  // namespace libseal_test
