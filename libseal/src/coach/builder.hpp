#pragma once
// Puts parts and joints on surfaces without letting parts overlap.

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "libseal/coach/coach.hpp"
#include "libseal/core/date.hpp"

namespace libseal::detail {

/// Bead and screws as the catalogue has them for the joint's type.
void set_usual_build(Joint& joint, const Catalogue& catalogue);
/// Cap, bedding and what else the type has by design.
std::vector<Layer> usual_layers(const std::string& type, Date from, Date to, const Catalogue& catalogue);

class CoachBuilder {
public:
    CoachBuilder(Coach& coach, const Catalogue& catalogue, Date from, Date to)
        : coach_(coach), catalogue_(catalogue), from_(from), to_(to) {}

    void surface(const std::string& name, Point low, Point high, const std::string& substrate, const std::string& finish,
                 const std::string& slide = "");

    /// A stepped surface: corners in order round it. What the rectangle has more is kept free of parts.
    void outline(const std::string& name, std::vector<Point> corners);

    /// Keeps a rectangle of a surface free of parts.
    void keep_free(const std::string& surface, Point low, Point high, const std::string& slide = "");

    /// Stretches along u between what is placed or kept free from v = low to high. [m]
    std::vector<std::pair<double, double>> free_stretches(const std::string& surface, double low, double high) const;

    /// A part as wanted: its middle and size on the surface [m].
    struct Wanted {
        std::string id, kind, surface;
        Point middle;
        double width = 0, height = 0;
        std::string label;
        std::string argument = "length";  ///< what to name if there is no room
        double v_slack = 0;               ///< how far it may also move along v [m]
        std::string slide = "";
    };
    /// Low and high of the place for a part that is nearest to the wanted one.
    /// @throws ValueError  naming the argument if there is no room.
    std::pair<Point, Point> room_for(const Wanted& wanted) const;
    bool has_room(const Wanted& wanted) const { return find_room(wanted).has_value(); }
    /// Places a part as near to its wanted middle as parts placed before allow (gap 5 cm), along u first.
    /// @throws ValueError  naming the argument if there is no room.
    Part part(const Wanted& wanted);
    /// The same, but nothing where there is no room.
    std::optional<Part> part_if_room(const Wanted& wanted);
    /// A part where it is said to be; its place is kept free.
    Part part_at(Part part);

    /// A joint along a path. Layers, bead and screws are the usual ones of its type. Length is the path's unless given.
    Joint& joint(const std::string& id, const std::string& type, const std::string& surface, std::vector<Point> path,
                 std::vector<std::string> substrates, double length = 0, const std::string& slide = "",
                 const std::string& part = "");

    /// The joint round a part: closed, or open at the bottom where the type keeps the bottom edge open.
    Joint& round(const Part& part, const std::string& type, std::vector<std::string> substrates);

private:
    std::optional<std::pair<Point, Point>> find_room(const Wanted& wanted) const;

    Coach& coach_;
    const Catalogue& catalogue_;
    Date from_, to_;
    std::map<std::string, std::vector<std::pair<Point, Point>>> taken_;  ///< by surface and slide
};

}  // namespace libseal::detail
