#pragma once
// Reader of the project scheduling instances of Kolisch & Sprecher and of their table of bounds.

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

namespace libseal_test {

struct Project {
    std::vector<int> durations;
    std::vector<std::vector<int>> successors;
    std::vector<std::vector<int>> demands;
    std::vector<int> capacities;
};

/// @throws std::runtime_error  if a section is missing or cut short, or a number is none of an instance.
Project read_psplib(const std::filesystem::path& file);
Project read_psplib(std::istream& in);

/// A row of SET_bounds.csv; lower == upper: the optimum is known.
struct PublishedBounds {
    std::string instance;
    int critical_path = 0;
    int lower = 0;
    int upper = 0;
};

/// The rows whose instance file lies in the folder SET beside the table, in the order of the table.
std::vector<PublishedBounds> read_bounds(const std::filesystem::path& table);

}  // namespace libseal_test
