#pragma once
// Coaches made from a few measures.

#include <string>

#include "libseal/coach/coach.hpp"

namespace libseal {

struct TravelTrailerOptions {
    std::string id = "trailer";
    double width = 2.44;         ///< [m], 1.8 to 2.6
    double floor_height = 0.55;  ///< [m]
    double wall_height = 2.0;    ///< floor to roof edge [m]
    int roof_vents = 2;          ///< 0 to 6
    int windows = 5;             ///< 0 to 12
    int slide_outs = 1;          ///< 0 to 2, on the street side
    int marker_lights = 10;      ///< 0 to 20
    bool skylight = true;
    bool air_conditioner = true;
    bool ladder = true;
    bool awning = true;
    std::string roof_substrate = "epdm_membrane";
    std::string roof_finish = "white_membrane";
    std::string wall_substrate = "gelcoat_laminate";
    std::string wall_finish = "white_gelcoat";
    int model_year = 0;
    std::string model_line;
    Date installed_from{};       ///< of all layers
    Date installed_to{};
};

/// A travel trailer with the usual joints, about sixty, placed and measured.
///
/// @param length  Of the shell [m], 4 to 12.
/// @throws ValueError  naming the argument.
/// @source  Kinds of joint, their build and sizes: common practice, no source (see the catalogue).
/// @threads pure.
Coach travel_trailer(double length, const TravelTrailerOptions& options = {});

}  // namespace libseal
