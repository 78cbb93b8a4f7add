#pragma once
// Content lines of an iCalendar text with the place of every octet, for the checker.

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libseal/core/error.hpp"

namespace libseal::detail {

/// What is wrong, with its place. Rules name their section of RFC 5545.
class IcalendarFaults {
public:
    explicit IcalendarFaults(std::string_view text);
    /// @param offset  octet of the text.  @param section  of RFC 5545, such as "3.1"; "" for advice.
    void add(std::size_t offset, const std::string& field, const std::string& expected, const std::string& section, std::string_view got,
             const std::string& hint);
    /// By place, at most 50.
    std::vector<Problem> take();

private:
    struct Fault {
        std::size_t offset;
        Problem problem;
    };
    std::string_view text_;
    std::vector<std::size_t> starts_;  ///< of the physical lines
    std::vector<Fault> faults_;
};

struct IcalendarParameter {
    std::string name;  ///< in capitals
    std::vector<std::string> values;
    std::size_t at = 0;  ///< within the unfolded line
};

/// A line after unfolding.
struct ContentLine {
    std::string name;  ///< in capitals
    bool small_letters = false;  ///< the name was not in capitals
    std::vector<IcalendarParameter> parameters;
    std::string value;
    std::size_t value_at = 0;  ///< within the unfolded line
    std::vector<std::pair<std::size_t, std::size_t>> pieces;  ///< where each physical line begins: within the unfolded line, in the text
    std::size_t offset(std::size_t at) const;
    /// First value of a parameter, nullptr if there is none.
    const std::string* parameter(std::string_view wanted) const;
};

/// One component with its properties; components stand in the order of their beginnings.
struct IcalendarComponent {
    std::string name;  ///< in capitals
    std::size_t at = 0;  ///< octet of its BEGIN
    int parent = -1;
    std::vector<ContentLine> properties;
    std::vector<const ContentLine*> all(std::string_view name) const;
    /// First property of this name, nullptr if there is none.
    const ContentLine* first(std::string_view name) const;
};

/// Line ends, folding, UTF-8 and the grammar of lines; what is no content line is noted and left out.
std::vector<ContentLine> icalendar_lines(std::string_view text, IcalendarFaults& faults);

/// BEGIN and END matched; what is wrong with the nesting is noted.
std::vector<IcalendarComponent> icalendar_components(std::string_view text, IcalendarFaults& faults);

/// Octets where a continuation line without content begins.
std::vector<std::size_t> empty_continuations(std::string_view text);

}  // namespace libseal::detail
