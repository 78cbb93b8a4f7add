#pragma once
// Pieces of a coach in JSON that its two forms share: written out, and as a layout with changes.

#include "coach/fields.hpp"

namespace libseal::detail {

/// Notes a problem if the view is no object.
bool is_object(const JsonView& view);
/// Id, label, model line and year, owner, stays.
void read_names(const JsonView& view, Coach& coach);
/// Bead, screws, drain edge and substrates, as far as named.
void read_build(const JsonView& view, Joint& joint);
/// A layer over the usual one; `complete`: it must name its family.
Layer read_layer(const JsonView& view, const Layer& usual, bool complete);

/// A coach as a layout with changes.
Coach read_layout(const JsonView& view);
/// Notes problems of such a coach, those of changed joints under "changes" in the text.
void note_layout_problems(const JsonView& view, const Coach& coach, std::vector<Problem> problems);

}  // namespace libseal::detail
