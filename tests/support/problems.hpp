#pragma once
// The problems that a call reports, for tests of bad input.

#include <string>
#include <vector>

#include "libseal/core/error.hpp"

namespace libseal_test {

/// Problems of the ValueError that `call` throws; none if it does not throw.
template <class Call>
std::vector<libseal::Problem> problems_of(Call call) {
    try {
        call();
    } catch (const libseal::ValueError& error) {
        return error.problems();
    }
    return {};
}

/// `text` with the first `what` replaced by `by`; empty if it does not hold `what`.
inline std::string replaced(std::string text, const std::string& what, const std::string& by) {
    const auto at = text.find(what);
    if (at == std::string::npos) return "";
    return text.replace(at, what.size(), by);
}

/// 1-based line of the first place of `what`; 0 if it is not there.
inline int line_of(const std::string& text, const std::string& what) {
    const auto at = text.find(what);
    if (at == std::string::npos) return 0;
    int line = 1;
    for (std::size_t i = 0; i < at; ++i) line += text[i] == '\n';
    return line;
}

}  // namespace libseal_test
