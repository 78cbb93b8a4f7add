#include "typical_year_draws.hpp"

#include <cmath>

#include "kernel/column_functions.hpp"
#include "libseal/core/random.hpp"
#include "typical_year_parts.hpp"

namespace libseal::detail {
namespace {

/// Random streams, one for each thing that is drawn.
enum class Draw : std::uint64_t {
    sun_day, sun_hour, temperature_day, temperature_hour, dew_day, dew_hour, wind_day, wind_hour, rain, rain_depth, direction
};

struct Variates {
    RandomStream random;
    Variates(std::uint64_t seed, Draw draw) : random(seed, static_cast<std::uint64_t>(draw)) {}
    /// Three uniforms make a variate of variance 1/4 that is near enough to normal: only ranks and small noise come of it.
    double next() { return 2 * (random.uniform() + random.uniform() + random.uniform() - 1.5); }
};

/// Stationary series of lag-one correlation `persistence`, mean 0.
Column persistent_series(std::uint64_t seed, Draw draw, int count, double persistence) {
    Variates variates(seed, draw);
    const double fresh = std::sqrt(1 - persistence * persistence);
    Column z(count);
    z[0] = variates.next();
    for (int i = 1; i < count; ++i) z[i] = persistence * z[i - 1] + fresh * variates.next();
    return z;
}

/// Each month's days to their normal scores.
Column scored_by_month(const Column& days) {
    Column scores(kDays);
    for (const MonthSpan& span : month_spans())
        scores.segment(span.first_day(), span.days()) = normal_scores(days.segment(span.first_day(), span.days()));
    return scores;
}

Column sun_scores(std::uint64_t seed) {
    constexpr double of_day = 0.40;  // of the variance of an hour's score
    const Column day = normal_scores(persistent_series(seed, Draw::sun_day, kDays, 0.25));
    Column score = std::sqrt(1 - of_day) * persistent_series(seed, Draw::sun_hour, kHours, 0.60);
    for (int i = 0; i < kHours; ++i) score[i] += std::sqrt(of_day) * day[i / 24];
    return score;
}

Column gusts(std::uint64_t seed) {
    const Column day = persistent_series(seed, Draw::wind_day, kDays, 0.30);
    Column hour = 0.33 * persistent_series(seed, Draw::wind_hour, kHours, 0.85);
    for (int i = 0; i < kHours; ++i) hour[i] += 0.28 * day[i / 24];
    Column gust(kHours);
    for (const MonthSpan& span : month_spans())
        gust.segment(span.first, span.count) = logarithm(-logarithm(1 - uniform_ranks(hour.segment(span.first, span.count))));
    return gust;
}

Column rain_depths(std::uint64_t seed) {
    Column depth = persistent_series(seed, Draw::rain_depth, kHours, 0.6);
    for (double& d : depth) d = normal_probability(-d);
    return -logarithm(std::move(depth));
}

/// Uniform and persistent.
Column directions(std::uint64_t seed) {
    constexpr double turn = 20;  // [deg] standard deviation of an hour's turn
    Variates variates(seed, Draw::direction);
    Column direction(kHours);
    double now = 360 * variates.random.uniform();
    for (double& d : direction) {
        now += turn * variates.next();
        now -= 360 * std::floor(now / 360);
        d = now;
    }
    return direction;
}

}  // namespace

YearDraws::YearDraws(std::uint64_t seed)
    : sun_score(sun_scores(seed)),
      temperature_spell(scored_by_month(persistent_series(seed, Draw::temperature_day, kDays, 0.70))),
      temperature_noise(persistent_series(seed, Draw::temperature_hour, kHours, 0.80)),
      dew_spell(hours_from_days(scored_by_month(persistent_series(seed, Draw::dew_day, kDays, 0.60)))),
      dew_noise(persistent_series(seed, Draw::dew_hour, kHours, 0.80)),
      gust(gusts(seed)),
      rain_chance(persistent_series(seed, Draw::rain, kHours, 0.75)),
      rain_depth(rain_depths(seed)),
      wind_direction(directions(seed)) {}

}  // namespace libseal::detail
