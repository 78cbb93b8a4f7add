#pragma once
// The step of the random streams, inline for inner loops that draw often.

#include <bit>
#include <cstdint>

namespace libseal::detail {

/// The next 64 bits of xoshiro256++ and the state after them.
///
/// @source  Blackman & Vigna 2021, Scrambled linear pseudorandom number generators, ACM TOMS 47(4).
inline std::uint64_t next_bits(std::uint64_t (&s)[4]) {
    const std::uint64_t result = std::rotl(s[0] + s[3], 23) + s[0];
    const std::uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = std::rotl(s[3], 45);
    return result;
}

}  // namespace libseal::detail
