// Sweeps of ageing rates, in Python.

#include "libseal/ageing/rate_sweep.hpp"

#include <array>
#include <optional>
#include <span>
#include <variant>

#include <pybind11/stl.h>

#include "bind.hpp"
#include "docs/ageing.hpp"
#include "rate_sweep.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

using Ranges = std::variant<std::vector<SweepRange>, py::dict>;

constexpr std::array law_words{"surface", "set", "shrinkage", "bond", "set_time", "shrink_time", "flow", "appearance"};
static_assert(law_words.size() == static_cast<std::size_t>(Law::appearance) + 1, "a word for each law, in their order");
constexpr std::array depth_words{"exposed", "sheltered"};

/// A word of a list, by its place.
std::size_t word_in(const std::string& word, std::span<const char* const> words, const char* argument) {
    std::string list;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i] == word) return i;
        list += (i > 0 ? ", " : "") + std::string(words[i]);
    }
    throw_value_error(argument, "one of " + list, "\"" + word + "\"");
}

Law law_in(const std::string& word) { return static_cast<Law>(word_in(word, law_words, "law")); }
Depth depth_in(const std::string& word) { return static_cast<Depth>(word_in(word, depth_words, "depth")); }

std::vector<SweepRange> ranges_in(const Ranges& ranges) {
    if (const auto* list = std::get_if<std::vector<SweepRange>>(&ranges)) return *list;
    std::vector<SweepRange> result;
    for (const auto& [name, ends] : std::get<py::dict>(ranges)) {
        const auto [low, high] = ends.cast<std::pair<double, double>>();
        result.push_back({name.cast<std::string>(), low, high});
    }
    return result;
}

/// `rate_sweep` of a place, with the options as keywords.
template <class Place>
RateSweep sweep_of(const Place& place, const Ranges& ranges, const std::string& family, const std::string& law, const std::string& depth, double tilt,
                   double azimuth, double absorptance, double emittance, const std::string& cover, double tolerance, int check_points,
                   const Catalogue* catalogue, const std::shared_ptr<Session>& session, std::uint64_t seed) {
    RateSweepOptions options;
    options.family = family;
    options.law = law_in(law);
    options.depth = depth_in(depth);
    options.tilt = tilt;
    options.azimuth = azimuth;
    options.absorptance = absorptance;
    options.emittance = emittance;
    options.cover = cover;
    options.tolerance = tolerance;
    options.check_points = check_points;
    if (catalogue) options.catalogue = *catalogue;
    else if (session) options.catalogue = session->catalogue();
    options.session = session;
    options.seed = seed;
    const std::vector<SweepRange> list = ranges_in(ranges);
    const py::gil_scoped_release free;
    return rate_sweep(place, list, options);
}

Eigen::Map<const SeriesRows> rows_in(const Doubles& points) {
    if (points.ndim() != 2) throw_value_error("points", "one point a row, two dimensions", std::to_string(points.ndim()) + " dimensions");
    return {points.data(), points.shape(0), points.shape(1)};
}

/// Rows handed over without a copy.
py::array_t<double> give_rows(SeriesRows rows) {
    auto held = std::make_unique<SeriesRows>(std::move(rows));
    const SeriesRows* raw = held.get();
    py::capsule owner(held.release(), [](void* p) { delete static_cast<SeriesRows*>(p); });
    return py::array_t<double>({raw->rows(), raw->cols()}, raw->data(), owner);
}

using OfRows = SeriesRows (RateSweep::*)(ConstSeriesRows, int) const;
py::array_t<double> rows_of(const RateSweep& sweep, OfRows call, const Doubles& points, int threads) {
    const auto rows = rows_in(points);
    SeriesRows result;
    {
        const py::gil_scoped_release free;
        result = (sweep.*call)(rows, threads);
    }
    return give_rows(std::move(result));
}

/// Months in rows: light, heat, moisture.
py::array_t<double> months_of(const ClockYear& clock) {
    py::array_t<double> rows({12, 3});
    for (py::ssize_t m = 0; m < 12; ++m) {
        const ClockTerms& month = clock.month[static_cast<std::size_t>(m)];
        rows.mutable_at(m, 0) = month.light, rows.mutable_at(m, 1) = month.heat, rows.mutable_at(m, 2) = month.moisture;
    }
    return rows;
}

void define_records() {
    Record<SweepRange>().field(LIBSEAL_FIELD(SweepRange, parameter)).field(LIBSEAL_FIELD(SweepRange, low)).field(LIBSEAL_FIELD(SweepRange, high)).finish();
    auto parameter = known<SweptParameter>();
    field(parameter, LIBSEAL_FIELD(SweptParameter, name));
    field(parameter, LIBSEAL_FIELD(SweptParameter, id));
    field(parameter, LIBSEAL_FIELD(SweptParameter, unit));
    field(parameter, LIBSEAL_FIELD(SweptParameter, low));
    field(parameter, LIBSEAL_FIELD(SweptParameter, value));
    field(parameter, LIBSEAL_FIELD(SweptParameter, high));
    field(parameter, LIBSEAL_FIELD(SweptParameter, nodes));
    auto error = known<SweepError>();
    field(error, LIBSEAL_FIELD(SweepError, stated));
    field(error, LIBSEAL_FIELD(SweepError, series));
    field(error, LIBSEAL_FIELD(SweepError, checked));
    field(error, LIBSEAL_FIELD(SweepError, points));
    auto bars = known<RateSensitivities>();
    field(bars, LIBSEAL_FIELD(RateSensitivities, parameter));
    field(bars, LIBSEAL_FIELD(RateSensitivities, unit));
    field(bars, LIBSEAL_FIELD(RateSensitivities, rate));
    field(bars, LIBSEAL_FIELD(RateSensitivities, life));
    field(bars, LIBSEAL_FIELD(RateSensitivities, value));
    field(bars, LIBSEAL_FIELD(RateSensitivities, low));
    field(bars, LIBSEAL_FIELD(RateSensitivities, high));
    field(bars, LIBSEAL_FIELD(RateSensitivities, slope));
    field(bars, LIBSEAL_FIELD(RateSensitivities, rate_low));
    field(bars, LIBSEAL_FIELD(RateSensitivities, rate_high));
    field(bars, LIBSEAL_FIELD(RateSensitivities, life_low));
    field(bars, LIBSEAL_FIELD(RateSensitivities, life_high));
    field(bars, LIBSEAL_FIELD(RateSensitivities, swing));
    bars.def("__len__", &RateSensitivities::size);
}

void define_sweep() {
    known<RateSweep>()
        .def_property_readonly("parameters", &RateSweep::parameters, doc::RateSweep_parameters)
        .def_property_readonly("error", &RateSweep::error, doc::RateSweep_error)
        .def_property_readonly("base", [](const RateSweep& self) { return give(self.base()); }, doc::RateSweep_base)
        .def("point", [](const RateSweep& self, const std::map<std::string, double>& values) { return give(self.point(values)); }, "values"_a,
             doc::RateSweep_point)
        .def("clock", [](const RateSweep& self, const Doubles& point) { return months_of(self.clock(column_in(point, "point"))); }, "point"_a,
             doc::RateSweep_clock)
        .def("rate", [](const RateSweep& self, const Doubles& point) { return self.rate(column_in(point, "point")); }, "point"_a, doc::RateSweep_rate)
        .def("life", [](const RateSweep& self, const Doubles& point) { return self.life(column_in(point, "point")); }, "point"_a, doc::RateSweep_life)
        .def(
            "rates",
            [](const RateSweep& self, const Doubles& points, int threads) {
                const auto rows = rows_in(points);
                Column result;
                {
                    const py::gil_scoped_release free;
                    result = self.rates(rows, threads);
                }
                return give(std::move(result));
            },
            "points"_a, "threads"_a = 0, doc::RateSweep_rates)
        .def(
            "month_rates", [](const RateSweep& self, const Doubles& points, int threads) { return rows_of(self, &RateSweep::month_rates, points, threads); },
            "points"_a, "threads"_a = 0, doc::RateSweep_month_rates)
        .def(
            "slopes", [](const RateSweep& self, const Doubles& points, int threads) { return rows_of(self, &RateSweep::slopes, points, threads); },
            "points"_a, "threads"_a = 0, doc::RateSweep_slopes)
        .def("sensitivities", [](const RateSweep& self, const Doubles& point) { return self.sensitivities(column_in(point, "point")); }, "point"_a,
             doc::RateSweep_sensitivities)
        .def("exact_clock", [](const RateSweep& self, const Doubles& point) { return months_of(self.exact_clock(column_in(point, "point"))); }, "point"_a,
             doc::RateSweep_exact_clock)
        .def("__repr__", [](const RateSweep& self) {
            std::string names;
            for (const SweptParameter& parameter : self.parameters()) names += (names.empty() ? "" : ", ") + parameter.name;
            return "RateSweep(" + names + ")";
        });
}

template <class Place>
void define_call(py::module_& m, const char* place) {
    const auto none = py::none();
    const RateSweepOptions d;
    m.def("rate_sweep", &sweep_of<Place>, py::arg(place), "ranges"_a, py::kw_only(), "family"_a = d.family, "law"_a = "surface", "depth"_a = "exposed",
          "tilt"_a = d.tilt, "azimuth"_a = d.azimuth, "absorptance"_a = d.absorptance, "emittance"_a = d.emittance, "cover"_a = d.cover,
          "tolerance"_a = d.tolerance, "check_points"_a = d.check_points, "catalogue"_a = none, "session"_a = none, "seed"_a = d.seed, doc::rate_sweep);
}

}  // namespace

void declare_rate_sweep(py::module_& m) {
    py::class_<SweepRange>(m, "SweepRange", doc::SweepRange);
    py::class_<SweptParameter>(m, "SweptParameter", doc::SweptParameter);
    py::class_<SweepError>(m, "SweepError", doc::SweepError);
    py::class_<RateSensitivities>(m, "RateSensitivities", doc::RateSensitivities);
    py::class_<RateSweep>(m, "RateSweep", doc::RateSweep);
}

void define_rate_sweep(py::module_& m) {
    define_records();
    define_sweep();
    m.def(
        "sweep_ranges",
        [](const std::string& family, const std::string& law, const std::string& finish, const Catalogue* catalogue) {
            return sweep_ranges(family, law_in(law), finish, catalogue ? *catalogue : Catalogue::built_in());
        },
        "family"_a, py::kw_only(), "law"_a = "surface", "finish"_a = "", "catalogue"_a = py::none(), doc::sweep_ranges);
    define_call<Station>(m, "station");
    define_call<Weather>(m, "weather");
}

}  // namespace libseal::python
