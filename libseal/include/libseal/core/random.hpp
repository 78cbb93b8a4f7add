#pragma once
// Own random streams: the same bits on every platform, one stream per task.

#include <cstdint>

namespace libseal {

/// xoshiro256++ seeded through splitmix64. One stream per (seed, task); streams do not share state.
///
/// @source  Blackman & Vigna 2021, Scrambled linear pseudorandom number generators, ACM TOMS 47(4).
class RandomStream {
public:
    explicit RandomStream(std::uint64_t seed, std::uint64_t task = 0);

    std::uint64_t next();
    /// Uniform in (0, 1), 53 bits, never 0 or 1. [-]
    double uniform();
    /// Uniform integer in [0, n). n > 0. Without bias.
    std::uint64_t below(std::uint64_t n);
    /// Standard normal, by inversion, so that one draw costs one uniform. [-]
    double normal();

private:
    std::uint64_t s_[4];
};

/// Inverse of the standard normal distribution function; relative error below 1e-12. [-]  @param p  [-], in (0, 1)
double normal_quantile(double p);
/// Standard normal distribution function. [-]  @param x  [-]
double normal_probability(double x);

}  // namespace libseal
