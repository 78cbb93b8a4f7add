#pragma once
// Numbers of weather tables: nearly all have seven characters or less, and are read eight bytes at a time without asking each.

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

namespace libseal::detail {

inline constexpr std::array<double, 16> powers_of_ten = {1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                         1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

/// The same byte eight times.
constexpr std::uint64_t eight_of(unsigned char byte) { return 0x0101010101010101ull * byte; }

/// The high bit of each byte of the word that is this character, and no other bit.
inline std::uint64_t bytes_equal(std::uint64_t word, char character) {
    constexpr std::uint64_t low = eight_of(0x7f);
    const std::uint64_t x = word ^ eight_of(static_cast<unsigned char>(character));
    return ~(((x & low) + low) | x | low);
}

inline bool are_digits(std::uint64_t word) {
    constexpr std::uint64_t high = eight_of(0xf0);
    return ((word & high) | (((word + eight_of(6)) & high) >> 4)) == eight_of(0x33);
}

/// Of eight digits, the first in the lowest byte: pairs, fours, all.
inline std::uint64_t value_of_digits(std::uint64_t word) {
    word = (word & eight_of(0x0f)) * 2561 >> 8;
    word = (word & 0x00ff00ff00ff00ffull) * 6553601 >> 16;
    return (word & 0x0000ffff0000ffffull) * 42949672960001ull >> 32;
}

/// A plain decimal number of at most seven characters with a comma behind it, rounded correctly.
/// @param text  Eight characters can be read.
/// @return      Its length; 0, and no value, if something else stands there.
inline int short_number(const char* text, double& value) {
    if constexpr (std::endian::native != std::endian::little) return 0;
    std::uint64_t word;
    std::memcpy(&word, text, 8);
    const std::uint64_t commas = bytes_equal(word, ',');
    if (commas == 0) return 0;
    const int length = std::countr_zero(commas) / 8;
    if (length == 0) return 0;
    // The last character to the highest byte; what is before the first is zero.
    word <<= 64 - 8 * length;
    int digits = length, decimals = 0;
    const bool negative = *text == '-';
    if (negative) {
        word &= ~(std::uint64_t{0xff} << (64 - 8 * length));
        --digits;
    }
    if (const std::uint64_t points = bytes_equal(word, '.'); points != 0) {
        const int place = std::countr_zero(points) / 8;
        const std::uint64_t whole = word & ((std::uint64_t{1} << 8 * place) - 1), rest = word & ~(((std::uint64_t{0x100} << 8 * place)) - 1);
        word = whole << 8 | rest;
        decimals = 7 - place;
        --digits;
    }
    if (digits == 0) return 0;
    word |= eight_of('0') >> 8 * digits;
    if (!are_digits(word)) return 0;
    // Both are exact, so that one division rounds once.
    const double size = static_cast<double>(value_of_digits(word)) / powers_of_ten[static_cast<std::size_t>(decimals)];
    value = negative ? -size : size;
    return length;
}

}  // namespace libseal::detail
