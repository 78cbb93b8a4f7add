#pragma once
// The body of rainflow.hpp, sixty-four points at a time: comparisons give words of bits, and bits say what stays.

#include "kernel/lane_bits.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/rainflow.hpp"

namespace libseal::kernel {
namespace {

constexpr std::size_t word = 64;
constexpr std::size_t few_points = 40;  // the rest is done one by one

/// Which points of a word of a series are turns, given its slopes.
struct Slopes {
    std::uint64_t up = 0;  ///< whether the last slope so far, rests left out, went up

    /// Bit i: the history goes on from point i the other way than it came. Points of a plateau keep the slope before them.
    LIBSEAL_LANE std::uint64_t turns(std::uint64_t rises, std::uint64_t falls) {
        const std::uint64_t rests = ~(rises | falls);
        // A carry that runs through each rest that a rise leads to.
        const std::uint64_t begin = (rises << 1 | up) & rests, run = rises | (rests & ~(rests + begin));
        const std::uint64_t result = run ^ (run << 1 | up);
        up = run >> (word - 1);
        return result;
    }
};

/// Packs the points of a word whose bits are set, none beyond `filled`, a multiple of the register's width.
LIBSEAL_LANE double* pack_points(const double* q, std::size_t filled, std::uint64_t bits, double* to) {
    if constexpr (Register::width == 1) {
        for (; bits; bits &= bits - 1) *to++ = q[__builtin_ctzll(bits)];
        return to;
    }
    for (std::size_t i = 0; i < filled; i += Register::width) to = pack(Register::load(q + i), bits >> i & register_bits, to);
    return to;
}

/// The same for the ranges that these points begin.
LIBSEAL_LANE double* pack_ranges(const double* q, std::size_t filled, std::uint64_t bits, double* to) {
    if constexpr (Register::width == 1) {
        for (; bits; bits &= bits - 1) *to++ = q[__builtin_ctzll(bits)] + q[__builtin_ctzll(bits) + 1];
        return to;
    }
    for (std::size_t i = 0; i < filled; i += Register::width)
        to = pack(Register::load(q + i) + Register::load(q + i + 1), bits >> i & register_bits, to);
    return to;
}

/// Packs the turns of a word; x[0] to x[64] are read. `nought` stays 0 as long as all values are finite.
LIBSEAL_LANE double* pack_turns(const double* x, Slopes& slopes, Lanes& nought, double* to) {
    // A page ahead: the processor fetches ahead by itself only within one.
    for (std::size_t i = 0; i < word; i += 8) __builtin_prefetch(x + 512 + i);
    std::uint64_t rises = 0, falls = 0;
    for (std::size_t i = 0; i < word; i += Register::width) {
        const Register now = Register::load(x + i), next = Register::load(x + i + 1);
        rises |= bits_of(now < next) << i;
        falls |= bits_of(next < now) << i;
        // Without registers a fused product is a call.
        Register& sum = nought.part[i / Register::width % Lanes::count];
        sum = Register::width == 1 ? sum + now * Register(0.0) : fused(now, Register(0.0), sum);
    }
    const std::uint64_t turns = slopes.turns(rises, falls);
    return pack_points(x, word, turns, to);
}

std::size_t turning_points(const double* series, std::size_t count, double* points) {
    const std::size_t not_finite = count + 1;
    if (series[count - 1] * 0 != 0) return not_finite;
    std::size_t at = 0;
    while (at + 1 < count && series[at + 1] == series[at]) ++at;
    if (at + 1 == count) return 0;
    Slopes slopes;
    slopes.up = series[at] < series[at + 1];
    Lanes nought(0.0);
    double* to = points;
    *to++ = series[at];
    for (; at + word < count; at += word) to = pack_turns(series + at, slopes, nought, to);
    // The rest, as if it ended in a plateau.
    double rest[word + 1];
    for (std::size_t i = 0; i <= word; ++i) rest[i] = series[at + i < count ? at + i : count - 1];
    to = pack_turns(rest, slopes, nought, to);
    *to++ = series[count - 1];
    return nought.sum() == 0 ? static_cast<std::size_t>(to - points) : not_finite;
}

/// Lows with their sign turned, so that of points of both kinds the larger one reaches further, and a range is a sum.
LIBSEAL_LANE void turn_lows(double* points, std::size_t count, bool begins_low) {
    double signs[Lanes::width];
    for (std::size_t i = 0; i < Lanes::width; ++i) signs[i] = (i % 2 == 0) == begins_low ? -1 : 1;
    const Lanes sign = Lanes::load(signs);
    for (std::size_t i = 0; i < count; i += Lanes::width) (Lanes::load(points + i) * sign).store(points + i);
}

/// One pass: takes out what is closed now.
std::size_t contract_once(double* points, std::size_t count, double* ranges) {
    double *to = points, *range = ranges;
    std::uint64_t shrunk = 0, closed_before = 0;  // of the point before a word
    for (std::size_t at = 0; at < count; at += word) {
        const double* q = points + at;
        const std::size_t size = count - at < word ? count - at : word;
        const std::size_t filled = (size + Register::width - 1) / Register::width * Register::width;
        // Bit i: the next point of its kind reaches less far.
        const std::uint64_t shrinks = less_bits(q + 2, q, filled);
        std::uint64_t closed = (shrinks << 1 | shrunk) & ~shrinks;
        // The last two points begin no range with another after it.
        const std::size_t candidates = count - at - 2;
        if (count < at + 2) closed = 0;
        else if (candidates < word) closed &= (std::uint64_t{1} << candidates) - 1;
        const std::uint64_t kept = ~(closed | closed << 1 | closed_before);
        range = pack_ranges(q, filled, closed, range);
        to = pack_points(q, filled, size < word ? kept & ((std::uint64_t{1} << size) - 1) : kept, to);
        shrunk = shrinks >> (word - 1);
        closed_before = closed >> (word - 1);
    }
    return static_cast<std::size_t>(range - ranges);
}

/// The same to the end, point by point. @return  How many points stay.
std::size_t contract_rest(double* points, std::size_t count, double* range) {
    std::size_t size = 0;
    for (std::size_t i = 0; i < count; ++i) {
        points[size++] = points[i];
        while (size >= 4 && points[size - 2] < points[size - 4] && points[size - 3] <= points[size - 1]) {
            *range++ = points[size - 3] + points[size - 2];
            points[size - 3] = points[size - 1];
            size -= 2;
        }
    }
    return size;
}

std::size_t contraction(double* points, std::size_t count, double* ranges) {
    if (count < 4) return 0;
    const bool begins_low = points[0] < points[1];
    for (std::size_t i = 0; i < rainflow_room; ++i) points[count + i] = 0;
    turn_lows(points, count, begins_low);
    std::size_t size = count, closed = 0, now = count;
    // As soon as a pass finds little, one by one: cycles that close only after each other would take as many passes.
    while (size >= few_points && now > 0 && 20 * now >= size) {
        now = contract_once(points, size, ranges + closed);
        closed += now;
        size -= 2 * now;
    }
    const std::size_t left = now == 0 ? size : contract_rest(points, size, ranges + closed);
    closed += (size - left) / 2;
    turn_lows(points, left, begins_low);
    return closed;
}

/// x^Exponent in a fixed order of products.
template <int Exponent>
LIBSEAL_LANE Lanes power(const Lanes& x) {
    if constexpr (Exponent == 1) return x;
    else if constexpr (Exponent % 2 == 0) {
        const Lanes root = power<Exponent / 2>(x);
        return root * root;
    } else return power<Exponent - 1>(x) * x;
}

/// Sum over all ranges in sixteen lanes. `term` gives 0 for 0.
template <class Term>
LIBSEAL_LANE double sum_of(const double* ranges, std::size_t count, Term term) {
    Lanes sum(0.0);
    std::size_t at = 0;
    for (; at + Lanes::width <= count; at += Lanes::width) sum = sum + term(Lanes::load(ranges + at));
    if (at < count) {
        double rest[Lanes::width] = {};
        for (std::size_t i = 0; at + i < count; ++i) rest[i] = ranges[at + i];
        sum = sum + term(Lanes::load(rest));
    }
    return sum.sum();
}

template <int Exponent>
double sum_of_powers(const double* ranges, std::size_t count) {
    return sum_of(ranges, count, [](const Lanes& x) { return power<Exponent>(x); });
}

double power_sum(const double* ranges, std::size_t count, double exponent) {
    if (exponent == 1) return sum_of_powers<1>(ranges, count);
    if (exponent == 2) return sum_of_powers<2>(ranges, count);
    if (exponent == 3) return sum_of_powers<3>(ranges, count);
    if (exponent == 4) return sum_of_powers<4>(ranges, count);
    if (exponent == 5) return sum_of_powers<5>(ranges, count);
    if (exponent == 6) return sum_of_powers<6>(ranges, count);
    if (exponent == 7) return sum_of_powers<7>(ranges, count);
    if (exponent == 8) return sum_of_powers<8>(ranges, count);
    const Register zero(0.0), m(exponent);
    return sum_of(ranges, count, [&](Lanes x) {
        for (Register& part : x.part) part = either(zero < part, exponential(m * logarithm(part)), zero);
        return x;
    });
}

/// The last place up to `from` that holds the value. There is one.
std::size_t last_place(const double* series, std::size_t from, double value) {
    const Register wanted(value);
    std::size_t end = from + 1;
    while (end >= word) {
        std::uint64_t bits = 0;
        for (std::size_t i = 0; i < word; i += Register::width) bits |= bits_of(equal(Register::load(series + end - word + i), wanted)) << i;
        if (bits) return end - 1 - static_cast<std::size_t>(__builtin_clzll(bits));
        end -= word;
    }
    while (end > 0 && series[end - 1] != value) --end;
    return end - 1;
}

void last_places(const double* series, std::size_t count, const double* points, std::size_t point_count, std::size_t* places) {
    std::size_t from = count - 1;
    for (std::size_t k = point_count; k-- > 0;) {
        places[k] = k + 1 == point_count ? from : last_place(series, from, points[k]);
        from = places[k] - 1;
    }
}

constexpr RainflowKernels rainflow_kernels{&turning_points, &contraction, &power_sum, &last_places};

}  // namespace
}  // namespace libseal::kernel
