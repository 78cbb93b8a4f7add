#pragma once
// Problems, put together in one place.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {

/// What is wrong with a field or an argument.
inline Problem field_problem(std::string field, std::string expected, std::string got, std::string hint = "") {
    Problem problem;
    problem.field = std::move(field);
    problem.expected = std::move(expected);
    problem.got = std::move(got);
    problem.hint = std::move(hint);
    return problem;
}

/// The same with where it stands in a text, and the lines around that; line 0: nowhere.
inline Problem placed_problem(Problem problem, std::string_view text, std::string file, int line, int column) {
    problem.file = std::move(file);
    problem.line = line;
    problem.column = column;
    if (line > 0) problem.context = error_context(text, line, column);
    return problem;
}

/// Problems of a part, with the place of the part before their fields.
inline std::vector<Problem> problems_within(const std::string& place, std::vector<Problem> problems) {
    for (Problem& problem : problems) problem.field = place + problem.field;
    return problems;
}

}  // namespace libseal::detail
