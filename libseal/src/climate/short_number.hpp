#pragma once
// Numbers of weather tables: nearly all have seven characters or less, and are read eight bytes at a time without asking each.

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#ifdef __SSE2__
#include <emmintrin.h>
#endif

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

inline constexpr std::size_t block_size = 64;

/// Which of 64 characters are this one, the first in the lowest bit: by eight bytes at a time, on any processor that counts from the low end.
inline std::uint64_t places_by_words(const char* block, char character) {
    std::uint64_t places = 0;
    for (std::size_t i = 0; i < block_size; i += 8) {
        std::uint64_t word;
        std::memcpy(&word, block + i, 8);
        places |= ((bytes_equal(word, character) >> 7) * 0x0102040810204080ull >> 56) << i;
    }
    return places;
}

/// The same by what every x86-64 has.
inline std::uint64_t places_in_block(const char* block, char character) {
#ifdef __SSE2__
    std::uint64_t places = 0;
    for (int i = 3; i >= 0; --i) {
        const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(block) + i);
        places = places << 16 | static_cast<std::uint32_t>(_mm_movemask_epi8(_mm_cmpeq_epi8(bytes, _mm_set1_epi8(character))));
    }
    return places;
#else
    return places_by_words(block, character);
#endif
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

/// A plain decimal number of at most seven characters, rounded correctly.
/// @param text    Eight characters can be read, however long the number is.
/// @return        False, and no value, if something else stands there.
inline bool short_number(const char* text, std::size_t length, double& value) {
    if constexpr (std::endian::native != std::endian::little) return false;
    if (length - 1 > 6) return false;
    std::uint64_t word;
    std::memcpy(&word, text, 8);
    // The last character to the highest byte; what is before the first is zero.
    word <<= 64 - 8 * length;
    int digits = static_cast<int>(length), decimals = 0;
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
    if (digits == 0) return false;
    word |= eight_of('0') >> 8 * digits;
    if (!are_digits(word)) return false;
    // Both are exact, so that one division rounds once.
    const double size = static_cast<double>(value_of_digits(word)) / powers_of_ten[static_cast<std::size_t>(decimals)];
    value = negative ? -size : size;
    return true;
}

}  // namespace libseal::detail
