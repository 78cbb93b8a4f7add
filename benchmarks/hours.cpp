// The loops over the hours of a typical year: light, warmth and rates of one surface and family, on each instruction set.
//
//     benchmark_hours [--json]
//
// For each loop: nanoseconds of processor time a computed hour, the least of 40 runs, and how many times that is what the
// multiplications and fused multiply-adds of it would take alone (their pace is measured here too: the floor). Beside
// them the same physics with the functions of the standard library, the error of a year's sums against long arithmetic, and
// what one site, one new clock and one known clock cost through a session. Phoenix, a wall, a dark finish.

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <limits>
#include <string>
#include <vector>

#include "ageing/rate_slots.hpp"
#include "climate/plane_factors.hpp"
#include "exposure/panel_factors.hpp"
#include "kernel/kernels.hpp"
#include "kernel/units.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"

#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace {

using namespace libseal;
using detail::AlignedColumn;

constexpr int runs = 40;

/// Processor time of this thread. [ns]
double thread_time() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return 1e9 * static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec);
}

/// Processor time of a call, over runs of `calls` calls each. [ns]
struct Times {
    double least = 0, median = 0;
    operator double() const { return least; }             // NOLINT: what is compared is the least
    double spread() const { return median / least - 1; }  ///< how far the usual run is above it [-]
};

template <class Call>
Times least_time(int calls, Call call) {
    std::vector<double> each(runs);
    for (double& time : each) {
        const double begin = thread_time();
        for (int i = 0; i < calls; ++i) call();
        time = (thread_time() - begin) / calls;
    }
    std::sort(each.begin(), each.end());
    return {each.front(), each[each.size() / 2]};
}

struct Row {
    std::string set, loop;
    double hours = 0;  ///< computed by a call
    int products = 0;  ///< multiplications and fused multiply-adds an hour
    Times time;        ///< of a call [ns]
};

/// A wall of a site, all columns of its half in the sun ready.
struct Wall {
    Weather weather = typical_year(find_station("722780"));
    Plane plane{90, 200};
    detail::SiteHalves halves{weather, detail::HourPlaces(weather).month};
    const detail::SiteSlots& day = halves.day;
    std::size_t count = day.order.size();
    AlignedColumn total{count}, ultraviolet{count}, surface{count}, q{count}, damp{count}, known{count}, behind{count}, log_light{count}, lit{count};

    kernel::SkyColumns sky(const detail::SiteSlots::Sky& of) const {
        return {count, day.up.data(), day.east.data(), day.north.data(), of.beam.data(), of.circumsolar.data(), of.dome.data(), of.horizon.data(), of.horizontal.data()};
    }
    kernel::PanelColumns panel() const { return {count, day.air_kelvin.data(), day.sky_radiant.data(), day.film.data(), total.data()}; }
    kernel::FeltColumns felt(bool half_way) const {
        return {count, surface.data(), half_way ? day.air.data() : nullptr, day.dew_exponent.data(), nullptr, day.order.weight.data()};
    }
    kernel::RateColumns rates() { return {q.data(), damp.data(), known.data()}; }
    kernel::ExponentialSums sums(const double* weight, const double* x, double exponent, double energy) const {
        return {weight, x, q.data(), exponent, energy, day.order.begin.data(), 12};
    }
};

#if defined(__x86_64__)
constexpr int vectors = 10, rounds = 1000;
volatile double factor = 0.999999, addend = 1e-7;

[[gnu::target("avx2,fma")]] double fused_avx2() {
    __m256d sum[vectors];
    for (__m256d& v : sum) v = _mm256_set1_pd(1);
    const __m256d a = _mm256_set1_pd(factor), b = _mm256_set1_pd(addend);
    for (int i = 0; i < rounds; ++i)
        for (__m256d& v : sum) v = _mm256_fmadd_pd(v, a, b);
    for (int i = 1; i < vectors; ++i) sum[0] = _mm256_add_pd(sum[0], sum[i]);
    return _mm256_cvtsd_f64(sum[0]);
}

[[gnu::target("avx512f")]] double fused_avx512() {
    __m512d sum[vectors];
    for (__m512d& v : sum) v = _mm512_set1_pd(1);
    const __m512d a = _mm512_set1_pd(factor), b = _mm512_set1_pd(addend);
    for (int i = 0; i < rounds; ++i)
        for (__m512d& v : sum) v = _mm512_fmadd_pd(v, a, b);
    for (int i = 1; i < vectors; ++i) sum[0] = _mm512_add_pd(sum[0], sum[i]);
    return _mm512_cvtsd_f64(sum[0]);
}
#endif

/// Pace of fused multiply-adds that wait for nothing [ns a number]; NaN for a set whose pace is not that of its pipes.
double fused_pace(kernel::InstructionSet set) {
#if defined(__x86_64__)
    volatile double kept = 0;
    if (set == kernel::InstructionSet::avx2) return least_time(20, [&] { kept = fused_avx2(); }) / (4.0 * vectors * rounds);
    if (set == kernel::InstructionSet::avx512) return least_time(20, [&] { kept = fused_avx512(); }) / (8.0 * vectors * rounds);
#endif
    (void)set;
    return std::numeric_limits<double>::quiet_NaN();
}

std::vector<Row> rows_of(kernel::InstructionSet set, Wall& wall) {
    const kernel::Kernels& k = kernel::kernels_of(set);
    const int calls = set == kernel::InstructionSet::portable ? 1 : 20;
    const kernel::PlaneFactors one_way = detail::plane_factors(wall.plane.tilt, wall.plane.azimuth, 0.2);
    const kernel::PlaneFactors all_ways = detail::plane_factors(wall.plane.tilt, std::numeric_limits<double>::quiet_NaN(), 0.2);
    const kernel::PanelFactors panel = detail::panel_factors(wall.plane.tilt, 0.8, 0.9, false);
    double sums[12];
    std::vector<Row> rows;
    const auto row = [&](const char* loop, int products, auto call) {
        call();
        rows.push_back({kernel::name_of(set), loop, static_cast<double>(wall.count), products, least_time(calls, call)});
    };
    row("plane, all azimuths", 27, [&] { k.plane_total(wall.sky(wall.day.light), all_ways, wall.total.data()); });
    row("plane, ultraviolet", 8, [&] { k.plane_total(wall.sky(wall.day.ultraviolet), one_way, wall.ultraviolet.data()); });
    row("plane, light", 8, [&] { k.plane_total(wall.sky(wall.day.light), one_way, wall.total.data()); });
    row("panel temperature", 42, [&] { k.panel_temperature(wall.panel(), panel, wall.surface.data()); });
    row("rate inputs, half-way", 45, [&] { k.rate_inputs(wall.felt(true), wall.rates()); });
    row("rate inputs, surface", 2, [&] { k.rate_inputs(wall.felt(false), wall.rates()); });
    row("light inputs", 2, [&] { k.light_inputs(wall.count, wall.ultraviolet.data(), 1, wall.known.data(), wall.behind.data()); });
    row("light logarithms", 11, [&] { k.light_logarithms(wall.count, wall.behind.data(), wall.known.data(), wall.log_light.data(), wall.lit.data()); });
    row("damage, light^0.7", 18, [&] { k.exponential_sums(wall.sums(wall.lit.data(), wall.log_light.data(), 0.7, 20), sums); });
    row("damage, light^1", 17, [&] { k.exponential_sums(wall.sums(wall.behind.data(), nullptr, 0, 20), sums); });
    row("damage, heat", 17, [&] { k.exponential_sums(wall.sums(wall.known.data(), nullptr, 0, 50), sums); });
    row("damage, moisture", 18, [&] { k.exponential_sums(wall.sums(wall.known.data(), wall.damp.data(), 1, 68), sums); });
    return rows;
}

/// The same physics an hour at a time, with pow, exp, log. [ns an hour]
struct Scalar {
    double plane, panel, rates;
};
Scalar scalar_times(const Wall& wall) {
    const auto count = static_cast<double>(wall.count);
    const kernel::PlaneFactors p = detail::plane_factors(wall.plane.tilt, wall.plane.azimuth, 0.2);
    const auto& sky = wall.day.light;
    volatile double kept = 0;
    Scalar scalar{};
    scalar.plane = least_time(1, [&] {
        double all = 0;
        for (std::size_t i = 0; i < wall.count; ++i) {
            const double seen = std::max(0.0, p.cos_tilt * wall.day.up[i] + p.east * wall.day.east[i] + p.north * wall.day.north[i]);
            const double light = p.dome * sky.dome[i] + p.sin_tilt * sky.horizon[i] + seen * sky.circumsolar[i];
            all += seen * sky.beam[i] + std::max(0.0, light) + p.ground * sky.horizontal[i];
        }
        kept = all;
    }) / count;
    scalar.panel = least_time(1, [&] {
        double all = 0;
        for (std::size_t i = 0; i < wall.count; ++i) {
            const double air = wall.day.air_kelvin[i], film = wall.day.film[i], radiant = 0.9 * 5.670374419e-8;
            const double gain = 0.8 * wall.total[i] + radiant * 0.5 * wall.day.sky_radiant[i] + radiant * 0.5 * std::pow(air, 4) + film * air;
            double t = air;
            for (int step = 0; step < 5; ++step) {
                const double cube = radiant * t * t * t;
                t = (gain + 3 * cube * t) / (film + 4 * cube);
            }
            all += t;
        }
        kept = all;
    }) / count;
    scalar.rates = least_time(1, [&] {
        double all = 0;
        for (std::size_t i = 0; i < wall.count; ++i) {
            const double t = wall.surface[i], warm = (1 / 296.15 - 1 / (t + 273.15)) / kernel::gas_constant;
            const double humidity = std::min(100.0, 100 * std::exp(wall.day.dew_exponent[i] - kernel::magnus_a * t / (t + kernel::magnus_b)));
            all += std::pow(wall.ultraviolet[i], 0.7) * std::exp(20 * warm) + std::exp(50 * warm) + std::pow(humidity / 50, 1.1) * std::exp(68 * warm);
        }
        kept = all;
    }) / count;
    return scalar;
}

/// Largest relative error of the three sums of the half in the sun, given their columns, against long arithmetic.
double worst_error(const Wall& wall) {
    struct Case {
        const AlignedColumn *weight, *x;
        double exponent, energy;
    };
    double worst = 0;
    for (const Case& c : {Case{&wall.lit, &wall.log_light, 0.7, 20}, Case{&wall.behind, nullptr, 0, 20}, Case{&wall.known, nullptr, 0, 50},
                          Case{&wall.known, &wall.damp, 1, 68}, Case{&wall.known, &wall.damp, 0.6, 150}}) {
        double months[12];
        kernel::kernels().exponential_sums(wall.sums(c.weight->data(), c.x ? c.x->data() : nullptr, c.exponent, c.energy), months);
        long double truth = 0, sum = 0;
        for (const double month : months) sum += static_cast<long double>(month);
        for (std::size_t i = 0; i < wall.count; ++i)
            truth += static_cast<long double>((*c.weight)[i]) *
                     std::exp(static_cast<long double>(c.exponent) * (c.x ? static_cast<long double>((*c.x)[i]) : 0) +
                              static_cast<long double>(c.energy) * static_cast<long double>(wall.q[i]));
        worst = std::max(worst, static_cast<double>(std::fabs(sum / truth - 1)));
    }
    return worst;
}

/// What a user waits for. [ms]
struct Waits {
    double year;      ///< typical year of a station
    double site;      ///< sun, sky and columns of a weather
    double cold;      ///< clock at a new site, its typical year included
    double own;       ///< clock of a place with own weather, which is made ready for it
    double surface;   ///< clock of a new surface at a known site
    double known;     ///< clock that the session knows
};

Waits waits() {
    const Station station = find_station("722780");
    const Catalogue catalogue = Catalogue::built_in();
    const Weather weather = typical_year(station);
    const auto session = std::make_shared<Session>(catalogue);
    ClockKey key{0, 90, 200, 0.8, 0.9, "open", "polyurethane", Law::surface, Depth::exposed};
    Station asked = station;
    std::shared_ptr<const PlaceWeather> own;  // null: the typical year of the station
    const auto evaluate = [&] {
        ClockStore store(catalogue, session);
        key.site = own ? store.add_site(own, std::nullopt, 0) : store.add_site(asked, 0);
        store.add_key(key);
        store.evaluate(1, {});
    };
    evaluate();
    const auto milliseconds = [](int calls, auto call) { return least_time(calls, call) / 1e6; };
    Waits least{};
    least.year = milliseconds(1, [&] { typical_year(station); });
    least.site = milliseconds(1, [&] { detail::SiteHalves(weather, detail::HourPlaces(weather).month); });
    least.known = milliseconds(20, evaluate);
    least.surface = milliseconds(1, [&] {
        key.azimuth += 0.1;
        evaluate();
    });
    std::size_t next = 0;
    least.cold = milliseconds(1, [&] {
        asked = station_at(next++);
        evaluate();
    });
    own = std::make_shared<const PlaceWeather>(PlaceWeather{{weather}});  // the session makes own weather ready for every call
    least.own = milliseconds(1, [&] {
        key.azimuth += 0.1;
        evaluate();
    });
    return least;
}

}  // namespace

int main(int argc, char** argv) {
    const bool json = argc > 1 && std::strcmp(argv[1], "--json") == 0;
    try {
        Wall wall;
        if (json) std::printf("{\"loops\": [");
        else std::printf("%-10s %-24s %10s %10s %8s   (%zu hours with light)\n", "set", "loop", "ns an hour", "floor ns", "ratio", wall.count);
        const char* comma = "";
        for (const kernel::InstructionSet set : kernel::sets_that_run()) {
            const double pace = fused_pace(set);
            for (const Row& row : rows_of(set, wall)) {
                const double hour = row.time / row.hours, floor = pace * row.products;
                if (!json) std::printf("%-10s %-24s %10.3f %10.3f %8.2f\n", row.set.c_str(), row.loop.c_str(), hour, floor, hour / floor);
                else {
                    std::printf("%s{\"set\": \"%s\", \"loop\": \"%s\", \"ns\": %.4f, \"spread\": %.4f", comma, row.set.c_str(), row.loop.c_str(), hour, row.time.spread());
                    if (!std::isnan(pace)) std::printf(", \"floor_ns\": %.4f", floor);
                    std::printf("}");
                }
                comma = ", ";
            }
        }
        const Scalar scalar = scalar_times(wall);
        const double error = worst_error(wall);
        const Waits wait = waits();
        if (json) {
            std::printf("], \"scalar_ns\": {\"plane\": %.4f, \"panel\": %.4f, \"rates\": %.4f}, \"worst_error\": %.3g, ", scalar.plane, scalar.panel, scalar.rates, error);
            std::printf("\"ms\": {\"typical_year\": %.4f, \"site\": %.4f, \"cold\": %.4f, \"own\": %.4f, \"surface\": %.4f, \"known\": %.6f}}\n", wait.year, wait.site, wait.cold, wait.own, wait.surface, wait.known);
            return 0;
        }
        std::printf("one hour after the other, with pow, exp and log: plane %.2f, panel %.2f, three rates %.2f ns an hour\n", scalar.plane, scalar.panel, scalar.rates);
        std::printf("worst relative error of a year's sum against long arithmetic: %.2g\n", error);
        std::printf("typical year %.3f ms, site columns %.3f ms; clock at a new site %.3f ms, with weather at hand %.3f ms, of a new surface %.4f ms, known %.5f ms\n", wait.year, wait.site, wait.cold, wait.own,
                    wait.surface, wait.known);
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
