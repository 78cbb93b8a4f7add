// Short gaps filled from their neighbours: linearly, around the circle, or through the clearness of the sky.

#include <cmath>

#include "climate/read_table.hpp"
#include "libseal/climate/sun.hpp"

namespace libseal::detail {
namespace {

/// Below this height of the sun a neighbour says nothing about the clearness of the sky: about 3 deg.
constexpr double low_sun = 0.05;

/// A gap between two intervals that have values; false at the ends of the series.
bool has_neighbours(const Weather& weather, const Gap& gap) {
    return gap.first > 0 && gap.first + gap.count < weather.size();
}

double share(const Gap& gap, Eigen::Index i) {
    return static_cast<double>(i - gap.first + 1) / static_cast<double>(gap.count + 1);
}

void fill_linear(Column& values, const Gap& gap) {
    const double before = values[gap.first - 1], after = values[gap.first + gap.count];
    for (Eigen::Index i = gap.first; i < gap.first + gap.count; ++i)
        values[i] = before + (after - before) * share(gap, i);
}

/// The short way around from one direction to the other.
void fill_direction(Column& values, const Gap& gap) {
    const double before = values[gap.first - 1], after = values[gap.first + gap.count];
    const double turn = std::remainder(after - before, 360.0);
    for (Eigen::Index i = gap.first; i < gap.first + gap.count; ++i)
        values[i] = std::fmod(before + turn * share(gap, i) + 360.0, 360.0);
}

/// What an irradiance is measured against: the extraterrestrial one on the same plane; 0 at night.
double reference(const SunHours& sun, bool beam, Eigen::Index i) {
    if (!(sun.cos_zenith[i] > 0)) return 0;
    return sun.extraterrestrial[i] * (beam ? 1 : sun.cos_zenith[i]);
}

/// Clearness of the neighbours, linear in time, times the sun of the interval. False if the sun is up in the
/// gap and neither neighbour saw it.
bool fill_irradiance(Column& values, const Gap& gap, const SunHours& sun, bool beam) {
    const Eigen::Index first = gap.first - 1, last = gap.first + gap.count;
    const auto clearness = [&](Eigen::Index i) {
        return sun.cos_zenith[i] > low_sun ? values[i] / reference(sun, beam, i) : no_value;
    };
    double before = clearness(first), after = clearness(last);
    if (std::isnan(before)) before = after;
    if (std::isnan(after)) after = before;
    for (Eigen::Index i = gap.first; i < last; ++i)
        if (reference(sun, beam, i) > 0 && std::isnan(before)) return false;
    for (Eigen::Index i = gap.first; i < last; ++i) {
        const double outside = reference(sun, beam, i);
        values[i] = outside > 0 ? outside * (before + (after - before) * share(gap, i)) : 0;
    }
    return true;
}

bool is_irradiance(const ColumnInfo& info) {
    return info.member == &Weather::ghi || info.member == &Weather::dni || info.member == &Weather::dhi;
}

}  // namespace

void interpolate_gaps(Weather& weather, Eigen::Index longest) {
    SunHours sun;
    for (const ColumnInfo& info : weather_columns) {
        // Rain between two dry or wet hours is anybody's guess; a depth must not be made up.
        if (info.member == &Weather::precipitation) continue;
        Column& values = weather.*info.member;
        for (Gap& gap : open_gaps(weather, info)) {
            if (gap.count > longest || !has_neighbours(weather, gap)) continue;
            gap.filled = "linear";
            if (is_irradiance(info)) {
                if (sun.cos_zenith.size() == 0) sun = sun_hours(weather);
                if (!fill_irradiance(values, gap, sun, info.member == &Weather::dni)) continue;
                gap.filled = "clearness";
            } else if (info.member == &Weather::wind_direction) {
                fill_direction(values, gap);
            } else {
                fill_linear(values, gap);
            }
            weather.gaps.push_back(gap);
        }
    }
}

}  // namespace libseal::detail
