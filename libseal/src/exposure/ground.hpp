#pragma once
// What surrounds a coach.

namespace libseal::detail {

constexpr double ground_albedo = 0.2;      // grass, solar (usual table value, from memory)
constexpr double ground_uv_albedo = 0.04;  // grass and soil, ultraviolet (IARC monograph 55, table 4)
constexpr double indoor_minimum = 5.0;     // frost-free hall [degC], judgement

}  // namespace libseal::detail
