#pragma once
// Lays the places and links of a drainage graph, level by level from the roof to the floor.

#include <map>
#include <string>
#include <vector>

#include "libseal/coach/drainage.hpp"

namespace libseal::detail {

class WaterBuilder {
public:
    WaterBuilder(const Coach& coach, const Catalogue& catalogue);
    Drainage make();

private:
    /// A wall as cells from left to right of its u, two levels high.
    struct Wall {
        std::string name;
        Point low, high;
        int cells = 0;
    };

    int place(const std::string& id, const std::string& kind, const std::string& surface, Point at, bool inside,
              const std::string& slide = "", const std::string& joint = "");
    int at(const std::string& id) const;
    bool has(const std::string& id) const { return ids_.contains(id); }
    /// A link if both ends are there; `way` is the last part of "drainage/way/...".
    void link(const std::string& from, const std::string& to, const std::string& way);
    void link(int from, int to, const std::string& way);
    /// Both ways where they lie level, else down.
    void both(const std::string& a, const std::string& b, const std::string& way);

    void add_roof();
    void add_walls();
    void add_wall(const Wall& wall);
    void add_corners();
    void add_floor();
    void add_bunk();
    void add_slide(const std::string& slide);
    void add_outside();
    void add_joint(const Joint& joint);
    void enter(int run, const Joint& joint, Point p);
    void enter_roof(int run, const Joint& joint, Point p);
    void enter_wall(int run, const Joint& joint, Point p);
    void enter_slide(int run, const Joint& joint, Point p);
    void leave(int run, const Joint& joint, Point p);

    const Wall& wall(const std::string& name) const;
    int cell_of(const Wall& wall, double u) const;
    /// "upper" or "lower" half of a wall.
    const char* level_of(const Wall& wall, int cell, double v) const;
    int roof_cell(double u) const;
    std::string strip_of(double v) const;
    std::string wall_id(const std::string& kind, const std::string& wall, int cell, const char* level) const;
    bool in_overhang(const Place& place) const;
    /// What lies indoors on the floor at x: a cell of the floor, or the bed over the overhang.
    std::string floor_at(double x, const std::string& strip) const;

    const Coach& coach_;
    const Catalogue& catalogue_;
    Drainage graph_;
    std::map<std::string, int> ids_;
    std::vector<Wall> walls_;
    int cells_ = 0;             ///< along the coach
    double overhang_ = 0;       ///< length of a floor that overhangs at the front [m]; 0 none
    double overhang_floor_ = 0; ///< its height above ground [m]
};

}  // namespace libseal::detail
