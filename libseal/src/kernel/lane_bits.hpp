#pragma once
// Comparisons as bits, and registers packed by bits: what is kept moves together.

#include "kernel/lanes.hpp"

namespace libseal::kernel {
namespace {

#if defined(__AVX512F__) && defined(__AVX512DQ__)

LIBSEAL_LANE std::uint64_t bits_of(Mask m) { return m.bits; }
LIBSEAL_LANE Mask equal(Register a, Register b) { return {_mm512_cmp_pd_mask(a.v, b.v, _CMP_EQ_OQ)}; }
/// Stores the lanes whose bits are set side by side; what follows them in the register's width is lost.
/// @return  Where the next one goes.
LIBSEAL_LANE double* pack(Register a, std::uint64_t bits, double* to) {
    _mm512_storeu_pd(to, _mm512_maskz_compress_pd(static_cast<__mmask8>(bits), a.v));
    return to + __builtin_popcountll(bits);
}

#elif defined(__AVX2__) && defined(__FMA__)

LIBSEAL_LANE std::uint64_t bits_of(Mask m) { return static_cast<std::uint64_t>(_mm256_movemask_pd(m.bits)); }
LIBSEAL_LANE Mask equal(Register a, Register b) { return {_mm256_cmp_pd(a.v, b.v, _CMP_EQ_OQ)}; }

/// Of each pattern of four bits the halves of the lanes that are set, in order.
struct PackTable {
    alignas(32) std::int32_t halves[16][8] = {};
    constexpr PackTable() {
        for (int bits = 0; bits < 16; ++bits) {
            int next = 0;
            for (int lane = 0; lane < 4; ++lane)
                if (bits >> lane & 1) {
                    halves[bits][next++] = 2 * lane;
                    halves[bits][next++] = 2 * lane + 1;
                }
        }
    }
};
constexpr PackTable pack_table;

LIBSEAL_LANE double* pack(Register a, std::uint64_t bits, double* to) {
    const __m256i order = _mm256_load_si256(reinterpret_cast<const __m256i*>(pack_table.halves[bits]));
    _mm256_storeu_ps(reinterpret_cast<float*>(to), _mm256_permutevar8x32_ps(_mm256_castpd_ps(a.v), order));
    return to + __builtin_popcountll(bits);
}

#else

LIBSEAL_LANE std::uint64_t bits_of(Mask m) { return m.bits ? 1 : 0; }
LIBSEAL_LANE Mask equal(Register a, Register b) { return {a.v == b.v}; }
LIBSEAL_LANE double* pack(Register a, std::uint64_t bits, double* to) {
    *to = a.v;
    return to + bits;
}

#endif

constexpr std::uint64_t register_bits = (std::uint64_t{1} << Register::width) - 1;

/// Bit i: a[i] < b[i], for `size` of them, a multiple of the register's width up to 64.
LIBSEAL_LANE std::uint64_t less_bits(const double* a, const double* b, std::size_t size = 64) {
    std::uint64_t bits = 0;
    for (std::size_t i = 0; i < size; i += Register::width) bits |= bits_of(Register::load(a + i) < Register::load(b + i)) << i;
    return bits;
}

}  // namespace
}  // namespace libseal::kernel
