#pragma once
// Height of the side walls along a coach.

#include "libseal/coach/coach.hpp"

namespace libseal::detail {

struct Span {
    double low;
    double high;
};

/// Lower and upper edge of the side walls at x: they are stepped where the wall has an outline. [m]
Span wall_span(const Coach& coach, double x);

}  // namespace libseal::detail
