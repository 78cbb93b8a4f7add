// The hot loops one at a time, for a program that counts instructions (compare.py beside this file).
//
//     libseal_instructions                    what it was built by, then a line a section: name, times, item
//     libseal_instructions SECTION TIMES      runs the loop of a section so many times; prints items of one time
//
// All inputs are invented from a fixed seed and no loop asks for more than one thread: the same instructions run at every call, and
// the difference of two runs is that of the loop alone.

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <memory>
#include <numeric>
#include <stdexcept>
#include <string>
#include <vector>

#include "ageing/clock_hours.hpp"
#include "climate/plane_factors.hpp"
#include "climate/typical_year_draws.hpp"
#include "exposure/panel_factors.hpp"
#include "exposure/site_slots.hpp"
#include "kernel/aligned_column.hpp"
#include "kernel/kernels.hpp"
#include "libseal/ageing/range_moments.hpp"
#include "libseal/ageing/rate_sweep.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/forecast/layer_columns.hpp"
#include "libseal/schedule/project.hpp"

namespace {

using namespace libseal;
using kernel::AlignedColumn;

/// A loop with its inputs ready.
struct Loop {
    std::size_t items = 0;  ///< worked on by one time
    std::function<void(int times)> run;
};
struct Section {
    const char* name;
    const char* item;
    int times;  ///< of the shorter one of two runs: a million instructions or more
    std::function<Loop()> ready;
};

template <class Call>
Loop repeated(std::size_t items, Call call) {
    return {items, [call](int times) mutable {
                for (int i = 0; i < times; ++i) call();
            }};
}

constexpr std::size_t months = 12, hours = months * 23 * kernel::lane_count;  // about the lit hours of a year

std::shared_ptr<AlignedColumn> between(double low, double high, std::uint64_t task, std::size_t count = hours) {
    RandomStream random(1, task);
    auto column = std::make_shared<AlignedColumn>(count);
    for (std::size_t i = 0; i < count; ++i) (*column)[i] = low + (high - low) * random.uniform();
    return column;
}

/// @param by_logarithm  Light to a power; else the light is the weight.
Loop damage_term(bool by_logarithm) {
    const auto weight = between(0, 50, 1), x = between(-3, 4, 2), q = between(-0.05, 0.05, 3);
    std::vector<std::size_t> begin(months + 1);
    for (std::size_t month = 0; month <= months; ++month) begin[month] = month * hours / months;
    return repeated(hours, [=, sums = std::vector<double>(months)]() mutable {
        kernel::kernels().exponential_sums({weight->data(), by_logarithm ? x->data() : nullptr, q->data(), by_logarithm ? 0.7 : 0.0, 40, begin.data(), months},
                                           sums.data());
    });
}

Loop plane_light() {
    const auto up = between(0, 1, 1), east = between(-1, 1, 2), north = between(-1, 1, 3), beam = between(0, 900, 4), circumsolar = between(0, 200, 5),
               dome = between(0, 300, 6), horizon = between(-20, 50, 7), horizontal = between(0, 1000, 8), total = between(0, 1, 9);
    return repeated(hours, [=, plane = detail::plane_factors(90, 200, 0.2)] {
        kernel::kernels().plane_total({hours, up->data(), east->data(), north->data(), beam->data(), circumsolar->data(), dome->data(), horizon->data(), horizontal->data()},
                                      plane, total->data());
    });
}

Loop panel_temperature() {
    const auto air = between(255, 315, 1), sky = between(3e9, 9e9, 2), film = between(8, 30, 3), light = between(0, 1000, 4), surface = between(0, 1, 5);
    return repeated(hours, [=, panel = detail::panel_factors(90, 0.8, 0.9, false)] {
        kernel::kernels().panel_temperature({hours, air->data(), sky->data(), film->data(), light->data()}, panel, surface->data());
    });
}

/// Movements of sixteen joints over a year: seasons, days and weather.
Loop rainflow_hours() {
    constexpr double pi = 3.14159265358979323846;
    SeriesRows rows(16, 8760);
    for (Eigen::Index i = 0; i < rows.rows(); ++i) {
        RandomStream random(2, static_cast<std::uint64_t>(i));
        double weather = 0;
        for (Eigen::Index hour = 0; hour < rows.cols(); ++hour) {
            const double day = static_cast<double>(hour) / 24;
            weather = 0.97 * weather + 0.8 * random.normal();
            rows(i, hour) = -12 * std::cos(2 * pi * day / 365) - 9 * std::cos(2 * pi * day) + weather;
        }
    }
    return repeated(static_cast<std::size_t>(rows.size()), [rows, fourth = Column(Column::Constant(1, 4))] { rainflow_moments_of_rows(rows, fourth, false, 1); });
}

/// Fifteen hundred layers of four families on two surfaces, whose clocks the session knows.
Loop known_layers(int looks) {
    constexpr Eigen::Index count = 1500;
    const Date as_of = make_date(2026, 11, 25);
    LayerColumns layers;
    layers.stations = {find_station("722780")};
    for (const char* family : {"self_levelling_lap", "non_sag_lap", "polyurethane", "neutral_cure_silicone"})
        for (const double tilt : {0.0, 90.0}) {
            LayerKey key;
            key.tilt = tilt;
            key.azimuth = 180;
            key.family = family;
            layers.keys.push_back(key);
        }
    RandomStream random(3);
    layers.key.resize(count), layers.installed.resize(count);
    layers.length = Column::Constant(count, 2);
    layers.look_row.resize(looks * count), layers.look_date.resize(looks * count), layers.look_grade.resize(looks * count);
    for (Eigen::Index i = 0; i < count; ++i) {
        layers.key[i] = static_cast<std::int32_t>(random.below(layers.keys.size()));
        layers.installed[i] = as_of.days - 750 - static_cast<std::int32_t>(random.below(12 * 365));
        for (Eigen::Index look = i * looks; look < (i + 1) * looks; ++look) {
            const auto nth = static_cast<std::int32_t>(look - i * looks);
            layers.look_row[look] = static_cast<std::int32_t>(i);
            layers.look_date[look] = as_of.days - 700 + 300 * nth;
            layers.look_grade[look] = nth + static_cast<std::int32_t>(random.below(3));
        }
    }
    LayerOptions options;
    options.threads = 1;
    options.session = std::make_shared<Session>();
    forecast_layers(layers, as_of, options);
    return repeated(count, [=] { forecast_layers(layers, as_of, options); });
}

Loop life_rows(kernel::StandardLife life, kernel::LifeKind kind) {
    constexpr std::size_t count = 4096;
    const auto mu = between(1.8, 2.4, 1, count), time = between(0, 3, 2, count), width = between(0.1, 1, 3, count), weight = between(1, 3, 4, count),
               out = between(0, 1, 5, 6 * count);
    return repeated(count, [=] {
        kernel::LifeRows rows;
        rows.life = life;
        rows.kind = kind;
        rows.count = count;
        rows.log_sigma = -0.7;
        rows.mu = mu->data(), rows.time = time->data(), rows.width = width->data(), rows.weight = weight->data();
        for (std::size_t i = 0; i < 6; ++i) rows.out[i] = out->data() + i * count;
        if (!kernel::kernels().life_rows(rows)) throw std::logic_error("life_rows: the invented records lie too far out; draw them nearer");
    });
}

/// Schedules of one long search, which ends by its limit alone: what is done once a search falls out of the difference.
Loop project_schedules() {
    constexpr std::size_t tasks = 60, resources = 4;
    constexpr int schedules = 2000;
    RandomStream random(4);
    std::vector<int> durations(tasks);
    std::vector<std::vector<int>> successors(tasks), demands(tasks, std::vector<int>(resources));
    for (std::size_t task = 0; task < tasks; ++task) {
        durations[task] = 1 + static_cast<int>(random.below(10));
        for (int& demand : demands[task]) demand = random.below(4) == 0 ? 0 : 1 + static_cast<int>(random.below(10));
        for (int edge = 0; edge < 2; ++edge)
            if (const std::size_t next = task + 1 + random.below(15); next < tasks) successors[task].push_back(static_cast<int>(next));
    }
    return {static_cast<std::size_t>(schedules), [=](int times) {
                ProjectOptions options;
                options.threads = 1;
                options.work_limit = schedules * times;
                const ProjectResult result = solve_project(durations, successors, demands, std::vector<int>(resources, 18), options);
                if (result.schedules != options.work_limit)
                    throw std::logic_error("project_schedule: the search ended early (" + result.stopped + "); invent a harder project");
            }};
}

/// A typical year from draws that are there.
Loop typical_years() {
    const auto draws = std::make_shared<detail::YearDraws>(1);
    return repeated(8760, [draws, station = find_station("725350")] { detail::typical_year(station, *draws); });
}

/// Sun, skies and the other columns of a site from its weather.
Loop site_columns() {
    const auto weather = std::make_shared<Weather>(detail::typical_year(find_station("725350"), detail::YearDraws(1)));
    const auto places = std::make_shared<detail::HourPlaces>(*weather);
    return repeated(8760, [weather, places] { detail::SiteHalves(*weather, places->month); });
}

/// A year's rate at many points of two energies and the absorptance.
Loop sweep_points() {
    constexpr Eigen::Index points = 4096;
    const auto sweep = std::make_shared<RateSweep>(rate_sweep(
        find_station("725350"), std::vector<SweepRange>{{"energy_heat", 43, 96}, {"energy_light", 6, 50}, {"absorptance", 0.3, 0.8}}));
    const auto asked = std::make_shared<SeriesRows>(points, 3);
    RandomStream random(1, 7);
    for (Eigen::Index i = 0; i < points; ++i) asked->row(i) << 43 + 53 * random.uniform(), 6 + 44 * random.uniform(), 0.3 + 0.5 * random.uniform();
    return repeated(static_cast<std::size_t>(points), [sweep, asked] { sweep->rates(*asked, 1); });
}

std::vector<Section> sections() {
    using kernel::LifeKind, kernel::StandardLife;
    const auto lives = [](StandardLife life, LifeKind kind) { return [=] { return life_rows(life, kind); }; };
    return {
        {"damage_term", "hour", 50, [] { return damage_term(false); }},
        {"damage_term_light_power", "hour", 50, [] { return damage_term(true); }},
        {"plane_light", "hour", 50, plane_light},
        {"panel_temperature", "hour", 50, panel_temperature},
        {"rainflow_moments", "hour", 1, rainflow_hours},
        {"layers_no_looks", "layer", 1, [] { return known_layers(0); }},
        {"layers_three_looks", "layer", 1, [] { return known_layers(3); }},
        {"life_rows_exact", "row", 20, lives(StandardLife::extreme_value, LifeKind::exact)},
        {"life_rows_right", "row", 20, lives(StandardLife::extreme_value, LifeKind::right)},
        {"life_rows_left", "row", 20, lives(StandardLife::extreme_value, LifeKind::left)},
        {"life_rows_interval", "row", 20, lives(StandardLife::extreme_value, LifeKind::interval)},
        {"life_rows_interval_logistic", "row", 20, lives(StandardLife::logistic, LifeKind::interval)},
        {"project_schedule", "schedule", 1, project_schedules},
        {"typical_year", "hour", 1, typical_years},
        {"site_columns", "hour", 5, site_columns},
        {"sweep_points", "point", 1, sweep_points},
    };
}

}  // namespace

int main(int count, char** arguments) {
    try {
        if (count == 1) {
#if defined(__clang__)
            std::printf("compiler clang %s\n", __clang_version__);
#else
            std::printf("compiler gcc %s\n", __VERSION__);
#endif
            std::printf("instruction_set %s\n", kernel::name_of(kernel::chosen_set()).c_str());
            for (const Section& section : sections()) std::printf("section %s %d %s\n", section.name, section.times, section.item);
            return 0;
        }
        for (const Section& section : sections()) {
            if (count != 3 || std::string(arguments[1]) != section.name) continue;
            const Loop loop = section.ready();
            loop.run(std::atoi(arguments[2]));
            std::printf("items %zu\n", loop.items);
            return 0;
        }
        std::fprintf(stderr, "expected no argument, or the name of a section and a number of times\n");
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
    }
    return 1;
}
