// Forecasts of very many layers as columns: time and memory from a hundred coaches to a million, streamed in parts.
//
//     benchmark_layer_columns [--most COACHES] [--part COACHES] [--json]      100000 and 20000 if not given
//
// Sixty layers a coach, one in ten looked at, on up to 500 stations, 18 planes, 5 finishes and 8 families; everything is
// invented from a seed. Prints processor seconds of one thread and the peak of memory (Linux only).

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <set>
#include <tuple>
#include <vector>

#include "ageing/rate_slots.hpp"
#include "invented_fleet.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/core/random.hpp"
#include "libseal/forecast/layer_columns.hpp"

namespace {

using namespace libseal;
using namespace libseal_benchmark;

constexpr int layers_each = 60, planes = 18, finishes = 5;
const char* const families[] = {"self_levelling_lap", "non_sag_lap", "polyurethane", "silyl_modified", "neutral_cure_silicone", "butyl_tape", "epdm_gasket", "pvc_insert"};
const char* const kinds[] = {"cap_bead", "cap_bead", "cap_bead", "cap_bead", "cap_bead", "bedding", "gasket", "insert"};

std::vector<LayerKey> all_keys(int stations) {
    std::vector<LayerKey> keys;
    for (int s = 0; s < stations; ++s)
        for (int p = 0; p < planes; ++p)
            for (int f = 0; f < finishes; ++f)
                for (std::size_t k = 0; k < std::size(families); ++k) {
                    LayerKey key;
                    key.station = s;
                    key.tilt = p == 0 ? 0 : p == 1 ? 180 : 90;
                    key.azimuth = p < 2 ? 180 : (p - 2) * 22.5;
                    key.absorptance = 0.15 + 0.2 * f;
                    key.family = families[k];
                    key.layer = kinds[k];
                    keys.push_back(key);
                }
    return keys;
}

/// Puts the layers of the coaches [from, to) into columns whose stations and keys are there.
void fill(LayerColumns& columns, std::size_t from, std::size_t to, Date as_of) {
    const auto rows = static_cast<Eigen::Index>(layers_each * (to - from));
    columns.key.resize(rows);
    columns.installed.resize(rows);
    columns.length = Column::Constant(rows, 2.0);
    std::vector<std::int32_t> row, date, grade;
    const auto per_station = planes * finishes * static_cast<int>(std::size(families));
    Eigen::Index i = 0;
    for (std::size_t c = from; c < to; ++c) {
        RandomStream random(1, c);
        const auto below = [&](int n) { return std::min(n - 1, static_cast<int>(random.uniform() * n)); };
        const int station = below(static_cast<int>(columns.stations.size())), age = below(15 * 365), finish = below(finishes), heading = below(planes - 2);
        const bool looked = below(10) == 0;
        for (int l = 0; l < layers_each; ++l, ++i) {
            const int side = below(5), plane = side == 0 ? 0 : 2 + (heading + 4 * side) % (planes - 2);
            columns.key[i] = station * per_station + (plane * finishes + finish) * static_cast<int>(std::size(families)) + below(8);
            columns.installed[i] = as_of.days - age;
            for (int k = 0; looked && k < 3; ++k) {
                row.push_back(static_cast<std::int32_t>(i));
                date.push_back(as_of.days - 700 + 300 * k);
                grade.push_back(std::min(5, k + below(2)));
            }
        }
    }
    columns.look_row = Eigen::Map<const IndexColumn>(row.data(), static_cast<Eigen::Index>(row.size()));
    columns.look_date = Eigen::Map<const DateColumn>(date.data(), static_cast<Eigen::Index>(date.size()));
    columns.look_grade = Eigen::Map<const IndexColumn>(grade.data(), static_cast<Eigen::Index>(grade.size()));
}

/// What is worked out hour by hour, each once for all that share it.
struct Work {
    std::set<int> stations;
    std::set<std::tuple<int, double, double>> planes;
    std::set<std::tuple<int, double, double, double>> surfaces;
    std::set<std::tuple<int, double, double, double, Depth>> depths[2];                   ///< exposed, sheltered
    std::set<std::tuple<int, double, double, double, Depth, int, double, double>> terms;  ///< by kind, exponent, energy

    void add(const LayerKey& key) {
        const Law law = law_of_layer(key.layer);
        const Depth depth = depth_of_layer(key.layer);
        stations.insert(key.station);
        planes.emplace(key.station, key.tilt, key.azimuth);
        surfaces.emplace(key.station, key.tilt, key.azimuth, key.absorptance);
        depths[depth == Depth::sheltered].emplace(key.station, key.tilt, key.azimuth, key.absorptance, depth);
        const detail::RateTerms of = detail::rate_terms(family_under_law(Catalogue::built_in(), key.family, law), true);
        for (const detail::RateTerm& term : {of.light, of.heat, of.moisture})
            if (term.kind != detail::RateTerm::Kind::none && !(term.kind == detail::RateTerm::Kind::light && depth == Depth::sheltered))
                terms.emplace(key.station, key.tilt, key.azimuth, key.absorptance, depth, static_cast<int>(term.kind), term.exponent, term.energy);
    }
};

/// Work of the keys that layers have; with a session all keys of a station come along.
Work work_of(const LayerColumns& columns, bool whole_stations) {
    std::vector<bool> used(columns.keys.size(), false), station(columns.stations.size(), false);
    for (const std::int32_t key : columns.key) {
        used[static_cast<std::size_t>(key)] = true;
        station[static_cast<std::size_t>(columns.keys[static_cast<std::size_t>(key)].station)] = true;
    }
    Work work;
    for (std::size_t k = 0; k < used.size(); ++k)
        if (used[k] || (whole_stations && station[static_cast<std::size_t>(columns.keys[k].station)])) work.add(columns.keys[k]);
    return work;
}

void run(LayerColumns& columns, std::size_t coaches, std::size_t together, bool json) {
    const Date as_of = make_date(2026, 11, 25);
    LayerOptions options;
    options.threads = 1;
    if (coaches > together) options.session = std::make_shared<Session>();  // parts share their clocks
    double seconds = 0, due = 0;
    for (std::size_t from = 0; from < coaches; from += together) {
        fill(columns, from, std::min(coaches, from + together), as_of);
        const double begin = processor_seconds();
        due += forecast_layers(columns, as_of, options).due_1_year.sum();
        seconds += processor_seconds() - begin;
    }
    if (json) {
        const double peak = peak_megabytes();
        const Work work = work_of(columns, options.session != nullptr);
        std::printf("%s{\"coaches\": %zu, \"layers\": %zu, \"seconds\": %.4f, \"clocks\": %zu, \"peak_mb\": %.1f, \"work\": {\"stations\": %zu, \"planes\": %zu, "
                    "\"surfaces\": %zu, \"exposed\": %zu, \"sheltered\": %zu, \"terms\": %zu}}", coaches > 100 ? ", " : "", coaches, layers_each * coaches, seconds,
                    options.session ? options.session->clock_count() : 0, peak, work.stations.size(), work.planes.size(), work.surfaces.size(), work.depths[0].size(),
                    work.depths[1].size(), work.terms.size());
        std::fflush(stdout);
        return;
    }
    std::printf("%9zu coaches %10zu layers %8.2f CPU-s %8.2f us a layer  clocks %zu  peak %.0f MB  due within a year %.1f\n", coaches, layers_each * coaches, seconds,
                1e6 * seconds / static_cast<double>(layers_each * coaches), options.session ? options.session->clock_count() : 0, peak_megabytes(), due);
    std::fflush(stdout);
}

/// Layers alone, all clocks known. [us a layer]
double run_known(LayerColumns part, bool looks) {
    const Date as_of = make_date(2026, 11, 25);
    LayerOptions options;
    options.threads = 1;
    options.session = std::make_shared<Session>();
    fill(part, 0, 2000, as_of);
    if (!looks) part.look_row.resize(0), part.look_date.resize(0), part.look_grade.resize(0);
    if (looks) {  // three looks at each layer
        const Eigen::Index rows = part.key.size();
        part.look_row.resize(3 * rows), part.look_date.resize(3 * rows), part.look_grade.resize(3 * rows);
        for (Eigen::Index i = 0; i < 3 * rows; ++i) {
            part.look_row[i] = static_cast<std::int32_t>(i / 3);
            part.look_date[i] = as_of.days - 700 + 300 * static_cast<std::int32_t>(i % 3);
            part.look_grade[i] = static_cast<std::int32_t>((i / 3 + i) % 3 + i % 3);
        }
    }
    forecast_layers(part, as_of, options);
    double best = 1e300;
    for (int k = 0; k < 20; ++k) {
        const double begin = processor_seconds();
        forecast_layers(part, as_of, options);
        best = std::min(best, processor_seconds() - begin);
    }
    return 1e6 * best / static_cast<double>(part.key.size());
}

}  // namespace

int main(int argc, char** argv) {
    std::size_t most = 100000, together = 20000;
    bool json = false;
    for (int i = 1; i < argc; ++i) {
        json = json || std::strcmp(argv[i], "--json") == 0;
        if (i + 1 == argc) break;
        if (std::strcmp(argv[i], "--most") == 0) most = static_cast<std::size_t>(std::atoll(argv[i + 1]));
        if (std::strcmp(argv[i], "--part") == 0) together = static_cast<std::size_t>(std::atoll(argv[i + 1]));
    }
    std::vector<Station> some;
    for (std::size_t i = 0; i < station_count() && some.size() < 500; i += 2) some.push_back(station_at(i));
    LayerColumns few, all;
    few.stations.assign(some.begin(), some.begin() + 4);
    few.keys = all_keys(4);
    const double plain = run_known(few, false), looked = run_known(few, true);
    if (json) std::printf("{\"known_us\": {\"no_looks\": %.4f, \"three_looks\": %.4f}, \"growth\": [", plain, looked);
    else std::printf("layers whose clocks are known: %.3f us without looks, %.3f us with three looks\n", plain, looked);
    all.stations = some;
    all.keys = all_keys(static_cast<int>(some.size()));
    for (std::size_t coaches = 100; coaches <= most; coaches *= 10) run(all, coaches, together, json);
    if (json) std::printf("]}\n");
    return 0;
}
