#pragma once
// Records of a fleet by coach, found without a search through all of them.

#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal::detail {

/// Numbers of coaches by id; of two with one id the first. The fleet must outlive it.
class CoachNumbers {
public:
    explicit CoachNumbers(const Fleet& fleet) : fleet_(fleet) {
        numbers_.reserve(fleet.coaches.size());
        for (std::size_t c = 0; c < fleet.coaches.size(); ++c) numbers_.try_emplace(fleet.coaches[c].id, c);
    }
    /// No coach of the fleet: its size.
    std::size_t find(const std::string& id) const {
        const auto found = numbers_.find(id);
        return found == numbers_.end() ? fleet_.coaches.size() : found->second;
    }

private:
    const Fleet& fleet_;
    std::unordered_map<std::string_view, std::size_t> numbers_;
};

/// Records of each coach in the order given; those of coaches that are not in the fleet are left out. The records must outlive it.
template <class Record>
std::vector<std::vector<const Record*>> by_coach(const Fleet& fleet, const std::vector<Record>& records) {
    const CoachNumbers numbers(fleet);
    std::vector<std::vector<const Record*>> sorted(fleet.coaches.size());
    for (const Record& record : records)
        if (const std::size_t c = numbers.find(record.coach); c < sorted.size()) sorted[c].push_back(&record);
    return sorted;
}

/// Marks of joints, by coach and joint; empty: all of them.
using JointMarks = std::vector<std::vector<bool>>;

inline bool is_marked(const JointMarks& marks, std::size_t coach, std::size_t joint) { return marks.empty() || marks[coach][joint]; }

/// The joints that findings name.
JointMarks joints_named(const Fleet& fleet, const std::vector<Finding>& findings);

}  // namespace libseal::detail
