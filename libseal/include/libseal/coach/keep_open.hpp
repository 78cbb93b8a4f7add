#pragma once
// Places that no sealant may close: edges where water leaves, vents, seals that move, ways out.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"

namespace libseal {

/// One place that stays open, whatever work is done beside it.
struct KeepOpen {
    std::string id;        ///< "frame_bottom:window_3", "door_seal:entrance_door", ...; unique within the coach
    std::string kind;      ///< entry of the catalogue, "keep_open/KIND"
    std::string part;      ///< part that it belongs to, "" for none
    std::string joint;     ///< joint that it belongs to, "" for a part's own
    std::string surface;   ///< surface that it lies on
    std::string slide;     ///< id of the slide-out, "" for the shell
    std::vector<Point> path;  ///< along the place, at least two points [m]
    std::string reason;    ///< why, for people
};

/// Edge of a joint that is kept open: its own word, else that of its type; "bottom", "ends", "none" or "all".
/// @throws ValueError  if the catalogue has no such type.
std::string open_edge_of(const Joint& joint, const Catalogue& catalogue);

/// All places of a coach that stay open: of its joints by their open edges, and of its parts by their kinds.
///
/// @param catalogue  "keep_open/KIND/reason"; ".../parts" and ".../joints": kinds of part and types of joint that have such a
///                   place; ".../inside_mm": how far within the part's outer edge it lies.
/// @source  Each entry of the catalogue has its own; about half are published, the others common practice or from memory.
/// @threads pure.
std::vector<KeepOpen> places_kept_open(const Coach& coach, const Catalogue& catalogue);

/// Those of `places_kept_open` that work on a joint comes near to: its own edges, and the places of its part.
/// @throws ValueError  if there is no such joint, with the nearest id.
std::vector<KeepOpen> places_kept_open_at(const Coach& coach, const std::string& joint, const Catalogue& catalogue);

}  // namespace libseal
