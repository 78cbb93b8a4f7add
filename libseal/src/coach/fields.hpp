#pragma once
// Fields of coaches in JSON, shared by the readers of coaches and fleets.

#include <string>
#include <vector>

#include "core/json.hpp"
#include "libseal/coach/coach.hpp"

namespace libseal::detail {

/// When a layer was installed: "2021-05-01", {"from": .., "to": ..} or a model year such as 2021.
struct Installed {
    Date from{};
    Date to{};
};
Installed read_installed(const JsonView& view);
/// A coach of a model year was built from the middle of the year before to its end: common practice, no source.
Installed built_in_model_year(int year);

Itinerary read_stays(const JsonView& view);
/// A coach object, written out or as a layout. `with_schema`: the object must carry the schema of a coach.
/// Meaning is checked too, each problem at its place in the text.
Coach read_coach_view(const JsonView& view, bool with_schema);
void write_coach(JsonWriter& out, const Coach& coach, bool with_schema);

/// The view at a field path such as "joints[3].layers[0].family", or the deepest one on the way.
JsonView view_at(const JsonView& root, const std::string& field);
/// Notes the problems at the places of their fields.
void note_at_places(const JsonView& root, std::vector<Problem> problems);

}  // namespace libseal::detail
