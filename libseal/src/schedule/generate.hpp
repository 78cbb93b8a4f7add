#pragma once
// Serial schedule generation over the working time of teams.

#include <vector>

#include "libseal/schedule/schedule.hpp"
#include "schedule/teams.hpp"

namespace libseal::detail {

/// The plan as the generator needs it.
struct Network {
    std::vector<Minute> duration;                             ///< whole minutes of clock time
    std::vector<std::vector<std::pair<int, Minute>>> before;  ///< per step: predecessor and lag
    std::vector<std::vector<std::pair<int, Minute>>> after;
    std::vector<int> order;    ///< one that heeds all edges
    std::vector<Minute> tail;  ///< longest way from the start of a step to the end
};
Network network_of(const WorkPlan& plan);

/// Places every step as early as it goes, ready steps by falling key. Ties by index.
/// @return  Empty if a step finds no time within the horizon.
std::vector<StepTime> generate(const Network& network, const WorkPlan& plan, const std::vector<double>& key,
                               Minute start, Teams& teams);

/// No schedule ends earlier: longest chain with people without limit, and all work over all people.
Minute lower_bound(const Network& network, const WorkPlan& plan, const Shop& shop, Minute start);

/// Writes into each step what it waited for, and marks the chain that fixes the end.
void explain(std::vector<StepTime>& times, const WorkPlan& plan, Minute start);

}  // namespace libseal::detail
