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

/// Several registers that go through the same steps side by side: they keep the pipes busy, as none waits for another.
template <std::size_t Count>
struct Group {
    static constexpr std::size_t count = Count, width = Count * Register::width;
    Register part[count];

    Group() = default;
    LIBSEAL_LANE Group(double x) {
        for (Register& p : part) p = Register(x);
    }
    LIBSEAL_LANE static Group load(const double* from) {
        Group group;
        for (std::size_t i = 0; i < count; ++i) group.part[i] = Register::load(from + i * Register::width);
        return group;
    }
    LIBSEAL_LANE void store(double* to) const {
        for (std::size_t i = 0; i < count; ++i) part[i].store(to + i * Register::width);
    }
    /// In a fixed tree: lane i and i + 8, then i and i + 4, ...
    LIBSEAL_LANE double sum() const {
        Register fold[count];
        for (std::size_t i = 0; i < count; ++i) fold[i] = part[i];
        for (std::size_t half = count / 2; half > 0; half /= 2)
            for (std::size_t i = 0; i < half; ++i) fold[i] = fold[i] + fold[i + half];
        double x[Register::width];
        fold[0].store(x);
        for (std::size_t half = Register::width / 2; half > 0; half /= 2)
            for (std::size_t i = 0; i < half; ++i) x[i] += x[i + half];
        return x[0];
    }
};
template <std::size_t Count>
struct GroupMask {
    Mask part[Count];
};

/// Sixteen lanes on every instruction set: sums kept in them are added up in the same order everywhere.
using Lanes = Group<16 / Register::width>;
/// For steps of so many numbers at once that more registers would not hold them.
using Pair = Group<2>;

#define LIBSEAL_OF_EACH(Result, expression)                             \
    Result result;                                                      \
    for (std::size_t i = 0; i < N; ++i) result.part[i] = expression;    \
    return result
#define LIBSEAL_GROUP template <std::size_t N> LIBSEAL_LANE
LIBSEAL_GROUP Group<N> operator+(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, a.part[i] + b.part[i]); }
LIBSEAL_GROUP Group<N> operator-(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, a.part[i] - b.part[i]); }
LIBSEAL_GROUP Group<N> operator*(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, a.part[i] * b.part[i]); }
LIBSEAL_GROUP Group<N> operator/(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, a.part[i] / b.part[i]); }
LIBSEAL_GROUP Group<N> operator-(const Group<N>& a) { LIBSEAL_OF_EACH(Group<N>, -a.part[i]); }
LIBSEAL_GROUP Group<N> fused(const Group<N>& a, const Group<N>& b, const Group<N>& c) {
    LIBSEAL_OF_EACH(Group<N>, fused(a.part[i], b.part[i], c.part[i]));
}
LIBSEAL_GROUP Group<N> smaller(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, smaller(a.part[i], b.part[i])); }
LIBSEAL_GROUP Group<N> larger(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(Group<N>, larger(a.part[i], b.part[i])); }
LIBSEAL_GROUP Group<N> root(const Group<N>& a) { LIBSEAL_OF_EACH(Group<N>, root(a.part[i])); }
LIBSEAL_GROUP Group<N> size_of(const Group<N>& a) { LIBSEAL_OF_EACH(Group<N>, size_of(a.part[i])); }
LIBSEAL_GROUP Group<N> shifted_bits(const Group<N>& a) { LIBSEAL_OF_EACH(Group<N>, shifted_bits(a.part[i])); }
LIBSEAL_GROUP GroupMask<N> operator<(const Group<N>& a, const Group<N>& b) { LIBSEAL_OF_EACH(GroupMask<N>, a.part[i] < b.part[i]); }
LIBSEAL_GROUP GroupMask<N> operator&(const GroupMask<N>& a, const GroupMask<N>& b) { LIBSEAL_OF_EACH(GroupMask<N>, a.part[i] & b.part[i]); }
LIBSEAL_GROUP GroupMask<N> finite(const Group<N>& a) { LIBSEAL_OF_EACH(GroupMask<N>, finite(a.part[i])); }
LIBSEAL_GROUP Group<N> either(const GroupMask<N>& m, const Group<N>& yes, const Group<N>& no) {
    LIBSEAL_OF_EACH(Group<N>, either(m.part[i], yes.part[i], no.part[i]));
}
LIBSEAL_GROUP bool any(const GroupMask<N>& m) {
    for (const Mask& part : m.part)
        if (any(part)) return true;
    return false;
}
LIBSEAL_GROUP void split_bits(const Group<N>& x, std::uint64_t offset, Group<N>& exponent, Group<N>& mantissa, std::uint64_t base) {
    for (std::size_t i = 0; i < N; ++i) split_bits(x.part[i], offset, exponent.part[i], mantissa.part[i], base);
}
#undef LIBSEAL_OF_EACH
#undef LIBSEAL_GROUP

}  // namespace
}  // namespace libseal::kernel
