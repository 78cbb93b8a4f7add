#pragma once
// A number from outside the code: value, unit, range, where it is from and how sure it is.

#include <string>
#include <string_view>

namespace libseal {

/// How a value came about. Order is from firm to soft.
enum class Mark { measured, standard, published, computed, common_practice, from_memory, judgement, fitted };

std::string_view to_text(Mark mark);
/// False if there is no such mark.
bool try_parse_mark(std::string_view text, Mark& mark);

/// A value of the catalogue with its origin.
struct SourcedValue {
    double value = 0;  ///< [as `unit` says]
    std::string text;  ///< for values that are words; then value is 0
    std::string unit;  ///< "-" for pure numbers, "word" for words
    double low = 0;    ///< plausible range [as `unit` says], low <= value <= high; NaN where a range has no meaning
    double high = 0;   ///< [as `unit` says]
    std::string source;
    Mark mark = Mark::judgement;
};

}  // namespace libseal
