#include "libseal/ageing/rate_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <functional>

#include "ageing/chebyshev_series.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"

// Series against the hours they stand for: the hours of a sweep against those of a store of clocks with the values in its catalogue,
// then the series at random points against these hours.

using namespace libseal;

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
const std::vector<const char*> climates = {"722780", "722020", "725350", "727930", "726580", "700260"};  // the last has a polar night

/// Points of the ranges; weights as the catalogue has them, so that they sum to 1.
SeriesRows points_in(const RateSweep& sweep, Eigen::Index count, std::uint64_t seed) {
    RandomStream random(seed);
    const auto& parameters = sweep.parameters();
    SeriesRows points(count, static_cast<Eigen::Index>(parameters.size()));
    for (Eigen::Index i = 0; i < count; ++i)
        for (std::size_t p = 0; p < parameters.size(); ++p) {
            const double part = random.uniform();
            const bool weight = parameters[p].name.starts_with("weight");
            points(i, static_cast<Eigen::Index>(p)) =
                weight ? parameters[p].value : parameters[p].low + part * (parameters[p].high - parameters[p].low);
        }
    return points;
}

double year_of(const ClockYear& clock) { return year_mean(clock).total(); }

/// Largest relative difference of any month and of the year between series and hours.
double worst_at(const RateSweep& sweep, const SeriesRows& points) {
    double worst = 0;
    for (Eigen::Index i = 0; i < points.rows(); ++i) {
        const Column point = points.row(i).transpose();
        const ClockYear exact = sweep.exact_clock(point), series = sweep.clock(point);
        for (std::size_t m = 0; m < 12; ++m) worst = std::max(worst, std::fabs(series.month[m].total() / exact.month[m].total() - 1));
        worst = std::max(worst, std::fabs(sweep.rate(point) / year_of(exact) - 1));
    }
    return worst;
}

Catalogue with_values(const std::vector<std::pair<std::string, double>>& values) {
    const Catalogue plain = Catalogue::built_in();
    std::string text = R"({"schema": "libseal/catalogue/1", "values": {)";
    for (std::size_t i = 0; i < values.size(); ++i) {
        const SourcedValue& old = plain.at(values[i].first);
        char entry[400];
        std::snprintf(entry, sizeof entry, R"(%s"%s": {"value": %.17g, "unit": "%s", "source": "a test", "mark": "judgement"})", i > 0 ? ", " : "",
                      values[i].first.c_str(), values[i].second, old.unit.c_str());
        text += entry;
    }
    return plain.with_overlay(text + "}}", "test");
}

/// The clock of a store whose catalogue has the values of a point.
ClockYear stored_clock(const Station& station, const RateSweep& sweep, const RateSweepOptions& options, const Column& point) {
    std::vector<std::pair<std::string, double>> values;
    ClockKey key{0, options.tilt, std::isnan(options.azimuth) ? -1 : options.azimuth, options.absorptance, options.emittance, options.cover,
                 options.family, options.law, options.depth};
    for (std::size_t p = 0; p < sweep.parameters().size(); ++p) {
        const SweptParameter& parameter = sweep.parameters()[p];
        const double value = point[static_cast<Eigen::Index>(p)];
        if (parameter.name == "absorptance") key.absorptance = value;
        else if (parameter.name == "emittance") key.emittance = value;
        else values.emplace_back(parameter.id, value);
    }
    ClockStore store(with_values(values));
    key.site = store.add_site(station, options.seed);
    const int number = store.add_key(key);
    store.evaluate(1, {});
    return store.clock(number);
}

struct Case {
    const char* family;
    Law law;
    Depth depth;
    double tilt, azimuth;
    const char* cover;
};
const std::vector<Case> cases = {{"polyurethane", Law::surface, Depth::exposed, 90, 180, "open"},
                                 {"self_levelling_lap", Law::surface, Depth::exposed, 0, 180, "carport"},
                                 {"butyl_tape", Law::surface, Depth::sheltered, 90, unknown, "open"},
                                 {"polyurethane", Law::appearance, Depth::exposed, 90, 270, "open"},
                                 {"epdm_gasket", Law::set, Depth::sheltered, 90, 90, "open"},
                                 {"epdm_gasket", Law::set_time, Depth::sheltered, 90, 90, "open"},
                                 {"pvc_insert", Law::shrinkage, Depth::exposed, 90, 180, "open"},
                                 {"pvc_insert", Law::shrink_time, Depth::exposed, 90, 180, "open"},
                                 {"polyurethane", Law::bond, Depth::sheltered, 0, 0, "open"},
                                 {"butyl_tape", Law::flow, Depth::sheltered, 0, 0, "open"},
                                 {"non_sag_lap", Law::surface, Depth::exposed, 90, 45, "indoors"}};

RateSweepOptions options_of(const Case& c) {
    RateSweepOptions options;
    options.family = c.family;
    options.law = c.law;
    options.depth = c.depth;
    options.tilt = c.tilt;
    options.azimuth = c.azimuth;
    options.cover = c.cover;
    return options;
}

/// What a call says is wrong.
std::string error_of(const std::function<void()>& call) {
    try {
        call();
    } catch (const ValueError& error) {
        return error.what();
    }
    return "no error";
}
bool has(const std::string& text, const std::string& part) {
    UNSCOPED_INFO(text);
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the hours of a sweep are those of a store of clocks, under every law", "[law]") {
    const Station station = find_station("722780");
    for (const Case& c : cases) {
        INFO(c.family << ", law " << static_cast<int>(c.law));
        RateSweepOptions options = options_of(c);
        options.check_points = 2;
        const RateSweep sweep = rate_sweep(station, sweep_ranges(c.family, c.law, "white_gelcoat"), options);
        const SeriesRows points = points_in(sweep, 2, 3);
        for (Eigen::Index i = 0; i < points.rows(); ++i) {
            const Column point = points.row(i).transpose();
            const ClockYear stored = stored_clock(station, sweep, options, point), exact = sweep.exact_clock(point), series = sweep.clock(point);
            for (std::size_t m = 0; m < 12; ++m) {
                CHECK(exact.month[m].light == Approx(stored.month[m].light).epsilon(1e-12).margin(0));
                CHECK(exact.month[m].heat == Approx(stored.month[m].heat).epsilon(1e-12).margin(0));
                CHECK(exact.month[m].moisture == Approx(stored.month[m].moisture).epsilon(1e-12).margin(0));
                const double error = sweep.error().stated;
                CHECK(series.month[m].light == Approx(stored.month[m].light).epsilon(error).margin(0));
                CHECK(series.month[m].heat == Approx(stored.month[m].heat).epsilon(error).margin(0));
                CHECK(series.month[m].moisture == Approx(stored.month[m].moisture).epsilon(error).margin(0));
            }
        }
    }
}

TEST_CASE("series stay within the error that they state, in every climate", "[law]") {
    const auto session = std::make_shared<Session>();
    for (const char* id : climates)
        for (const Case& c : cases) {
            RateSweepOptions options = options_of(c);
            options.session = session;
            auto ranges = sweep_ranges(c.family, c.law);
            ranges.push_back({"absorptance", 0.1, 0.98});
            const RateSweep sweep = rate_sweep(find_station(id), ranges, options);
            INFO(id << ", " << c.family << ", law " << static_cast<int>(c.law) << ", stated " << sweep.error().stated);
            CHECK(sweep.error().stated <= options.tolerance);
            CHECK(worst_at(sweep, points_in(sweep, 12, 77)) <= sweep.error().stated);
        }
}

TEST_CASE("series stay within the error that they state on measured hours", "[reference]") {
    for (const char* name : {"722020_FL_Miami_TMY3.csv", "722780_AZ_Phoenix_Sky_Harbor_TMY3.csv", "724666_CO_Golden_NREL_TMY3.csv",
                             "725090_MA_Boston_TMY3.csv", "725300_IL_Chicago_OHare_TMY3.csv", "725350_IN_South_Bend_TMY3.csv",
                             "726580_MN_Minneapolis_TMY3.csv", "727930_WA_Seattle_TMY3.csv", "ITA_45.000N_8.000E_PVGIS-TMY_2005-2023.epw",
                             "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"}) {
        const auto file = libseal_test::outside_file(std::string("weather/") + name);
        if (!file) continue;
        const Weather weather = read_weather(file->string());
        for (const double tilt : {0.0, 90.0}) {
            RateSweepOptions options;
            options.family = "polyurethane";
            options.tilt = tilt;
            options.azimuth = 200;
            auto ranges = sweep_ranges(options.family);
            ranges.push_back({"absorptance", 0.1, 0.98});
            const RateSweep sweep = rate_sweep(weather, ranges, options);
            INFO(name << ", tilt " << tilt << ", stated " << sweep.error().stated);
            CHECK(sweep.error().stated <= options.tolerance);
            CHECK(worst_at(sweep, points_in(sweep, 12, 5)) <= sweep.error().stated);
        }
    }
}

TEST_CASE("a looser tolerance takes fewer nodes and still holds, a tight one holds too", "[law]") {
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    const auto ranges = sweep_ranges(options.family, Law::surface, "grey_paint");
    int last = 0;
    for (const double tolerance : {1e-2, 1e-4, 1e-6, 1e-9}) {
        options.tolerance = tolerance;
        const RateSweep sweep = rate_sweep(find_station("722020"), ranges, options);
        int nodes = 0;
        for (const SweptParameter& parameter : sweep.parameters()) nodes += parameter.nodes;
        INFO(tolerance << ", " << nodes << " nodes, stated " << sweep.error().stated);
        CHECK(nodes > last);
        CHECK(worst_at(sweep, points_in(sweep, 12, 9)) <= sweep.error().stated);
        CHECK(sweep.error().stated <= tolerance);
        CHECK(sweep.error().stated == std::max(sweep.error().series, 2 * sweep.error().checked));
        last = nodes;
    }
}

TEST_CASE("a series without a variable is its one value, with no slope, at one point and at sixteen", "[law]") {
    detail::LaneRow value{};
    for (std::size_t lane = 0; lane < value.size(); ++lane) value[lane] = 0.5 - static_cast<double>(lane);
    const detail::ChebyshevSeries series({}, {value}, 0);
    REQUIRE(series.size() == 1);
    double work[detail::points_at_once], lanes[detail::points_at_once];
    series.at(detail::ChebyshevPoint({}, nullptr), work, lanes);
    for (std::size_t lane = 0; lane < value.size(); ++lane) CHECK(lanes[lane] == value[lane]);
    detail::ChebyshevPoints points;
    points.set({}, nullptr, true);
    double columns[2 * detail::points_at_once];
    series.at(points, -1, 3, 2, work, columns);
    for (std::size_t i = 0; i < detail::points_at_once; ++i) {
        CHECK(columns[i] == value[3]);
        CHECK(columns[detail::points_at_once + i] == value[4]);
    }
    series.at(points, 0, 3, 2, work, columns);
    for (const double slope : columns) CHECK(slope == 0);
}

TEST_CASE("five, six and eight nodes carry a year's sums as far as the design says", "[law]") {
    // Errors of the logarithm of a year's sum: 1e-5, 1e-6 and 1e-8 in energy and light exponent, as much in absorptance
    // for heat and light (docs/rate_sweeps.md has the table of more places). A factor of three for the place.
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    options.azimuth = 180;
    options.check_points = 0;
    const Station station = find_station("725350");
    struct Range {
        const char* parameter;
        double low, high;
        double ClockTerms::*part;
    };
    for (const Range& range : {Range{"light_exponent", 0.4, 1.2, &ClockTerms::light}, Range{"energy_heat", 20, 80, &ClockTerms::heat},
                               Range{"absorptance", 0.1, 0.98, &ClockTerms::light}, Range{"absorptance", 0.1, 0.98, &ClockTerms::heat}}) {
        const RateSweep sweep = rate_sweep(station, {{range.parameter, range.low, range.high}}, options);
        const auto exact = [&](double value) {
            return std::log(year_mean(sweep.exact_clock(Column::Constant(1, value))).*range.part);
        };
        double last = 1;
        for (const auto& [nodes, most] : {std::pair{5, 1e-5}, std::pair{6, 1e-6}, std::pair{8, 1e-8}}) {
            const std::vector<detail::ChebyshevAxis> axes{{range.low, range.high, nodes}};
            std::vector<detail::LaneRow> values;
            for (int i = 0; i < nodes; ++i) values.push_back({exact(axes[0].node(i))});
            const detail::ChebyshevSeries series(axes, values, 0);
            double worst = 0;
            for (int i = 0; i <= 20; ++i) {
                const double value = range.low + (range.high - range.low) * i / 20;
                std::vector<double> work(series.size());
                double lanes[kernel::sweep_lanes];
                series.at(detail::ChebyshevPoint(axes, &value), work.data(), lanes);
                worst = std::max(worst, std::fabs(lanes[0] - exact(value)));
            }
            INFO(range.parameter << ", " << nodes << " nodes: " << worst);
            CHECK(worst < 3 * most);
            CHECK(worst < last);
            last = worst;
        }
    }
}

TEST_CASE("slopes are those of the hours", "[law]") {
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    options.tolerance = 1e-9;
    auto ranges = sweep_ranges(options.family, Law::surface, "grey_paint");
    const RateSweep sweep = rate_sweep(find_station("725350"), ranges, options);
    const SeriesRows points = points_in(sweep, 4, 4);
    const SeriesRows slopes = sweep.slopes(points);
    for (Eigen::Index i = 0; i < points.rows(); ++i)
        for (Eigen::Index p = 0; p < points.cols(); ++p) {
            const SweptParameter& parameter = sweep.parameters()[static_cast<std::size_t>(p)];
            const double range = parameter.high - parameter.low, step = 1e-3 * range;
            const double middle = std::clamp(points(i, p), parameter.low + 2 * step, parameter.high - 2 * step);
            Column point = points.row(i).transpose();
            const auto rate = [&](double value) {
                point[p] = value;
                return std::log(year_of(sweep.exact_clock(point)));
            };
            // Central differences of two steps: an error of the fourth order, or the small kinks of wet hours.
            const double hours = (8 * (rate(middle + step) - rate(middle - step)) - (rate(middle + 2 * step) - rate(middle - 2 * step))) / (12 * step);
            point[p] = middle;
            SeriesRows at = point.transpose();
            INFO(parameter.name << " at " << middle);
            CHECK(sweep.slopes(at)(0, p) * range == Approx(hours * range).margin(parameter.id.empty() ? 3e-5 : 1e-8));
        }
    CHECK(slopes.allFinite());
}

TEST_CASE("months without light have none, at every point", "[law]") {
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    options.azimuth = 0;
    auto ranges = sweep_ranges(options.family);
    ranges.push_back({"absorptance", 0.1, 0.98});
    const RateSweep sweep = rate_sweep(find_station("700260"), ranges, options);
    const SeriesRows points = points_in(sweep, 30, 12);
    for (Eigen::Index i = 0; i < points.rows(); ++i) {
        const ClockYear clock = sweep.clock(points.row(i).transpose());
        CHECK(clock.month[11].light == 0);
        CHECK(clock.month[11].heat > 0);
        CHECK(clock.month[5].light > 0);
    }
    CHECK(sweep.rates(points).isFinite().all());
    CHECK(sweep.slopes(points).isFinite().all());
    CHECK(worst_at(sweep, points) <= sweep.error().stated);
    // No light at all: a sheltered layer.
    options.depth = Depth::sheltered;
    const RateSweep dark = rate_sweep(find_station("700260"), ranges, options);
    for (const ClockTerms& month : dark.clock(dark.base()).month) CHECK(month.light == 0);
    CHECK(dark.slopes(points)(0, 0) == 0);
}

TEST_CASE("a darker surface never slows light and heat, and a weight moves the rate in a straight line", "[law]") {
    RateSweepOptions options;
    options.family = "self_levelling_lap";
    const RateSweep sweep = rate_sweep(find_station("722780"), {{"absorptance", 0.05, 1}, {"weight_light", 0.1, 0.8}}, options);
    ClockTerms last{};
    for (int i = 0; i <= 40; ++i) {
        Column point(2);
        point << 0.05 + 0.95 * i / 40, 0.45;
        const ClockTerms year = year_mean(sweep.clock(point));
        CHECK(year.light > last.light);
        CHECK(year.heat > last.heat);
        last = year;
    }
    const auto rate = [&](double weight) { return sweep.rate((Column(2) << 0.5, weight).finished()); };
    CHECK(rate(0.45) == Approx(0.5 * (rate(0.1) + rate(0.8))).epsilon(1e-12));
    // What light takes, heat and moisture give in proportion: as a catalogue with these weights has it.
    const Sealant family = sealant(options.catalogue, options.family);
    const double others = family.weight_heat + family.weight_moisture, begin = 0.6;
    ClockStore store(with_values({{"sealant/self_levelling_lap/weight_light", begin},
                                  {"sealant/self_levelling_lap/weight_heat", (1 - begin) * family.weight_heat / others},
                                  {"sealant/self_levelling_lap/weight_moisture", (1 - begin) * family.weight_moisture / others}}));
    const int key = store.add_key({store.add_site(find_station("722780"), 0), 0, -1, 0.5, 0.9, "open", "self_levelling_lap", Law::surface, Depth::exposed});
    store.evaluate(1, {});
    CHECK(rate(begin) == Approx(year_of(store.clock(key))).epsilon(sweep.error().stated));
}

TEST_CASE("where nothing else has a weight, the swept ones take all of it", "[law]") {
    RateSweepOptions options;
    options.family = "self_levelling_lap";
    options.catalogue = with_values({{"sealant/self_levelling_lap/weight_light", 0.6}, {"sealant/self_levelling_lap/weight_heat", 0.4},
                                     {"sealant/self_levelling_lap/weight_moisture", 0}});
    const RateSweep sweep = rate_sweep(find_station("722780"), {{"weight_light", 0, 1}, {"weight_heat", 0, 1}}, options);
    const auto rate = [&](double light, double heat) { return sweep.rate((Column(2) << light, heat).finished()); };
    CHECK(rate(0.6, 0.4) == Approx(0.6 * rate(1, 0) + 0.4 * rate(0, 1)).epsilon(1e-12));
    CHECK(rate(0.6, 0.4) > 0);
    CHECK(has(error_of([&] { rate(0.6, 0.3); }), "weights that sum to 1: nothing else has one"));
}

TEST_CASE("a sweep gives the same bits point by point, in rows and on any number of threads", "[law]") {
    RateSweepOptions options;
    options.family = "polyurethane";
    options.tilt = 90;
    const auto ranges = sweep_ranges(options.family, Law::surface, "black_plastic");
    const RateSweep sweep = rate_sweep(find_station("725350"), ranges, options), again = rate_sweep(find_station("725350"), ranges, options);
    const SeriesRows points = points_in(sweep, 1000, 8);
    const Column one = sweep.rates(points, 1), many = sweep.rates(points, 7);
    CHECK(std::memcmp(one.data(), many.data(), 1000 * sizeof(double)) == 0);
    CHECK((again.rates(points, 2) == one).all());
    CHECK((sweep.slopes(points, 1) == sweep.slopes(points, 5)).all());
    const SeriesRows months = sweep.month_rates(points, 3);
    for (Eigen::Index i = 0; i < points.rows(); i += 97) {
        CHECK(sweep.rate(points.row(i).transpose()) == one[i]);
        const ClockYear clock = sweep.clock(points.row(i).transpose());
        for (std::size_t m = 0; m < 12; ++m) CHECK(clock.month[m].total() == months(i, static_cast<Eigen::Index>(m)));
    }
}

TEST_CASE("bars of a tornado are rates at the ends of ranges, the longest first", "[law]") {
    RateSweepOptions options;
    options.family = "self_levelling_lap";
    const RateSweep sweep = rate_sweep(find_station("722780"), sweep_ranges(options.family, Law::surface, "white_membrane"), options);
    const Column base = sweep.base();
    const RateSensitivities bars = sweep.sensitivities(base);
    REQUIRE(bars.size() == base.size());
    CHECK(bars.rate == sweep.rate(base));
    CHECK(bars.life == Approx(sealant(options.catalogue, options.family).median_life / bars.rate));
    for (Eigen::Index i = 0; i < bars.size(); ++i) {
        if (i > 0) CHECK(bars.swing[i] <= bars.swing[i - 1]);
        Eigen::Index p = 0;
        while (sweep.parameters()[static_cast<std::size_t>(p)].name != bars.parameter[static_cast<std::size_t>(i)]) ++p;
        Column point = base;
        point[p] = bars.low[i];
        CHECK(bars.rate_low[i] == sweep.rate(point));
        CHECK(bars.life_low[i] == Approx(sweep.life(point)));
        point[p] = bars.high[i];
        CHECK(bars.rate_high[i] == sweep.rate(point));
        CHECK(bars.swing[i] == Approx(std::fabs(std::log(bars.rate_high[i] / bars.rate_low[i]))));
        CHECK(bars.value[i] == base[p]);
        const SeriesRows at = base.transpose();
        CHECK(bars.slope[i] == sweep.slopes(at)(0, p));
    }
}

TEST_CASE("sweeps say what is wrong with what they are given", "[bad_input]") {
    const Station station = find_station("725350");
    RateSweepOptions options;
    const auto message = [&](const std::vector<SweepRange>& ranges, const RateSweepOptions& with) {
        return error_of([&] { rate_sweep(station, ranges, with); });
    };
    CHECK(has(message({}, options), "ranges: expected at least one"));
    CHECK(has(message({{"energy_heat", 96, 43}}, options), "ranges[0].energy_heat"));
    CHECK(has(message({{"energy_heat", 96, 43}}, options), "96 to 43"));
    CHECK(has(message({{"energy_heat", 96, 43}}, options), "lower end first"));
    CHECK(has(message({{"energy_heat", 43, 400}}, options), "<= 300 kJ/mol"));
    CHECK(has(message({{"energy_haet", 43, 96}}, options), "did you mean \"energy_heat\"?"));
    CHECK(has(message({{"energy_heat", 43, 96}, {"energy_heat", 43, 50}}, options), "ranges[1]"));
    CHECK(has(message({{"energy_heat", 43, 96}, {"energy_heat", 43, 50}}, options), "each parameter once"));
    CHECK(has(message({{"weight_light", 0, 1}, {"weight_heat", 0, 1}, {"weight_moisture", 0, 1}}, options), "two weights at most"));
    CHECK(has(message({{"heading", 0, 360}}, options), "absorptance, emittance"));
    RateSweepOptions other = options;
    other.tolerance = 0;
    CHECK(has(message({{"energy_heat", 43, 96}}, other), "tolerance"));
    other = options;
    other.law = Law::bond;
    CHECK(has(message({{"energy_heat", 43, 96}}, other), "a parameter of the law: energy_moisture, humidity_exponent"));
    other.law = Law::set_time;
    CHECK(has(message({{"energy_heat", 43, 96}}, other), "a family that takes a set"));
    other = options;
    other.session = std::make_shared<Session>(Catalogue::preset("building"));
    CHECK(has(message({{"energy_heat", 43, 96}}, other), "a session of the same catalogue"));
    other = options;
    other.tolerance = 1e-12;
    CHECK(has(message({{"light_exponent", 0, 5}, {"energy_light", 0, 300}, {"absorptance", 0, 1}}, other), "narrow the ranges"));

    const RateSweep sweep = rate_sweep(station, {{"energy_heat", 43, 96}, {"weight_light", 0, 1}, {"weight_heat", 0, 1}}, options);
    const Column beyond = (Column(3) << 96.5, 0.3, 0.3).finished(), heavy = (Column(3) << 50, 0.7, 0.7).finished();
    CHECK(has(error_of([&] { sweep.rate(beyond); }), "point.energy_heat: expected 43 to 96 kJ/mol, got 96.5"));
    CHECK(has(error_of([&] { sweep.rate(beyond); }), "wider"));
    CHECK(sweep.rate((Column(3) << std::nextafter(96.0, 97.0), 0.3, 0.3).finished()) == Approx(sweep.rate((Column(3) << 96, 0.3, 0.3).finished())));
    CHECK(has(error_of([&] { sweep.rate((Column(3) << std::nan(""), 0.3, 0.3).finished()); }), "point.energy_heat"));
    CHECK(has(error_of([&] { sweep.rate(heavy); }), "weights that sum to at most 1"));
    CHECK(has(error_of([&] { sweep.rate(heavy); }), "1.4"));
    CHECK(has(error_of([&] { sweep.point({{"energy_light", 20}}); }), "parameters of the sweep"));
    CHECK(has(error_of([&] { sweep.point({{"weight_heat", 2}}); }), "values.weight_heat: expected 0 to 1"));
    CHECK(sweep.point({{"weight_heat", 0.25}})[2] == 0.25);
    CHECK(has(error_of([&] { sweep.rate(Column::Zero(2)); }), "3 values"));
    SeriesRows rows(2, 3);
    rows.row(0) << 50, 0.3, 0.3;
    rows.row(1) = beyond.transpose();
    CHECK(has(error_of([&] { sweep.rates(rows); }), "points[1].energy_heat"));
    CHECK(has(error_of([&] { sweep.slopes(SeriesRows(2, 2)); }), "3 columns"));
    CHECK_THROWS_AS(sweep_ranges("polyurethan"), ValueError);
    CHECK_THROWS_AS(sweep_ranges("polyurethane", Law::surface, "white_gelcoot"), ValueError);
    Weather half = typical_year(station);
    half.air_temperature.tail(4000).setConstant(std::nan(""));
    CHECK(has(error_of([&] { rate_sweep(half, {{"energy_heat", 43, 96}}, options); }), "in every calendar month"));
}
