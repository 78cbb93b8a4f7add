#pragma once
// Coaches made from a few measures.

#include <string>
#include <vector>

#include "libseal/coach/coach.hpp"

namespace libseal {

/// What a layout takes besides its length. Each layout has its own usual values and ranges: see `layout_options` and
/// `layout_ranges`; what a layout cannot have has the range 0 to 0. As written here: those of a travel trailer.
struct LayoutOptions {
    std::string id = "trailer";
    double width = 2.44;         ///< [m]
    double floor_height = 0.55;  ///< lower edge of the walls above ground [m]
    double wall_height = 2.0;    ///< floor to roof edge [m]
    double overhang_length = 0;  ///< over a tow vehicle or a cab [m]
    double overhang_height = 0;  ///< underside of the overhang above the floor [m]
    int roof_vents = 2;          ///< number of them
    int windows = 5;             ///< number of them
    int slide_outs = 1;          ///< on the street side
    int slide_outs_curb = 0;     ///< on the curb side
    int marker_lights = 10;      ///< number of them
    int solar_panels = 0;        ///< each on four feet
    int roof_rail_feet = 0;      ///< pairs of feet of a roof rack
    int roof_seams = 0;          ///< seams across the roof, of its membrane or its metal sheets
    bool skylight = true;
    bool air_conditioner = true;
    bool ladder = true;
    bool awning = true;
    bool overcab = false;        ///< of a motorhome: a bed over the cab instead of a flat front with a windshield
    bool slide_awnings = false;  ///< a rail with an awning over each slide-out
    bool drip_rails = false;     ///< gutters under the roof edges
    bool wall_mouldings = false; ///< a moulding along each side wall
    bool graphics = false;       ///< films along each side wall
    std::string roof_substrate = "epdm_membrane";
    std::string roof_finish = "white_membrane";
    std::string wall_substrate = "gelcoat_laminate";
    std::string wall_finish = "white_gelcoat";
    int model_year = 0;          ///< 0 unknown
    std::string model_line;
    Date installed_from{};       ///< of all layers
    Date installed_to{};
};

/// Names of the layouts: "travel_trailer", "fifth_wheel", "motorhome", "camper_van", "truck_camper".
std::vector<std::string> layout_names();
/// Usual options of a layout. @throws ValueError  if there is no such layout, with the nearest name.
LayoutOptions layout_options(const std::string& layout);

/// A travel trailer with the usual joints, about sixty, placed and measured.
///
/// @param length   Of the shell [m], 4 to 12.
/// @param options  Parts are moved a little where they would meet others.
/// @throws ValueError  naming the option that is out of its range, or that asks for more than there is room for.
/// @source  Kinds of joint, their build and sizes: common practice, no source (see the catalogue).
///          Width at most 2.6 m: 23 CFR 658.15, for commercial vehicles; common practice for others.
/// @threads pure.
Coach travel_trailer(double length, const LayoutOptions& options = {});

/// A fifth wheel: its front lies over the tow vehicle, up to four slide-outs. Otherwise as `travel_trailer`.
///
/// @param length  Of the shell with the overhang [m], 7 to 14.
/// @throws ValueError  as `travel_trailer`.
/// @threads pure.
Coach fifth_wheel(double length, const LayoutOptions& options = layout_options("fifth_wheel"));

/// A motorhome: flat front with a windshield, or (`overcab`) a bed over the cab. Otherwise as `travel_trailer`.
///
/// @param length  Of the shell [m], 6 to 13.7; with `overcab` without the bonnet.
/// @throws ValueError  as `travel_trailer`.
/// @threads pure.
Coach motorhome(double length, const LayoutOptions& options = layout_options("motorhome"));

/// A camper van (kind "van"): metal body with a sliding door, few mouldings. Otherwise as `travel_trailer`.
///
/// @param length  From the foot of the windshield to the rear doors [m], 3.8 to 6.5.
/// @throws ValueError  as `travel_trailer`.
/// @threads pure.
Coach camper_van(double length, const LayoutOptions& options = layout_options("camper_van"));

/// A truck camper: it stands in the bed of a truck, its front lies over the cab. Otherwise as `travel_trailer`.
///
/// @param length  Of the shell with the overhang [m], 3.4 to 6.2.
/// @throws ValueError  as `travel_trailer`.
/// @threads pure.
Coach truck_camper(double length, const LayoutOptions& options = layout_options("truck_camper"));

/// Range of an option of a layout: lengths in [m], counts, 0 to 1 for what is there or not.
struct OptionRange {
    std::string option;  ///< "length" or a field of LayoutOptions
    double low = 0;      ///< [unit of the option]
    double high = 0;     ///< [unit of the option]
};
/// @throws ValueError  if there is no such layout, with the nearest name.
std::vector<OptionRange> layout_ranges(const std::string& layout);

}  // namespace libseal
