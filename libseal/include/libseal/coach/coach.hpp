#pragma once
// A coach and a fleet of them.

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/joint.hpp"
#include "libseal/coach/stay.hpp"
#include "libseal/coach/surface.hpp"

namespace libseal {

/// Something fitted to the outside: a vent, window, light, rail, slide-out.
struct Part {
    std::string id;
    std::string kind;     ///< "roof_vent", "window", "light", "slide_out", ...
    std::string surface;
    std::string slide;    ///< "" for the shell
    Point low;            ///< [m]
    Point high;           ///< [m]
    std::string label;    ///< for people
    std::string state{};  ///< of a slide-out: "in", "out" or "partway"; "" for what does not move
};

/// A recreational vehicle with a sealed shell.
struct Coach {
    std::string id;
    std::string kind;         ///< "travel_trailer", "fifth_wheel", "motorhome", "van", "truck_camper"
    std::string label;        ///< for people
    std::string model_line;   ///< the shop's own name of the model line
    int model_year = 0;       ///< 0 unknown
    std::string owner;        ///< kept out of shared calendars unless asked for
    double length = 0;        ///< of the shell [m]
    double width = 0;         ///< [m]
    double floor_height = 0;  ///< lower edge of the walls above ground [m]
    double roof_height = 0;   ///< upper edge of the walls above ground [m]
    std::vector<Surface> surfaces;
    std::vector<Part> parts;
    std::vector<Joint> joints;
    Itinerary stays;
};

/// Coaches that a shop looks after together.
struct Fleet {
    std::vector<Coach> coaches;  ///< ids unique
};

/// @throws ValueError  if there is none, with the nearest id.
const Joint& joint_of(const Coach& coach, std::string_view id);
/// @throws ValueError  if there is none, with the nearest id.
const Coach& coach_of(const Fleet& fleet, std::string_view id);
/// @throws ValueError  if there is none.
const Surface& surface_of(const Coach& coach, std::string_view surface, std::string_view slide);

/// Fleet of one, so that calls that take a fleet take a coach.
inline Fleet fleet_of(Coach coach) { return Fleet{{std::move(coach)}}; }

/// Checks ids, surfaces, layers, families, dates and never-seal places; collects up to 50 problems.
/// @throws ValueError  naming coach, field, value and what is allowed.
void check_coach(const Coach& coach, const Catalogue& catalogue);

}  // namespace libseal
