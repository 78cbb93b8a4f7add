#include "support/psplib.hpp"

#include <fstream>
#include <limits>
#include <sstream>
#include <stdexcept>

namespace libseal_test {
namespace {

/// The next line that begins with `text`, blanks before it aside.
std::string line_with(std::istream& in, const std::string& text) {
    for (std::string line; std::getline(in, line);) {
        const auto from = line.find_first_not_of(" \t");
        if (from != std::string::npos && line.compare(from, text.size(), text) == 0) return line;
    }
    throw std::runtime_error("no line with " + text);
}

constexpr int most = 100000;  ///< no instance has numbers above

int next_number(std::istream& in) {
    int number = 0;
    if (!(in >> number)) throw std::runtime_error("a number is missing");
    if (number < 0 || number > most) throw std::runtime_error("a number out of range: " + std::to_string(number));
    return number;
}

int number_after_colon(const std::string& line) {
    std::istringstream rest(line.substr(line.find(':') + 1));
    return next_number(rest);
}

void skip_line(std::istream& in) { in.ignore(std::numeric_limits<std::streamsize>::max(), '\n'); }

}  // namespace

Project read_psplib(std::istream& in) {
    Project project;
    const int jobs = number_after_colon(line_with(in, "jobs"));
    const int resources = number_after_colon(line_with(in, "- renewable"));
    line_with(in, "jobnr.");
    for (int job = 0; job < jobs; ++job) {
        next_number(in);
        next_number(in);
        std::vector<int> successors;
        for (int left = next_number(in); left > 0; --left) successors.push_back(next_number(in) - 1);
        project.successors.push_back(std::move(successors));
    }
    line_with(in, "jobnr.");
    skip_line(in);
    for (int job = 0; job < jobs; ++job) {
        next_number(in);
        next_number(in);
        project.durations.push_back(next_number(in));
        std::vector<int> demands;
        for (int k = 0; k < resources; ++k) demands.push_back(next_number(in));
        project.demands.push_back(std::move(demands));
    }
    line_with(in, "RESOURCEAVAILABILITIES");
    skip_line(in);
    for (int k = 0; k < resources; ++k) project.capacities.push_back(next_number(in));
    return project;
}

Project read_psplib(const std::filesystem::path& file) {
    std::ifstream in(file);
    return read_psplib(in);
}

std::vector<PublishedBounds> read_bounds(const std::filesystem::path& table) {
    const std::string name = table.stem().string();
    const auto folder = table.parent_path() / name.substr(0, name.find('_'));
    std::ifstream in(table);
    std::string line;
    std::getline(in, line);
    std::vector<PublishedBounds> rows;
    while (std::getline(in, line)) {
        for (char& c : line)
            if (c == ',') c = ' ';
        std::istringstream cells(line);
        PublishedBounds row;
        if (!(cells >> row.instance >> row.critical_path >> row.lower >> row.upper))
            throw std::runtime_error("a row of bounds is cut short: " + line);
        if (std::filesystem::exists(folder / (row.instance + ".sm"))) rows.push_back(row);
    }
    return rows;
}

}  // namespace libseal_test
