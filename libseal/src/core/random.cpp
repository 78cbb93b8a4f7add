#include "libseal/core/random.hpp"

#include <cmath>
#include <limits>

#include "core/xoshiro.hpp"

namespace libseal {
namespace {

std::uint64_t splitmix(std::uint64_t& state) {
    std::uint64_t z = (state += 0x9E3779B97F4A7C15ull);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ull;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBull;
    return z ^ (z >> 31);
}

}  // namespace

RandomStream::RandomStream(std::uint64_t seed, std::uint64_t task) {
    std::uint64_t state = seed;
    state = splitmix(state) ^ (task * 0xD1342543DE82EF95ull);
    for (auto& word : s_) word = splitmix(state);
}

std::uint64_t RandomStream::next() { return detail::next_bits(s_); }

double RandomStream::uniform() { return (static_cast<double>(next() >> 12) + 0.5) * 0x1p-52; }

std::uint64_t RandomStream::below(std::uint64_t n) {
    const std::uint64_t limit = std::numeric_limits<std::uint64_t>::max() - std::numeric_limits<std::uint64_t>::max() % n;
    std::uint64_t draw = next();
    while (draw >= limit) draw = next();
    return draw % n;
}

double RandomStream::normal() { return normal_quantile(uniform()); }

double normal_probability(double x) { return 0.5 * std::erfc(-x * 0.70710678118654752440); }

double normal_quantile(double p) {
    if (!(p > 0 && p < 1)) return p == 0   ? -std::numeric_limits<double>::infinity()
                                  : p == 1 ? std::numeric_limits<double>::infinity()
                                           : std::numeric_limits<double>::quiet_NaN();
    // Start: Abramowitz & Stegun 26.2.23 (error below 4.5e-4); then Halley steps on the lower tail.
    const double tail = p < 0.5 ? p : 1 - p;
    const double t = std::sqrt(-2 * std::log(tail));
    double x = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    for (int i = 0; i < 2; ++i) {
        const double upper = 0.5 * std::erfc(x * 0.70710678118654752440);
        const double u = (upper - tail) * 2.50662827463100050242 * std::exp(0.5 * x * x);
        x += u / (1 - 0.5 * x * u);
    }
    return p < 0.5 ? -x : x;
}

}  // namespace libseal
