#pragma once
// Invented shops and plans of a few steps.

#include <string>
#include <vector>

#include "libseal/work/order.hpp"
#include "libseal/work/plan.hpp"

namespace libseal_fuzz {

/// Monday to Friday, 8 to 12 and 13 to 17.
inline libseal::Shop small_shop(int people, int bays) {
    libseal::Shop shop;
    shop.name = "small";
    shop.labour_rate_per_h = 10000;
    for (int i = 0; i < people; ++i) shop.people.push_back({"p" + std::to_string(i), {}, 480, 1020});
    shop.bays = bays;
    shop.break_from = 720;
    shop.break_to = 780;
    return shop;
}

struct SmallEdge {
    int from = 0;
    int to = 0;
    double lag = 0;  ///< [min]
};

/// Steps "s0", "s1", ... of so many minutes [min].
inline libseal::WorkPlan small_plan(const std::string& coach, const std::vector<double>& minutes, const std::vector<SmallEdge>& edges) {
    libseal::WorkPlan plan;
    plan.coach = coach;
    for (std::size_t i = 0; i < minutes.size(); ++i) {
        libseal::Step step;
        step.id = step.kind = "s" + std::to_string(i);
        step.minutes = {minutes[i], minutes[i], minutes[i]};
        plan.steps.push_back(step);
    }
    for (const SmallEdge& edge : edges) plan.edges.push_back({edge.from, edge.to, "bed_before_cap", libseal::Strength::hard, edge.lag, "because"});
    plan.order = libseal::ordered_steps(plan.steps, plan.edges);
    return plan;
}

}  // namespace libseal_fuzz
