#include "kernel/kernels.hpp"

#include <cmath>
#include <cstring>
#include <functional>
#include <limits>

#include "kernel/kernel_calls.hpp"
#include "kernel/units.hpp"
#include "libseal/core/random.hpp"
#include "support/bits.hpp"
#include "support/catch.hpp"

using namespace libseal::kernel;

namespace {

constexpr double pi_of_tests = 3.14159265358979323846;
constexpr double nan = std::numeric_limits<double>::quiet_NaN(), infinite = std::numeric_limits<double>::infinity();
using libseal_test::Numbers;
constexpr const double* none = nullptr;

/// Invented numbers of a range, here and there one that is not usual. Of no whole number of registers.
class Invented {
public:
    explicit Invented(std::size_t count) : count_(count) {}
    Numbers between(double low, double high) {
        Numbers numbers(count_);
        for (double& x : numbers) x = low + (high - low) * random_.uniform();
        return numbers;
    }
    Numbers with_edges(double low, double high) {
        Numbers numbers = between(low, high);
        const double edges[] = {nan, infinite, -infinite, 0.0, -0.0, low, high, 1e-310};
        for (std::size_t i = 0; i < numbers.size(); ++i)
            if (random_.below(6) == 0) numbers[i] = edges[random_.below(8)];
        return numbers;
    }

private:
    std::size_t count_;
    libseal::RandomStream random_{5};
};

/// What a call writes must be the same on all sets.
void check_same(const char* name, const std::function<Numbers(const Kernels&)>& call) {
    const Numbers base = call(kernels_of(InstructionSet::portable));
    for (const InstructionSet set : sets_that_run()) {
        INFO(name << " on " << name_of(set));
        CHECK(libseal_test::same_bits_or_none(base, call(kernels_of(set))));
    }
}

}  // namespace

TEST_CASE("every instruction set gives the same bits of light and heat", "[kernel][law]") {
    constexpr std::size_t count = 1237;
    Invented invented(count);
    const Numbers up = invented.between(-1, 1), east = invented.between(-1, 1), north = invented.between(-1, 1);
    const Numbers beam = invented.with_edges(0, 1000), around = invented.with_edges(0, 400), dome = invented.with_edges(0, 500),
                  horizon = invented.with_edges(-300, 60), flat = invented.with_edges(0, 1100);
    const SkyColumns sky{count, up.data(), east.data(), north.data(), beam.data(), around.data(), dome.data(), horizon.data(), flat.data()};
    for (const bool known : {true, false})
        for (const double tilt : {0.0, 0.7, pi_of_tests / 2, pi_of_tests}) {
            const PlaneFactors plane = libseal_test::plane_factors(tilt, known);
            check_same("plane_total", [&](const Kernels& k) { return libseal_test::plane_total(k, sky, plane); });
            check_same("plane_parts", [&](const Kernels& k) { return libseal_test::plane_parts(k, sky, plane); });
        }
    const Numbers air = invented.with_edges(230, 320), radiant = invented.with_edges(2e9, 1e10), film = invented.with_edges(5, 60),
                  celsius = invented.with_edges(-40, 50), dew = invented.with_edges(-50, 30), cover = invented.with_edges(0, 10);
    for (const double* light : {flat.data(), none})
        check_same("panel_temperature", [&](const Kernels& k) { return libseal_test::panel_temperature(k, air, radiant, film, light); });
    check_same("sky_radiant", [&](const Kernels& k) { return libseal_test::sky_radiant(k, celsius, dew, cover); });
}

TEST_CASE("every instruction set gives the same bits of sun and ultraviolet light", "[kernel][law]") {
    constexpr std::size_t count = 1237;
    Invented invented(count);
    const Numbers instants = invented.between(-2.5e9, 5e9);
    Numbers sun(5 * count), mass(count);
    double *up = sun.data(), *east = up + count, *north = up + 2 * count, *zenith = up + 3 * count, *azimuth = up + 4 * count;
    for (const SunSeries series : {SunSeries::psa, SunSeries::grena})
        check_same("sun", [&](const Kernels& k) {
            k.sun_vector(count, instants.data(), {0.6, 0.8, -0.96, 0.28}, series, up, east, north);
            k.sun_angles(count, up, east, north, zenith, azimuth);
            k.air_mass(count, up, zenith, mass.data());
            Numbers all = sun;
            all.insert(all.end(), mass.begin(), mass.end());
            return all;
        });
    const Numbers ghi = invented.with_edges(0, 1100), dni = invented.with_edges(0, 1000), extraterrestrial = invented.between(1320, 1420);
    const Numbers dhi = invented.with_edges(0, 500);
    check_same("sky_light", [&](const Kernels& k) {
        Numbers light(4 * count);
        k.sky_light({count, dni.data(), dhi.data(), up, zenith, mass.data(), extraterrestrial.data()},
                    {light.data(), light.data() + count, light.data() + 2 * count, light.data() + 3 * count});
        return light;
    });
    check_same("ultraviolet_light", [&](const Kernels& k) {
        Numbers light(4 * count);
        k.ultraviolet_light({count, ghi.data(), dni.data(), up, zenith, mass.data(), extraterrestrial.data(), 37.9},
                            {light.data(), light.data() + count, light.data() + 2 * count, light.data() + 3 * count});
        return light;
    });
    const Numbers x = invented.with_edges(-800, 800), positive = invented.between(1e-9, 1e9);
    check_same("elementary", [&](const Kernels& k) {
        Numbers all(2 * count);
        k.elementary.exponential(count, x.data(), all.data());
        k.elementary.logarithm(count, positive.data(), all.data() + count);
        return all;
    });
}

TEST_CASE("every instruction set gives the same bits of beliefs", "[kernel][law]") {
    constexpr std::size_t count = 47 * cell_block, first = 5 * cell_block;
    Invented invented(count + 1);
    const Numbers prior = invented.between(0, 0.01), wear = invented.between(0.003, 1), workmanship = invented.between(0.003, 1);
    const CellTable plain{wear.data(), wear.data() + 1, 0.3, 0.7}, spoiled{workmanship.data() + 1, workmanship.data(), 0.06, 0.14};
    const CellLook looks[] = {{plain, {}, 1}, {plain, {}, 1}, {plain, {}, 1}, {plain, spoiled, 1}, {plain, spoiled, 1}, {plain, spoiled, 1}};
    for (std::size_t without = 0; without <= looks_a_pass; ++without)
        for (std::size_t with = 0; without + with <= looks_a_pass; ++with)
            check_same("life_cells.weigh", [&](const Kernels& k) {
                Numbers cells(count), sums(count / cell_block);
                k.life_cells.weigh(looks + looks_a_pass - without, without, with, first, count, prior.data(), cells.data(), sums.data());
                cells.insert(cells.end(), sums.begin(), sums.end());
                return cells;
            });
    for (const CellLook& look : {CellLook{plain, {}, 0.4}, CellLook{plain, spoiled, 0.4}})
        check_same("life_cells.weigh_power", [&](const Kernels& k) {
            Numbers cells(count);
            k.life_cells.weigh_power(look, first, count, prior.data(), cells.data());
            return cells;
        });
    check_same("life_cells.mean", [&](const Kernels& k) { return Numbers{k.life_cells.mean(plain, first, count, prior.data())}; });
}

TEST_CASE("every instruction set gives the same bits of rates and their sums", "[kernel][law]") {
    constexpr std::size_t count = 91 * lane_count;
    Invented invented(count);
    const Numbers surface = invented.with_edges(-40, 90), air = invented.with_edges(-40, 50), exponent = invented.with_edges(-4, 2),
                  humidity = invented.with_edges(0, 100), ultraviolet = invented.with_edges(0, 60);
    Numbers weight(count, 1.0);
    for (std::size_t i = 0; i < count; i += 7) weight[i] = 0;
    libseal_test::RateParts parts(count);
    const FeltColumns felts[] = {{count, surface.data(), nullptr, exponent.data(), nullptr, weight.data()},
                                 {count, surface.data(), air.data(), exponent.data(), nullptr, weight.data()},
                                 {count, surface.data(), nullptr, nullptr, humidity.data(), weight.data()}};
    for (const FeltColumns& felt : felts)
        check_same("rate_inputs", [&](const Kernels& k) { return parts.rate_inputs(k, felt); });
    check_same("light", [&](const Kernels& k) { return parts.light(k, ultraviolet); });
    check_same("flow_exponents", [&](const Kernels& k) { return libseal_test::flow_exponents(k, surface, air); });
    const std::size_t begin[] = {0, 0, 10 * lane_count, 11 * lane_count, count};
    for (const double energy : {0.0, 20.0, 150.0, 5000.0})  // the last leaves the range that needs no bounds
        for (const double* x : {static_cast<const double*>(parts.log_lit.data()), none})
            for (const double* with_q : {static_cast<const double*>(parts.q.data()), none}) {
                check_same("exponential_sums", [&](const Kernels& k) {
                    Numbers sums(4);
                    k.exponential_sums({parts.known.data(), x, with_q, 0.7, energy, begin, 4}, sums.data());
                    return sums;
                });
                if (!x && !with_q) continue;
                check_same("exponentials", [&](const Kernels& k) {
                    Numbers rates(count);
                    k.exponentials(count - 3, x, 0.7, with_q, energy, rates.data());
                    return rates;
                });
            }
}

TEST_CASE("every instruction set gives the same bits of a sweep, and a point alone those of one among sixteen", "[kernel][law]") {
    constexpr std::size_t rows = 23, lanes = sweep_lanes, orders = 4, coefficients = 3;
    Invented many(rows * coefficients * lanes), few(orders * lanes);
    const Numbers table = many.between(-1, 1), q = many.between(-0.1, 0.1), x = many.between(-1, 1), cap = many.between(-0.3, 0.6);
    Numbers weight = many.between(0.001, 0.01);
    for (std::size_t i = 0; i < lanes; ++i) weight[(rows - 1) * lanes + i] = 0;  // fills up
    const Numbers first = few.between(-1, 1), second = few.between(-1, 1), along = few.between(-3, 3);
    const Numbers exponent = few.between(0.3, 2), energy = few.between(10, 90), shift = few.between(-1, 1);
    const SweepRun runs[] = {{{0}, 4}, {{1}, 4}, {{2}, 3}, {{3}, 1}};
    const PointProducts products_of{runs, 4, 2, {first.data(), second.data()}};
    const WetTables wet{rows, coefficients, q.data(), x.data(), cap.data(), weight.data()};
    const WetPoints points{first.data(), along.data(), exponent.data(), energy.data(), shift.data()};
    const auto all = [&](const Kernels& k) {
        Numbers out(12 * lanes + 5 * lanes + 12 * lanes + 36 * lanes);
        k.point_products(products_of, out.data());
        k.point_columns(table.data(), out.data(), 12, 3, 5, out.data() + 12 * lanes);
        k.wet_point_sums(wet, points, out.data() + 17 * lanes);
        k.wet_point_slopes(wet, points, out.data() + 29 * lanes);
        return out;
    };
    check_same("sweep at points", all);
    const Numbers of_points = all(kernels());
    for (std::size_t point = 0; point < lanes; ++point) {
        Numbers products;
        for (const SweepRun& run : runs)
            for (std::size_t i = 0; i < static_cast<std::size_t>(run.count); ++i) products.push_back(first[run.order[0] * lanes + point] * second[i * lanes + point]);
        const auto alone = [&](const Kernels& k) {
            Numbers out(2 * lanes);
            Numbers finish;
            for (std::size_t i = 0; i < coefficients; ++i) finish.push_back(first[i * lanes + point]);
            k.sweep_rows(table.data(), products.data(), products.size(), out.data());
            k.wet_sums(wet, finish.data(), exponent[point], energy[point], shift[point], out.data() + lanes);
            return out;
        };
        check_same("sweep at a point", alone);
        const Numbers here = alone(kernels());
        for (std::size_t c = 0; c < 5; ++c) CHECK(here[3 + c] == of_points[(12 + c) * lanes + point]);
        for (std::size_t m = 0; m < 12; ++m) CHECK(here[lanes + m] == of_points[(17 + m) * lanes + point]);
    }
}

TEST_CASE("sums of exponentials are those of long arithmetic", "[kernel][law]") {
    constexpr std::size_t count = 8768;
    Invented invented(count);
    const Numbers weight = invented.between(0, 1), x = invented.between(-10, 4), q = invented.between(-0.08, 0.08);
    const std::size_t begin[] = {0, count};
    for (const double energy : {0.0, 20.0, 75.0, 150.0})
        for (const double exponent : {0.44, 1.0, 2.0}) {
            long double truth = 0;
            for (std::size_t i = 0; i < count; ++i)
                truth += static_cast<long double>(weight[i]) *
                         std::exp(static_cast<long double>(exponent) * static_cast<long double>(x[i]) +
                                  static_cast<long double>(energy) * static_cast<long double>(q[i]));
            double sum = 0;
            kernels().exponential_sums({weight.data(), x.data(), q.data(), exponent, energy, begin, 1}, &sum);
            CHECK(static_cast<double>(std::fabs(static_cast<long double>(sum) / truth - 1)) < 1e-14);
        }
}

TEST_CASE("panels are as warm as a long computation says, even without any wind", "[kernel][law]") {
    // Summer and winter, black and bright, no film to a gale: within a few units of the last place of 300 K.
    double worst = 0;
    for (const double air : {220.0, 250.0, 273.15, 300.0, 325.0})
        for (const double light : {0.0, 100.0, 600.0, 1400.0})
            for (const double film : {1e-3, 1.0, 5.7, 10.0, 30.0, 100.0})
                for (const double emittance : {0.04, 0.9, 1.0}) {
                    const double radiant = emittance * 5.670374419e-8, sky = 0.8 * std::pow(air, 4);
                    if (film < 5 && (light > 600 || emittance < 0.5)) continue;  // hotter than any start within reach
                    double surface = 0;
                    kernels().panel_temperature({1, &air, &sky, &film, &light}, {1, radiant, 0.7, 1}, &surface);
                    const long double gain = light + static_cast<long double>(radiant) * 0.7L * sky +
                                             static_cast<long double>(radiant) * 0.3L * std::pow(static_cast<long double>(air), 4.0L) +
                                             static_cast<long double>(film) * air;
                    long double t = air;
                    for (int step = 0; step < 100; ++step) {
                        const long double cube = radiant * t * t * t;
                        t = (gain + 3 * cube * t) / (film + 4 * cube);
                    }
                    worst = std::max(worst, std::fabs(static_cast<double>(surface + static_cast<long double>(zero_celsius) - t)));
                }
    INFO(worst << " K");
    CHECK(worst < 1e-11);
}
