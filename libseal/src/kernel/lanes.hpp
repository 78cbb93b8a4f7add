#pragma once
// One register of doubles of the instruction set that this file is compiled for, and sixteen lanes made of such registers.
// Every operation works lane by lane and rounds once, so that all instruction sets give the same bits.
//
// For the sources of kernels alone (see instruction_set.hpp). Everything here lives in a nameless namespace: the linker must
// not keep code of one instruction set for the use of another. For the same reason templates of Eigen and of the standard
// library stay out of these sources.

#include <cstddef>
#include <cstdint>

#if defined(__AVX2__) && defined(__FMA__)
#include <immintrin.h>
#endif

namespace libseal::kernel {
namespace {

#define LIBSEAL_LANE [[gnu::always_inline]] inline

#if defined(__AVX512F__) && defined(__AVX512DQ__)

struct Mask {
    __mmask8 bits;
};
struct Register {
    static constexpr std::size_t width = 8;
    __m512d v;

    Register() = default;
    LIBSEAL_LANE Register(__m512d x) : v(x) {}
    LIBSEAL_LANE Register(double x) : v(_mm512_set1_pd(x)) {}
    LIBSEAL_LANE static Register load(const double* from) { return _mm512_loadu_pd(from); }
    LIBSEAL_LANE void store(double* to) const { _mm512_storeu_pd(to, v); }
};
LIBSEAL_LANE Register fused(Register a, Register b, Register c) { return _mm512_fmadd_pd(a.v, b.v, c.v); }
LIBSEAL_LANE Register smaller(Register a, Register b) { return _mm512_min_pd(a.v, b.v); }
LIBSEAL_LANE Register larger(Register a, Register b) { return _mm512_max_pd(a.v, b.v); }
LIBSEAL_LANE Register root(Register a) { return _mm512_sqrt_pd(a.v); }
LIBSEAL_LANE Register size_of(Register a) { return _mm512_abs_pd(a.v); }
LIBSEAL_LANE Mask operator<(Register a, Register b) { return {_mm512_cmp_pd_mask(a.v, b.v, _CMP_LT_OQ)}; }
LIBSEAL_LANE Mask operator&(Mask a, Mask b) { return {static_cast<__mmask8>(a.bits & b.bits)}; }
LIBSEAL_LANE bool any(Mask m) { return m.bits != 0; }
LIBSEAL_LANE Register either(Mask m, Register yes, Register no) { return _mm512_mask_blend_pd(m.bits, no.v, yes.v); }
LIBSEAL_LANE Register shifted_bits(Register a) { return _mm512_castsi512_pd(_mm512_slli_epi64(_mm512_castpd_si512(a.v), 52)); }
LIBSEAL_LANE void split_bits(Register x, std::uint64_t offset, Register& exponent, Register& mantissa, std::uint64_t base) {
    const __m512i bits = _mm512_add_epi64(_mm512_castpd_si512(x.v), _mm512_set1_epi64(static_cast<long long>(offset)));
    const __m512i part = _mm512_and_si512(bits, _mm512_set1_epi64(0x000fffffffffffffLL));
    exponent = _mm512_castsi512_pd(_mm512_or_si512(_mm512_srli_epi64(bits, 52), _mm512_set1_epi64(0x4330000000000000LL)));
    mantissa = _mm512_castsi512_pd(_mm512_add_epi64(part, _mm512_set1_epi64(static_cast<long long>(base))));
}

#elif defined(__AVX2__) && defined(__FMA__)

struct Mask {
    __m256d bits;
};
struct Register {
    static constexpr std::size_t width = 4;
    __m256d v;

    Register() = default;
    LIBSEAL_LANE Register(__m256d x) : v(x) {}
    LIBSEAL_LANE Register(double x) : v(_mm256_set1_pd(x)) {}
    LIBSEAL_LANE static Register load(const double* from) { return _mm256_loadu_pd(from); }
    LIBSEAL_LANE void store(double* to) const { _mm256_storeu_pd(to, v); }
};
LIBSEAL_LANE Register fused(Register a, Register b, Register c) { return _mm256_fmadd_pd(a.v, b.v, c.v); }
LIBSEAL_LANE Register smaller(Register a, Register b) { return _mm256_min_pd(a.v, b.v); }
LIBSEAL_LANE Register larger(Register a, Register b) { return _mm256_max_pd(a.v, b.v); }
LIBSEAL_LANE Register root(Register a) { return _mm256_sqrt_pd(a.v); }
LIBSEAL_LANE Register size_of(Register a) { return _mm256_andnot_pd(_mm256_set1_pd(-0.0), a.v); }
LIBSEAL_LANE Mask operator<(Register a, Register b) { return {_mm256_cmp_pd(a.v, b.v, _CMP_LT_OQ)}; }
LIBSEAL_LANE Mask operator&(Mask a, Mask b) { return {_mm256_and_pd(a.bits, b.bits)}; }
LIBSEAL_LANE bool any(Mask m) { return _mm256_movemask_pd(m.bits) != 0; }
LIBSEAL_LANE Register either(Mask m, Register yes, Register no) { return _mm256_blendv_pd(no.v, yes.v, m.bits); }
LIBSEAL_LANE Register shifted_bits(Register a) { return _mm256_castsi256_pd(_mm256_slli_epi64(_mm256_castpd_si256(a.v), 52)); }
LIBSEAL_LANE void split_bits(Register x, std::uint64_t offset, Register& exponent, Register& mantissa, std::uint64_t base) {
    const __m256i bits = _mm256_add_epi64(_mm256_castpd_si256(x.v), _mm256_set1_epi64x(static_cast<long long>(offset)));
    const __m256i part = _mm256_and_si256(bits, _mm256_set1_epi64x(0x000fffffffffffffLL));
    exponent = _mm256_castsi256_pd(_mm256_or_si256(_mm256_srli_epi64(bits, 52), _mm256_set1_epi64x(0x4330000000000000LL)));
    mantissa = _mm256_castsi256_pd(_mm256_add_epi64(part, _mm256_set1_epi64x(static_cast<long long>(base))));
}

#else

struct Mask {
    bool bits;
};
struct Register {
    static constexpr std::size_t width = 1;
    double v;

    Register() = default;
    LIBSEAL_LANE Register(double x) : v(x) {}
    LIBSEAL_LANE static Register load(const double* from) { return *from; }
    LIBSEAL_LANE void store(double* to) const { *to = v; }
};
LIBSEAL_LANE double from_bits(std::uint64_t bits) { return __builtin_bit_cast(double, bits); }
LIBSEAL_LANE std::uint64_t bits_of(double x) { return __builtin_bit_cast(std::uint64_t, x); }
LIBSEAL_LANE Register fused(Register a, Register b, Register c) { return __builtin_fma(a.v, b.v, c.v); }
LIBSEAL_LANE Register smaller(Register a, Register b) { return a.v < b.v ? a.v : b.v; }
LIBSEAL_LANE Register larger(Register a, Register b) { return a.v > b.v ? a.v : b.v; }
LIBSEAL_LANE Register root(Register a) { return __builtin_sqrt(a.v); }
LIBSEAL_LANE Register size_of(Register a) { return __builtin_fabs(a.v); }
LIBSEAL_LANE Mask operator<(Register a, Register b) { return {a.v < b.v}; }
LIBSEAL_LANE Mask operator&(Mask a, Mask b) { return {a.bits && b.bits}; }
LIBSEAL_LANE bool any(Mask m) { return m.bits; }
LIBSEAL_LANE Register either(Mask m, Register yes, Register no) { return m.bits ? yes.v : no.v; }
LIBSEAL_LANE Register shifted_bits(Register a) { return from_bits(bits_of(a.v) << 52); }
LIBSEAL_LANE void split_bits(Register x, std::uint64_t offset, Register& exponent, Register& mantissa, std::uint64_t base) {
    const std::uint64_t bits = bits_of(x.v) + offset;
    exponent = from_bits((bits >> 52) | 0x4330000000000000ULL);
    mantissa = from_bits((bits & 0x000fffffffffffffULL) + base);
}

#endif

LIBSEAL_LANE Register operator+(Register a, Register b) { return a.v + b.v; }
LIBSEAL_LANE Register operator-(Register a, Register b) { return a.v - b.v; }
LIBSEAL_LANE Register operator*(Register a, Register b) { return a.v * b.v; }
LIBSEAL_LANE Register operator/(Register a, Register b) { return a.v / b.v; }
LIBSEAL_LANE Register operator-(Register a) { return -a.v; }
/// Neither infinite nor NaN.
LIBSEAL_LANE Mask finite(Register a) { return size_of(a) < Register(__builtin_inf()); }

/// Sixteen lanes on every instruction set: sums kept in them are added up in the same order everywhere. They also keep the
/// pipes busy, as the registers of one step wait for nothing of each other.
struct Lanes {
    static constexpr std::size_t width = 16, count = width / Register::width;
    Register part[count];

    Lanes() = default;
    LIBSEAL_LANE Lanes(double x) {
        for (Register& p : part) p = Register(x);
    }
    LIBSEAL_LANE static Lanes load(const double* from) {
        Lanes lanes;
        for (std::size_t i = 0; i < count; ++i) lanes.part[i] = Register::load(from + i * Register::width);
        return lanes;
    }
    LIBSEAL_LANE void store(double* to) const {
        for (std::size_t i = 0; i < count; ++i) part[i].store(to + i * Register::width);
    }
    /// In a fixed tree.
    LIBSEAL_LANE double sum() const {
        double x[width];
        store(x);
        for (std::size_t half = width / 2; half > 0; half /= 2)
            for (std::size_t i = 0; i < half; ++i) x[i] += x[i + half];
        return x[0];
    }
};
struct LanesMask {
    Mask part[Lanes::count];
};

#define LIBSEAL_LANES_OF(expression)                                     \
    Lanes result;                                                        \
    for (std::size_t i = 0; i < Lanes::count; ++i) result.part[i] = expression; \
    return result
LIBSEAL_LANE Lanes operator+(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(a.part[i] + b.part[i]); }
LIBSEAL_LANE Lanes operator-(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(a.part[i] - b.part[i]); }
LIBSEAL_LANE Lanes operator*(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(a.part[i] * b.part[i]); }
LIBSEAL_LANE Lanes operator/(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(a.part[i] / b.part[i]); }
LIBSEAL_LANE Lanes operator-(const Lanes& a) { LIBSEAL_LANES_OF(-a.part[i]); }
LIBSEAL_LANE Lanes fused(const Lanes& a, const Lanes& b, const Lanes& c) { LIBSEAL_LANES_OF(fused(a.part[i], b.part[i], c.part[i])); }
LIBSEAL_LANE Lanes smaller(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(smaller(a.part[i], b.part[i])); }
LIBSEAL_LANE Lanes larger(const Lanes& a, const Lanes& b) { LIBSEAL_LANES_OF(larger(a.part[i], b.part[i])); }
LIBSEAL_LANE Lanes root(const Lanes& a) { LIBSEAL_LANES_OF(root(a.part[i])); }
LIBSEAL_LANE Lanes size_of(const Lanes& a) { LIBSEAL_LANES_OF(size_of(a.part[i])); }
LIBSEAL_LANE Lanes shifted_bits(const Lanes& a) { LIBSEAL_LANES_OF(shifted_bits(a.part[i])); }
LIBSEAL_LANE Lanes either(const LanesMask& m, const Lanes& yes, const Lanes& no) { LIBSEAL_LANES_OF(either(m.part[i], yes.part[i], no.part[i])); }
#undef LIBSEAL_LANES_OF
LIBSEAL_LANE LanesMask operator<(const Lanes& a, const Lanes& b) {
    LanesMask mask;
    for (std::size_t i = 0; i < Lanes::count; ++i) mask.part[i] = a.part[i] < b.part[i];
    return mask;
}
LIBSEAL_LANE void split_bits(const Lanes& x, std::uint64_t offset, Lanes& exponent, Lanes& mantissa, std::uint64_t base) {
    for (std::size_t i = 0; i < Lanes::count; ++i) split_bits(x.part[i], offset, exponent.part[i], mantissa.part[i], base);
}

}  // namespace
}  // namespace libseal::kernel
