// Rates of ageing from the hours and from series: what a point costs either way, and from how many points on a sweep pays.
//
//     benchmark_rate_sweep [--json | --nodes]
//
// --nodes: instead, the largest error of a month and of a year by the number of nodes, each parameter alone, over roof and walls in six climates.
//
// South Bend, a wall of any heading, polyurethane. Processor time of this thread, the least of several runs. "exact": three terms over
// the hours of the surface, a new finish at each point. Sets of parameters: energies and exponents; those with absorptance; with emittance too.

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "ageing/chebyshev_series.hpp"
#include "libseal/ageing/rate_sweep.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"

namespace {

using namespace libseal;

constexpr int runs = 15;
constexpr Eigen::Index points_in_all = 4096;

/// Processor time of this thread. [ns]
double thread_time() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return 1e9 * static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec);
}

template <class Call>
double least_time(int times, Call call) {
    double least = std::numeric_limits<double>::infinity();
    for (int run = 0; run < times; ++run) {
        const double begin = thread_time();
        call();
        least = std::min(least, thread_time() - begin);
    }
    return least;
}

/// Points of the ranges; weights as the catalogue has them.
SeriesRows points_of(const RateSweep& sweep) {
    RandomStream random(1);
    SeriesRows points(points_in_all, static_cast<Eigen::Index>(sweep.parameters().size()));
    for (Eigen::Index i = 0; i < points.rows(); ++i)
        for (Eigen::Index p = 0; p < points.cols(); ++p) {
            const SweptParameter& range = sweep.parameters()[static_cast<std::size_t>(p)];
            const double part = random.uniform();
            points(i, p) = range.name.starts_with("weight") ? range.value : range.low + part * (range.high - range.low);
        }
    return points;
}

struct Times {
    double made = 0, exact = 0, batch = 0, months = 0, slopes = 0, alone = 0;  ///< [ns], all but the first a point
    double stated = 0, worst = 0;                                              ///< relative errors
};

Times times_of(const std::vector<SweepRange>& ranges, double tolerance, const std::shared_ptr<Session>& session) {
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    options.tolerance = tolerance;
    options.session = session;
    const Station station = find_station("725350");
    std::unique_ptr<RateSweep> sweep;
    Times times;
    times.made = least_time(3, [&] { sweep = std::make_unique<RateSweep>(rate_sweep(station, ranges, options)); });
    const SeriesRows points = points_of(*sweep);
    const auto each = static_cast<double>(points_in_all);
    Column rates;
    times.batch = least_time(runs, [&] { rates = sweep->rates(points, 1); }) / each;
    times.months = least_time(runs, [&] { sweep->month_rates(points, 1); }) / each;
    times.slopes = least_time(runs, [&] { sweep->slopes(points, 1); }) / each;
    double sum = 0;
    std::vector<Column> alone;
    for (Eigen::Index i = 0; i < 512; ++i) alone.emplace_back(points.row(i).transpose());
    times.alone = least_time(runs, [&] {
                      for (const Column& point : alone) sum += sweep->rate(point);
                  }) / static_cast<double>(alone.size());
    constexpr Eigen::Index checked = 60;
    Column exact(checked);
    times.exact = least_time(5, [&] {
                      for (Eigen::Index i = 0; i < checked; ++i) exact[i] = year_mean(sweep->exact_clock(points.row(i).transpose())).total();
                  }) / static_cast<double>(checked);
    times.worst = (rates.head(checked) / exact - 1).abs().maxCoeff();
    times.stated = sweep->error().stated;
    if (!std::isfinite(sum)) std::abort();
    return times;
}

/// Largest errors of the logarithm of a term's sums, of any month and of the year.
struct NodeErrors {
    double month = 0, year = 0;
    void take(const NodeErrors& other) { month = std::max(month, other.month), year = std::max(year, other.year); }
};

NodeErrors errors_of(const RateSweep& sweep, const SweepRange& range, double ClockTerms::*part, int nodes) {
    const auto exact = [&](double value) {
        const ClockYear clock = sweep.exact_clock(Column::Constant(1, value));
        detail::LaneRow row{};
        for (std::size_t m = 0; m < 12; ++m) row[m] = clock.month[m].*part > 0 ? std::log(clock.month[m].*part) : 0;
        row[12] = std::log(year_mean(clock).*part);
        return row;
    };
    const std::vector<detail::ChebyshevAxis> axes{{range.low, range.high, nodes}};
    std::vector<detail::LaneRow> values;
    for (int i = 0; i < nodes; ++i) values.push_back(exact(axes[0].node(i)));
    const detail::ChebyshevSeries series(axes, values, 0);
    std::vector<double> work(series.size());
    NodeErrors worst;
    for (int i = 0; i <= 24; ++i) {
        const double value = range.low + (range.high - range.low) * i / 24;
        const detail::LaneRow truth = exact(value);
        double lanes[kernel::sweep_lanes];
        series.at(detail::ChebyshevPoint(axes, &value), work.data(), lanes);
        for (std::size_t m = 0; m < 12; ++m) worst.month = std::max(worst.month, std::fabs(lanes[m] - truth[m]));
        worst.year = std::max(worst.year, std::fabs(lanes[12] - truth[12]));
    }
    return worst;
}

void print_node_errors() {
    struct Case {
        SweepRange range;
        const char* term;
        double ClockTerms::*part;
    };
    const std::vector<Case> cases = {{{"light_exponent", 0.4, 1.2}, "light", &ClockTerms::light},
                                     {{"energy_light", 6, 50}, "light", &ClockTerms::light},
                                     {{"energy_heat", 20, 80}, "heat", &ClockTerms::heat},
                                     {{"energy_moisture", 43, 83}, "moisture", &ClockTerms::moisture},
                                     {{"humidity_exponent", 0.3, 1.2}, "moisture", &ClockTerms::moisture},
                                     {{"absorptance", 0.1, 0.98}, "light", &ClockTerms::light},
                                     {{"absorptance", 0.1, 0.98}, "heat", &ClockTerms::heat},
                                     {{"emittance", 0.8, 0.95}, "heat", &ClockTerms::heat},
                                     {{"absorptance", 0.1, 0.98}, "moisture", &ClockTerms::moisture},
                                     {{"emittance", 0.8, 0.95}, "moisture", &ClockTerms::moisture}};
    const auto session = std::make_shared<Session>();
    std::printf("%-18s %-9s", "parameter", "term");
    for (const int nodes : {4, 5, 6, 8, 10, 12}) std::printf("  %8d nodes     ", nodes);
    std::printf("  (month, year)\n");
    for (const Case& c : cases) {
        std::printf("%-18s %-9s", c.range.parameter.c_str(), c.term);
        for (const int nodes : {4, 5, 6, 8, 10, 12}) {
            NodeErrors worst;
            for (const char* id : {"722780", "722020", "725350", "727930", "726580", "700260"})
                for (const double tilt : {0.0, 90.0}) {
                    RateSweepOptions options;
                    options.family = "polyurethane";
                    options.tilt = tilt;
                    options.azimuth = 180;
                    options.check_points = 0;
                    options.session = session;
                    worst.take(errors_of(rate_sweep(find_station(id), {c.range}, options), c.range, c.part, nodes));
                }
            std::printf("  %.1e %.1e  ", worst.month, worst.year);
            std::fflush(stdout);
        }
        std::printf("\n");
    }
}

}  // namespace

int main(int argc, char** argv) {
    const bool json = argc > 1 && std::strcmp(argv[1], "--json") == 0;
    try {
        if (argc > 1 && std::strcmp(argv[1], "--nodes") == 0) {
            print_node_errors();
            return 0;
        }
        const auto session = std::make_shared<Session>();
        std::vector<SweepRange> ranges;
        for (const SweepRange& range : sweep_ranges("polyurethane"))
            if (!range.parameter.starts_with("weight")) ranges.push_back(range);
        rate_sweep(find_station("725350"), {ranges.front()}, {.family = "polyurethane", .session = session});  // makes the typical years
        const char* comma = "";
        if (json) std::printf("{\"sweeps\": [");
        else std::printf("%-32s %9s %9s %9s %8s %8s %8s %8s %8s %9s %9s\n", "parameters", "tolerance", "made ms", "exact us", "batch ns", "months", "slopes", "alone", "ratio",
                         "stated", "worst");
        for (const char* more : {"", "absorptance", "emittance"}) {
            if (std::strcmp(more, "absorptance") == 0) ranges.push_back({more, 0.1, 0.98});
            if (std::strcmp(more, "emittance") == 0) ranges.push_back({more, 0.8, 0.95});
            const std::string what = std::to_string(ranges.size()) + " parameters" + (*more ? std::string(", ") + more : "");
            for (const double tolerance : {1e-4, 1e-6, 1e-8}) {
                const Times t = times_of(ranges, tolerance, session);
                if (json)
                    std::printf("%s{\"parameters\": \"%s\", \"tolerance\": %g, \"made_ms\": %.3f, \"exact_us\": %.2f, \"batch_ns\": %.1f, \"months_ns\": %.1f, \"slopes_ns\": %.1f, "
                                "\"alone_ns\": %.1f, \"stated\": %.3g, \"worst\": %.3g}",
                                comma, what.c_str(), tolerance, t.made * 1e-6, t.exact * 1e-3, t.batch, t.months, t.slopes, t.alone, t.stated, t.worst);
                else
                    std::printf("%-32s %9.0e %9.1f %9.1f %8.0f %8.0f %8.0f %8.0f %8.0f %9.1e %9.1e\n", what.c_str(), tolerance, t.made * 1e-6, t.exact * 1e-3, t.batch, t.months,
                                t.slopes, t.alone, t.exact / t.batch, t.stated, t.worst);
                std::fflush(stdout);
                comma = ", ";
            }
        }
        if (json) std::printf("]}\n");
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
