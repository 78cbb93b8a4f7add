// A program of somebody else: uses the library through public headers and checks what it gets.

#include <cmath>
#include <cstdio>

#include "libseal/climate/sun.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/version.hpp"

int main() {
    // 17 October 2003, 12:30:30 at UTC-7, 39.742476 N 105.1786 W: zenith 50.11162 with 0.01633 of refraction,
    // azimuth 194.34024 (Reda & Andreas 2004, Solar Energy 76, table A5.1; NREL/TP-560-34302).
    // The library promises 0.01 degrees from 2010 on.
    const auto sun = libseal::sun_angles(libseal::make_instant(2003, 10, 17, 19, 30, 30), 39.742476, -105.1786);
    const bool sun_right = std::abs(sun.zenith - (50.11162 + 0.01633)) < 0.02 && std::abs(sun.azimuth - 194.34024) < 0.02;

    const auto coach = libseal::travel_trailer(8.0);
    std::printf("libseal %s: zenith %.4f, azimuth %.4f, %zu joints\n", libseal::version, sun.zenith, sun.azimuth,
                coach.joints.size());
    return sun_right && coach.joints.size() > 30 ? 0 : 1;
}
