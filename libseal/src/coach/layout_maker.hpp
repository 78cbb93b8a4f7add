#pragma once
// The pieces that layouts are put together from: shell, roof, slide-outs, walls, underside.

#include <string>
#include <vector>

#include "coach/builder.hpp"
#include "libseal/coach/layouts.hpp"

namespace libseal::detail {

/// One coach in the making. Pieces that come first take their places first; later ones go round them.
/// All sizes are common practice, no source; the same as in the catalogue's joint types where these have them.
class LayoutMaker {
public:
    /// @throws ValueError  naming an option that is out of the layout's range.
    LayoutMaker(const std::string& layout, const std::string& kind, double length, const LayoutOptions& options,
                bool overhang = false);
    /// The coach, without the spare room of lists that grew: large fleets hold many.
    Coach take() {
        coach_.joints.shrink_to_fit();
        coach_.parts.shrink_to_fit();
        coach_.surfaces.shrink_to_fit();
        return std::move(coach_);
    }

    // Shell: layout_shell.cpp.
    void add_surfaces();
    void add_shell(double wheels, double half_wheels);  ///< surfaces, edges, seams of the roof; wheel openings, none at 0
    void add_wheels(const std::string& side, double middle, double half_width, bool trim, const std::string& name = "wheels_");
    void add_overhang_seam();
    void add_gutter_spouts();
    void add_drip_rails();

    // Roof: layout_roof.cpp. Shares of the length are from the front.
    void add_roof_fittings(double air_conditioner, bool pipes = true);  ///< all that stands on a roof
    void add_roof_vents();
    void add_air_conditioner(double share);
    void add_skylight();
    void add_ladder();
    void add_roof_extras();      ///< roof rack, solar panels

    // Slide-outs: layout_slides.cpp.
    struct SlideRow {
        std::string wall;        ///< "street_wall" or "curb_wall"
        double from, to;         ///< stretch of the wall [m]
        int count;
        double low;              ///< lower edge of the boxes above ground [m]
        double depth;            ///< of the first one [m]; the others 0.60
        std::string argument;
        double share = 0.42;     ///< of the length that a box is at most wide [-]
    };
    void add_slides(const SlideRow& row);
    int slides_on(const std::string& wall) const;

    // Walls: layout_walls.cpp.
    using Wanted = CoachBuilder::Wanted;
    /// A part with the joint round it, on the wall's substrate. Only what no option counts may leave its usual height.
    void fit(Wanted wanted, const std::string& type, const std::string& substrate);
    /// A part without a joint, where there is room for it.
    void note(Wanted wanted);
    void add_windows(const std::string& wall, int count, bool with_exit);
    /// Windows on the slide-outs of a wall, then on the wall: `count` in all.
    void add_side_windows(const std::string& wall, int count, bool with_exit);
    void add_rear_window();
    void add_entrance_door(const std::string& wall, double u, double width);
    void add_baggage_door(const std::string& side, double u);
    void add_inlets(double power, double water, double cable);  ///< on the street wall, as shares of the length
    void add_furnace_vent();
    void add_porch_light(double u);
    void add_markers(const std::string& surface, int count);
    void add_tail_lights(double width, double height, double from_edge);
    void add_ends();             ///< lights and the window of the moulded ends
    void add_awning(bool arms = true);  ///< arms reach down to the floor, else brackets at the top alone
    void add_long_lines();       ///< wall mouldings and films, broken where something stands in their way

    // Underside: layout_shell.cpp.
    void add_underside(bool passes);

    const LayoutOptions& o;
    const double length, half, floor, top;
    const double overhang, overhang_floor;  ///< length and underside above ground of the front overhang, 0 and `floor` without [m]
    CoachBuilder& build() { return build_; }

private:
    void add_roof_edges();
    void add_ends_of_roof();     ///< where the roof sheet meets the moulded ends
    void add_wall_edges(double wheels, double half_wheels);  ///< corner and floor mouldings, wheel openings; none at 0
    void add_roof_seams();
    void add_pipe_vents();
    void add_refrigerator_roof_vent();
    void add_antenna();
    void add_slide(const SlideRow& row, const std::string& id, double u, double width, double depth);
    void add_slide_joints(const SlideRow& row, const std::string& id, double u, double width, double outer);
    void add_slide_window(const std::string& slide);
    void add_solar_panel(int number);
    Point ladder_foot(int number) const;  ///< least u and v of the first or second foot on the roof
    void keep_free_for_ladder();

    const Catalogue catalogue_ = Catalogue::built_in();
    Coach coach_;
    CoachBuilder build_;
    int markers_ = 0, windows_ = 0, slides_ = 0;
};

}  // namespace libseal::detail
