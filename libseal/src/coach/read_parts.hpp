#pragma once
// Pieces that coach and fleet files share.

#include <string>
#include <utility>

#include "core/json.hpp"
#include "libseal/coach/coach.hpp"

namespace libseal::detail {

struct Interval {
    Date from{};
    Date to{};
    bool known = false;
};

/// "2021-05-01", {"from": ..., "to": ...} or a model year; not known if absent.
Interval read_installed(const JsonView& view);
/// The list under "stays".
Itinerary read_stays(const JsonView& view);
/// One coach object, schema already seen to by the caller. `catalogue` gives what the file leaves out.
Coach read_coach_object(const JsonView& view, const Catalogue& catalogue);
void write_coach_object(JsonWriter& writer, const Coach& coach);

}  // namespace libseal::detail
