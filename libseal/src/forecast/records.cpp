#include "forecast/records.hpp"

namespace libseal::detail {

JointMarks joints_named(const Fleet& fleet, const std::vector<Finding>& findings) {
    const auto sorted = by_coach(fleet, findings);
    JointMarks marks;
    for (std::size_t c = 0; c < fleet.coaches.size(); ++c) {
        const Coach& coach = fleet.coaches[c];
        marks.emplace_back(coach.joints.size(), false);
        std::unordered_map<std::string_view, std::size_t> numbers;
        if (!sorted[c].empty())
            for (std::size_t j = 0; j < coach.joints.size(); ++j) numbers.try_emplace(coach.joints[j].id, j);
        for (const Finding* finding : sorted[c])
            if (const auto found = numbers.find(finding->joint); found != numbers.end()) marks.back()[found->second] = true;
    }
    return marks;
}

}  // namespace libseal::detail
