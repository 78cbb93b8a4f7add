// Rainflow counting of the movement of joints: real weather years x planes x pairs of adherends, all series distinct, for a branch
// predictor learns a series that it sees again; then its growth with the length of a history.
//
//     benchmark_rainflow [RUNS]       20 if not given
//     LIBSEAL_INSTRUCTION_SET=portable benchmark_rainflow
//
// Weather files are read in place from LIBSEAL_DATA, else ../shared/data. Processor time of the thread, the least of all runs, per
// value of a series; every way of counting gives the same sums within 1e-12, else the program fails.

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <limits>
#include <stdexcept>
#include <string>
#include <vector>

#include "ageing/swings.hpp"
#include "kernel/kernels.hpp"
#include "libseal/ageing/range_moments.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/core/random.hpp"
#include "libseal/exposure/surface_temperature.hpp"

namespace {

using namespace libseal;

double thread_seconds() {
    timespec time{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
}

/// The least seconds of some runs.
double least(int runs, const std::function<void()>& run) {
    double best = std::numeric_limits<double>::infinity();
    for (int i = 0; i < runs; ++i) {
        const double begin = thread_seconds();
        run();
        best = std::min(best, thread_seconds() - begin);
    }
    return best;
}

Column column(std::initializer_list<double> values) {
    Column result(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), result.data());
    return result;
}

/// Two adherends: how they take the sun and how they grow [1/K]; round figures of usual materials.
struct Pair {
    double absorptance_a, expansion_a, absorptance_b, expansion_b;
};

SeriesRows movements(const std::string& folder) {
    const char* files[] = {"722020_FL_Miami_TMY3.csv", "722780_AZ_Phoenix_Sky_Harbor_TMY3.csv", "724666_CO_Golden_NREL_TMY3.csv",
                           "725090_MA_Boston_TMY3.csv", "725300_IL_Chicago_OHare_TMY3.csv", "725350_IN_South_Bend_TMY3.csv",
                           "726580_MN_Minneapolis_TMY3.csv", "727930_WA_Seattle_TMY3.csv",
                           "ITA_45.000N_8.000E_PVGIS-TMY_2005-2023.epw", "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"};
    const Pair pairs[] = {{0.3, 23e-6, 0.3, 12e-6}, {0.3, 23e-6, 0.6, 12e-6}, {0.3, 23e-6, 0.9, 12e-6}, {0.6, 70e-6, 0.3, 20e-6},
                          {0.6, 70e-6, 0.9, 20e-6}, {0.9, 12e-6, 0.3, 25e-6}, {0.9, 12e-6, 0.6, 6e-6},  {0.6, 12e-6, 0.3, 6e-6}};
    constexpr double set_temperature = 20;
    std::vector<Column> all;
    for (const char* file : files) {
        const Weather weather = read_weather(folder + "/weather/" + file);
        for (int plane = 0; plane < 18; ++plane) {
            // A roof, a slope of 30 degrees and sixteen walls.
            const double tilt = plane == 0 ? 0 : plane == 1 ? 30 : 90, azimuth = plane < 2 ? 180 : 22.5 * (plane - 2);
            const auto temperature = [&](double absorptance) { return surface_temperature(weather, tilt, azimuth, absorptance); };
            const Column light = temperature(0.3), medium = temperature(0.6), dark = temperature(0.9);
            const auto of = [&](double absorptance) -> const Column& { return absorptance == 0.3 ? light : absorptance == 0.6 ? medium : dark; };
            for (const Pair& pair : pairs)
                all.push_back(pair.expansion_b * (of(pair.absorptance_b) - set_temperature) -
                              pair.expansion_a * (of(pair.absorptance_a) - set_temperature));
        }
    }
    SeriesRows rows(static_cast<Eigen::Index>(all.size()), all.front().size());
    for (std::size_t i = 0; i < all.size(); ++i) rows.row(static_cast<Eigen::Index>(i)) = all[i].transpose();
    return rows;
}

/// Turns without a branch, then cycles one by one on a stack in the same memory. Sum of count * range^4.
double stacked_fourth_moment(const double* x, Eigen::Index size, std::vector<double>& memory) {
    memory.resize(static_cast<std::size_t>(size) + 1);
    double* points = memory.data();
    Eigen::Index at = 0;
    while (at + 1 < size && x[at + 1] == x[at]) ++at;
    if (at + 1 >= size) return 0;
    points[0] = x[at];
    Eigen::Index count = 1;
    bool rises = x[at] < x[at + 1];
    for (; at + 1 < size; ++at) {
        const bool up = (x[at] < x[at + 1]) | ((x[at] == x[at + 1]) & rises);
        points[count] = x[at];
        count += up != rises ? 1 : 0;
        rises = up;
    }
    points[count++] = x[size - 1];

    const auto fourth = [](double range) { return (range * range) * (range * range); };
    Eigen::Index top = 0, base = 0;
    double sum = 0;
    for (Eigen::Index i = 0; i < count; ++i) {
        points[top++] = points[i];
        while (top - base >= 3) {
            const double latest = std::abs(points[top - 1] - points[top - 2]), before = std::abs(points[top - 2] - points[top - 3]);
            if (latest < before) break;
            if (top - base == 3) {
                sum += 0.5 * fourth(before);
                ++base;
            } else {
                sum += fourth(before);
                points[top - 3] = points[top - 1];
                top -= 2;
            }
        }
    }
    for (Eigen::Index i = base + 1; i < top; ++i) sum += 0.5 * fourth(std::abs(points[i] - points[i - 1]));
    return sum;
}

/// Swings by a list of all cycles.
double listed_swings(ConstColumn series) {
    std::vector<double> half_ranges, hours;
    double cycles = 0;
    for (const Cycle& cycle : rainflow_cycles(series)) {
        cycles += cycle.count;
        if (cycle.count == 1) continue;
        half_ranges.push_back(cycle.range() / 2);
        hours.push_back(static_cast<double>(cycle.last - cycle.first));
    }
    return cycles;
}

void require_same(const char* what, ConstColumn sums, ConstColumn reference) {
    const double worst = ((sums - reference) / (reference == 0).select(1, reference)).abs().maxCoeff();
    std::printf("             furthest from the counter: %.1e\n", worst);
    if (!(worst < 1e-12)) throw std::runtime_error(std::string(what) + " differs from the counter");
}

Column by_row(const SeriesRows& rows, const std::function<double(const Eigen::Map<const Column>&)>& value) {
    Column result(rows.rows());
    for (Eigen::Index i = 0; i < rows.rows(); ++i) result[i] = value(Eigen::Map<const Column>(rows.data() + i * rows.cols(), rows.cols()));
    return result;
}

void real_years(const SeriesRows& rows, int runs) {
    const double each = 1e9 / static_cast<double>(rows.size());
    const auto say = [](const char* name, double nanoseconds, double base) {
        std::printf("  %8.3f ns  %5.2f x  %s\n", nanoseconds, nanoseconds / base, name);
    };
    double turns = 0, rests = 0;
    for (Eigen::Index i = 0; i < rows.rows(); ++i) {
        const Column series = rows.row(i).transpose();
        rests += static_cast<double>((series.tail(series.size() - 1) == series.head(series.size() - 1)).count());
        RainflowCounter counter(RainflowRule::closed);
        counter.add(series);
        turns += 2 * static_cast<double>(counter.counted().size()) + static_cast<double>(counter.residue().size());
    }
    std::printf("%lld series of %lld hours, %.0f turns and %.0f rests each; %s\n", static_cast<long long>(rows.rows()),
                static_cast<long long>(rows.cols()), turns / static_cast<double>(rows.rows()), rests / static_cast<double>(rows.rows()),
                kernel::name_of(kernel::chosen_set()).c_str());

    SeriesRows sums;
    const auto moments = [&](std::initializer_list<double> exponents, bool repeating) {
        const Column powers = column(exponents);
        return each * least(runs, [&] { sums = rainflow_moments_of_rows(rows, powers, repeating, 1); });
    };
    const double base = moments({4}, false);
    const Column fourth = sums.col(0);
    say("moments of one exponent, 4", base, base);
    say("of four whole exponents, 3 to 6", moments({3, 4, 5, 6}, false), base);
    say("of one exponent, 4.5", moments({4.5}, false), base);
    say("of one exponent, 4, repeating year", moments({4}, true), base);
    const Column repeating = sums.col(0);
    say("of one exponent, 4, a call a series", each * least(runs, [&] { (void)by_row(rows, [](const auto& x) { return rainflow_moments(x, column({4}))[0]; }); }),
        base);

    std::vector<double> stack;
    Column stacked;
    say("own scalar stack, exponent 4",
        each * least(runs, [&] { stacked = by_row(rows, [&](const auto& x) { return stacked_fourth_moment(x.data(), x.size(), stack); }); }), base);
    const int few = std::max(2, runs / 4);
    Column counted;
    say("table of cycles (rainflow, range_moment)", each * least(few, [&] { counted = by_row(rows, [](const auto& x) { return range_moment(rainflow(x), 4); }); }),
        base);
    require_same("one exponent", fourth, counted);
    require_same("the stack", stacked, counted);
    require_same("the repeating year", repeating, by_row(rows, [](const auto& x) { return range_moment(rainflow_repeating(x), 4); }));

    const double swings = each * least(runs, [&] { (void)by_row(rows, [](const auto& x) { return detail::Swings(x).strain("butt", 0, 1).largest; }); });
    say("swings of joints (half cycles with their hours)", swings, base);
    say("swings by a list of cycles", each * least(few, [&] { (void)by_row(rows, [](const auto& x) { return listed_swings(x); }); }), base);
}

enum class Growth { walk, noise, growing, shrinking, constant, half_noise };

Column grown(Growth kind, Eigen::Index size) {
    RandomStream random(5, static_cast<std::uint64_t>(kind));
    Column series(size);
    double walk = 0;
    for (Eigen::Index i = 0; i < size; ++i) {
        const double side = i % 2 == 0 ? 1 : -1, from_begin = static_cast<double>(i), to_end = static_cast<double>(size - i);
        const double step = kind == Growth::walk || kind == Growth::noise || kind == Growth::half_noise ? random.normal() : 0;
        switch (kind) {
            case Growth::walk: series[i] = walk += step; break;
            case Growth::noise: series[i] = step; break;
            case Growth::growing: series[i] = side * from_begin; break;
            case Growth::shrinking: series[i] = side * to_end; break;
            case Growth::constant: series[i] = side; break;
            case Growth::half_noise: series[i] = 2 * i < size ? 1e-3 * to_end * step : side * to_end; break;
        }
    }
    return series;
}

/// One long history whole, and cut into ten and a hundred: the processor sees the same numbers.
void growth(int runs) {
    const std::pair<Growth, const char*> kinds[] = {{Growth::walk, "random walk"},     {Growth::noise, "white noise"},
                                                    {Growth::growing, "growing"},      {Growth::shrinking, "shrinking"},
                                                    {Growth::constant, "constant"}, {Growth::half_noise, "half noise, half shrinking"}};
    constexpr Eigen::Index longest = 876000;
    std::printf("growth, ns a value at lengths 8,760 | 87,600 | 876,000: moments / own stack\n");
    for (const auto& [kind, name] : kinds) {
        std::printf("  %-27s", name);
        for (const Eigen::Index size : {longest / 100, longest / 10, longest}) {
            SeriesRows rows(longest / size, size);
            // Histories that grow or shrink do so over their own length.
            const bool own = kind != Growth::walk && kind != Growth::noise;
            const Column series = grown(kind, own ? size : longest);
            for (Eigen::Index i = 0; i < rows.rows(); ++i) rows.row(i) = series.segment(own ? 0 : i * size, size).transpose();
            SeriesRows sums;
            const double fast = least(runs, [&] { sums = rainflow_moments_of_rows(rows, column({4}), false, 1); });
            std::vector<double> stack;
            Column stacked;
            const double slow = least(runs, [&] { stacked = by_row(rows, [&](const auto& x) { return stacked_fourth_moment(x.data(), x.size(), stack); }); });
            if (!(((sums.col(0) - stacked) / stacked).abs().maxCoeff() < 1e-12)) throw std::runtime_error(std::string(name) + ": sums differ");
            std::printf("%s %6.2f / %5.2f", size == longest / 100 ? "" : " |", fast * 1e9 / longest, slow * 1e9 / longest);
        }
        std::printf("\n");
    }
}

}  // namespace

int main(int argc, char** argv) {
    const int runs = argc > 1 ? std::max(1, std::atoi(argv[1])) : 20;
    const char* folder = std::getenv("LIBSEAL_DATA");
    try {
        real_years(movements(folder ? folder : "../shared/data"), runs);
        growth(runs);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
