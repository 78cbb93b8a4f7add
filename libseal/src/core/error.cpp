#include "libseal/core/error.hpp"

#include "libseal/core/require.hpp"

#include <cmath>

#include "core/problem.hpp"
#include "core/readable.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

std::string text_of(const std::vector<Problem>& problems) {
    std::string text;
    for (const auto& problem : problems) {
        if (!text.empty()) text += '\n';
        text += to_text(problem);
    }
    if (problems.size() > 1) text = std::to_string(problems.size()) + " problems:\n" + text;
    return text;
}

/// What was there may be of any length and any bytes; what is said of it is not.
std::vector<Problem> readable(std::vector<Problem> problems) {
    constexpr std::size_t longest = 1000, longest_context = 4000;  // [octets]
    for (Problem& p : problems) {
        for (std::string* part : {&p.field, &p.expected, &p.got, &p.hint}) *part = shown_text(*part, longest);
        p.context = shown_text(p.context, longest_context);
    }
    return problems;
}

}  // namespace

std::string to_text(const Problem& p) {
    std::string text;
    if (!p.file.empty()) {
        text += p.file;
        if (p.line > 0) text += ":" + std::to_string(p.line);
        if (p.column > 0) text += ":" + std::to_string(p.column);
        text += ": ";
    } else if (p.line > 0) {
        text += "line " + std::to_string(p.line) + ", column " + std::to_string(p.column) + ": ";
    }
    if (!p.field.empty()) text += p.field + ": ";
    text += "expected " + p.expected + ", got " + p.got;
    if (!p.context.empty()) text += "\n" + p.context;
    if (!p.hint.empty()) text += "\n  hint: " + p.hint;
    return text;
}

Error::Error(std::vector<Problem> problems) : problems_(readable(std::move(problems))), text_(text_of(problems_)) {}

void throw_value_error(const std::string& argument, const std::string& expected, const std::string& got,
                       const std::string& hint) {
    throw ValueError(detail::field_problem(argument, expected, got, hint));
}

double require_finite(double value, std::string_view name) {
    if (!std::isfinite(value)) throw_value_error(std::string(name), "a finite number", number_text(value));
    return value;
}
double require_positive(double value, std::string_view name) {
    if (!std::isfinite(value) || !(value > 0))
        throw_value_error(std::string(name), "a finite number > 0", number_text(value));
    return value;
}
double require_not_negative(double value, std::string_view name) {
    if (!std::isfinite(value) || !(value >= 0))
        throw_value_error(std::string(name), "a finite number >= 0", number_text(value));
    return value;
}
double require_between(double value, double low, double high, std::string_view name) {
    if (!(value >= low && value <= high))
        throw_value_error(std::string(name), "a number from " + number_text(low) + " to " + number_text(high),
                          number_text(value));
    return value;
}
double require_inside(double value, double low, double high, std::string_view name) {
    if (!(value > low && value < high))
        throw_value_error(std::string(name), "a number between " + number_text(low) + " and " + number_text(high),
                          number_text(value));
    return value;
}
double require_above(double value, double low, double high, std::string_view name) {
    if (!(value > low && value <= high))
        throw_value_error(std::string(name), "a number above " + number_text(low) + ", up to " + number_text(high), number_text(value));
    return value;
}

}  // namespace libseal
