#pragma once
// The least chance that a look finds what is there with which intervals between looks are worked out.

namespace libseal::detail {

/// With less, no interval of looks is worth comparing. [-], judgement
constexpr double least_detection = 0.01;

}  // namespace libseal::detail
