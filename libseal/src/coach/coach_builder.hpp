#pragma once
// Puts surfaces, parts and joints of usual build onto a coach.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"

namespace libseal::detail {


class CoachBuilder {
public:
    CoachBuilder(Coach& coach, const Catalogue& catalogue, Date installed_from, Date installed_to)
        : coach_(coach), catalogue_(catalogue), from_(installed_from), to_(installed_to) {}

    void surface(const std::string& name, const std::string& slide, Point low, Point high, const std::string& substrate,
                 const std::string& finish);
    void part(const std::string& id, const std::string& kind, const std::string& surface, const std::string& slide,
              Point low, Point high, const std::string& label);
    /// A joint along a line; `trim` is the other substrate.
    void seam(const std::string& id, const std::string& type, const std::string& surface, const std::string& slide,
              std::vector<Point> path, const std::string& trim, const std::string& part = "");
    /// A part and the joint round its frame.
    void framed(const std::string& id, const std::string& kind, const std::string& type, const std::string& surface,
                Point centre, double width, double height, const std::string& trim, const std::string& label,
                const std::string& slide = "");

private:
    Coach& coach_;
    const Catalogue& catalogue_;
    Date from_, to_;
};

}  // namespace libseal::detail
