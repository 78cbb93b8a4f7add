#pragma once
// The one place that holds the version: the build, the wheel and the Python module read it from here.

#define LIBSEAL_VERSION "0.1.0"

namespace libseal {

/// Version of the library as text, for example "0.1.0".
inline constexpr const char* version = LIBSEAL_VERSION;

}  // namespace libseal
