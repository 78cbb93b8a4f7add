// Movement of joints, their width and the cycles of their strain in Python.

#include <optional>

#include "docs/ageing.hpp"
#include "libseal/ageing/joint_width.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/ageing/range_moments.hpp"
#include "libseal/ageing/session.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

/// Rows of (range, mean, count), handed over without a copy.
py::array_t<double> rows_of(CycleTable table) {
    auto held = std::make_unique<CycleTable>(std::move(table));
    const CycleTable* raw = held.get();
    py::capsule owner(held.release(), [](void* p) { delete static_cast<CycleTable*>(p); });
    constexpr auto step = static_cast<py::ssize_t>(sizeof(double));
    return py::array_t<double>({raw->rows(), Eigen::Index{3}}, {3 * step, step}, raw->data(), owner);
}

CycleTable table_in(const Doubles& rows) {
    if (rows.ndim() != 2 || rows.shape(1) != 3)
        throw_value_error("cycles", "rows of range, mean and count", std::to_string(rows.ndim()) + " dimensions");
    return Eigen::Map<const CycleTable>(rows.data(), rows.shape(0), 3);
}

py::array_t<double> rainflow_of(const Doubles& series) {
    const auto column = column_in(series, "series");
    CycleTable table;
    {
        const py::gil_scoped_release free;
        table = rainflow(column);
    }
    return rows_of(std::move(table));
}

py::array_t<double> moments_of(const Doubles& series, const Doubles& exponents, bool repeating) {
    const auto column = column_in(series, "series"), powers = column_in(exponents, "exponents");
    Column sums;
    {
        const py::gil_scoped_release free;
        sums = repeating ? rainflow_moments_repeating(column, powers) : rainflow_moments(column, powers);
    }
    return py::array_t<double>(sums.size(), sums.data());
}

py::array_t<double> moments_of_rows(const Doubles& rows, const Doubles& exponents, bool repeating, int threads) {
    if (rows.ndim() != 2) throw_value_error("rows", "one history a row, two dimensions", std::to_string(rows.ndim()) + " dimensions");
    const Eigen::Map<const SeriesRows> table(rows.data(), rows.shape(0), rows.shape(1));
    const auto powers = column_in(exponents, "exponents");
    SeriesRows sums;
    {
        const py::gil_scoped_release free;
        sums = rainflow_moments_of_rows(table, powers, repeating, threads);
    }
    return py::array_t<double>({sums.rows(), sums.cols()}, sums.data());
}

JointMovement movement_of(const Coach& coach, const Joint& joint, const Catalogue* catalogue, const std::string& layer,
                          std::optional<double> screw_spacing) {
    return movement_of_joint(coach, joint, catalogue ? *catalogue : Catalogue::built_in(), {layer, screw_spacing});
}

// Choices are words in Python.
Corner corner_of(const std::string& word) {
    if (word != "side" && word != "corner") throw_value_error("corner", "\"side\" or \"corner\"", "\"" + word + "\"");
    return word == "side" ? Corner::side : Corner::corner;
}

RainflowRule rule_of(const std::string& word) {
    if (word != "standard" && word != "closed")
        throw_value_error("rule", "\"standard\" or \"closed\"", "\"" + word + "\"");
    return word == "standard" ? RainflowRule::standard : RainflowRule::closed;
}

void declare_records(py::module_& m) {
    py::class_<Cycle>(m, "Cycle", doc::Cycle);
    py::class_<TurningPoint>(m, "TurningPoint", doc::TurningPoint);
    py::class_<RainflowCounter>(m, "RainflowCounter", doc::RainflowCounter);
    py::class_<Adherend>(m, "Adherend", doc::Adherend);
    py::class_<JointMovement>(m, "JointMovement", doc::JointMovement);
    py::class_<StrainSummary>(m, "StrainSummary", doc::StrainSummary);
    py::class_<MovementLaw>(m, "MovementLaw", doc::MovementLaw);
}

void define_records() {
    auto cycle = known<Cycle>();
    field(cycle, LIBSEAL_FIELD(Cycle, from_value));
    field(cycle, LIBSEAL_FIELD(Cycle, to_value));
    field(cycle, LIBSEAL_FIELD(Cycle, count));
    field(cycle, LIBSEAL_FIELD(Cycle, first));
    field(cycle, LIBSEAL_FIELD(Cycle, last));
    cycle.def_property_readonly("range", &Cycle::range, "Distance from `from_value` to `to_value`, unit of the series.")
        .def_property_readonly("mean", &Cycle::mean, "Middle between the two, unit of the series.")
        .def_property_readonly("duration", &Cycle::duration, doc::Cycle_duration);
    auto point = known<TurningPoint>();
    field(point, LIBSEAL_FIELD(TurningPoint, value));
    field(point, LIBSEAL_FIELD(TurningPoint, index));
    Record<Adherend> side;
    side.field(LIBSEAL_FIELD(Adherend, expansion)).field(LIBSEAL_FIELD(Adherend, restraint));
    side.field(LIBSEAL_FIELD(Adherend, absorptance)).field(LIBSEAL_FIELD(Adherend, emittance)).finish();
    Record<JointMovement> movement;
    movement.field(LIBSEAL_FIELD(JointMovement, form)).field(LIBSEAL_FIELD(JointMovement, width));
    movement.field(LIBSEAL_FIELD(JointMovement, a)).field(LIBSEAL_FIELD(JointMovement, b));
    movement.field(LIBSEAL_FIELD(JointMovement, across)).finish();
    Record<StrainSummary> strain;
    strain.field(LIBSEAL_FIELD(StrainSummary, amplitude)).field(LIBSEAL_FIELD(StrainSummary, largest));
    strain.field(LIBSEAL_FIELD(StrainSummary, cycles)).finish();
    Record<MovementLaw> law;
    law.field(LIBSEAL_FIELD(MovementLaw, b)).field(LIBSEAL_FIELD(MovementLaw, c)).field(LIBSEAL_FIELD(MovementLaw, d));
    law.field(LIBSEAL_FIELD(MovementLaw, low)).field(LIBSEAL_FIELD(MovementLaw, high)).finish();
}

void define_rainflow(py::module_& m) {
    known<RainflowCounter>()
        .def(py::init([](const std::string& rule) { return RainflowCounter(rule_of(rule)); }), "rule"_a = "standard",
             "Counts by the rule \"standard\" or \"closed\".")
        .def("add", [](RainflowCounter& self, const Doubles& chunk) { self.add(column_in(chunk, "chunk")); }, "chunk"_a,
             doc::RainflowCounter_add)
        .def_property_readonly("counted", &RainflowCounter::counted, doc::RainflowCounter_counted)
        .def("residue", &RainflowCounter::residue, doc::RainflowCounter_residue)
        .def("finish", &RainflowCounter::finish, doc::RainflowCounter_finish)
        .def("__len__", &RainflowCounter::size);
    m.def("rainflow", &rainflow_of, "series"_a, doc::rainflow);
    m.def("rainflow_repeating", [](const Doubles& series) { return rows_of(rainflow_repeating(column_in(series, "series"))); },
          "series"_a, doc::rainflow_repeating);
    m.def("rainflow_cycles",
          [](const Doubles& series, const std::string& rule) {
              return rainflow_cycles(column_in(series, "series"), rule_of(rule));
          },
          "series"_a, "rule"_a = "standard", doc::rainflow_cycles);
    m.def("rainflow_moments", [](const Doubles& series, const Doubles& exponents) { return moments_of(series, exponents, false); },
          "series"_a, "exponents"_a, doc::rainflow_moments);
    m.def("rainflow_moments_repeating", [](const Doubles& series, const Doubles& exponents) { return moments_of(series, exponents, true); },
          "series"_a, "exponents"_a, doc::rainflow_moments_repeating);
    m.def("rainflow_moments_of_rows", &moments_of_rows, "rows"_a, "exponents"_a, "repeating"_a = false, "threads"_a = 0,
          doc::rainflow_moments_of_rows);
    m.def("range_moment", [](const Doubles& cycles, double exponent) { return range_moment(table_in(cycles), exponent); }, "cycles"_a,
          "exponent"_a, doc::range_moment);
    m.def("equivalent_range", [](const Doubles& cycles, double exponent) { return equivalent_range(table_in(cycles), exponent); },
          "cycles"_a, "exponent"_a, doc::equivalent_range);
    m.def("equivalent_amplitude",
          [](const Doubles& amplitudes, const Doubles& weights, double exponent) {
              return equivalent_amplitude(column_in(amplitudes, "amplitudes"), column_in(weights, "weights"), exponent);
          },
          "amplitudes"_a, "weights"_a, "exponent"_a, doc::equivalent_amplitude);
    m.def("miner_damage",
          [](const Doubles& amplitudes, const Doubles& counts, double amplitude, double life, double slope) {
              return miner_damage(column_in(amplitudes, "amplitudes"), column_in(counts, "counts"), amplitude, life, slope);
          },
          "amplitudes"_a, "counts"_a, "reference_amplitude"_a, "reference_life"_a, "slope"_a, doc::miner_damage);
}

void define_width(py::module_& m) {
    m.def("free_movement", py::vectorize(&free_movement), "expansion"_a, "length"_a, "temperature_change"_a, doc::free_movement);
    m.def("differential_movement", py::vectorize(py::overload_cast<double, double, double, double>(&differential_movement)),
          "expansion_a"_a, "expansion_b"_a, "length"_a, "temperature_change"_a, doc::differential_movement);
    m.def("differential_movement",
          py::vectorize(py::overload_cast<double, double, double, double, double, double>(&differential_movement)), "expansion_a"_a,
          "length_a"_a, "change_a"_a, "expansion_b"_a, "length_b"_a, "change_b"_a, doc::differential_movement);
    m.def("joint_width", py::vectorize(&joint_width), "movement"_a, "capability"_a, "other"_a = 0.0, "tolerance"_a = 0.0,
          doc::joint_width);
    m.def("butt_strain", py::vectorize(&butt_strain), "width"_a, "opening"_a, doc::butt_strain);
    m.def("shear_strain", py::vectorize(&shear_strain), "width"_a, "movement"_a, doc::shear_strain);
    m.def("combined_strain", py::vectorize(&combined_strain), "width"_a, "opening"_a, "shear"_a, doc::combined_strain);
    m.def("shear_allowance", py::vectorize(&shear_allowance), "strain"_a, doc::shear_allowance);
    m.def("fillet_strain", py::vectorize(&fillet_strain), "leg"_a, "opening"_a, "shear"_a = 0.0, doc::fillet_strain);
    m.def("bead_surface_strain", py::vectorize(&bead_surface_strain), "depth_ratio"_a, "extension"_a, doc::bead_surface_strain);
    m.def("minimum_width", py::vectorize(&minimum_width), "total_movement"_a, "total_factor"_a, doc::minimum_width);
    m.def("capability_of_total_factor", py::vectorize(&capability_of_total_factor), "total_factor"_a,
          doc::capability_of_total_factor);
    m.def("total_factor_of_capability", py::vectorize(&total_factor_of_capability), "capability"_a,
          doc::total_factor_of_capability);
}

using Series = Column (*)(const JointMovement&, ConstColumn, ConstColumn, double, Corner);
void define_series(py::module_& m, const char* name, Series series, const char* text) {
    m.def(name,
          [series](const JointMovement& movement, const Doubles& a, const Doubles& b, double set, const std::string& corner) {
              return give(series(movement, column_in(a, "temperature_a"), column_in(b, "temperature_b"), set, corner_of(corner)));
          },
          "movement"_a, "temperature_a"_a, "temperature_b"_a, "set_temperature"_a, "corner"_a, text);
}

void define_movement(py::module_& m) {
    m.def("movement_of_joint", &movement_of, "coach"_a, "joint"_a, "catalogue"_a = py::none(), py::kw_only(), "layer"_a = "",
          "screw_spacing"_a = py::none(), doc::movement_of_joint);
    m.def("usual_movement",
          [](const std::string& type, const Catalogue* catalogue, const std::string& layer) {
              return usual_movement(type, catalogue ? *catalogue : Catalogue::built_in(), layer);
          },
          "joint_type"_a, "catalogue"_a = py::none(), "layer"_a = "", doc::usual_movement);
    define_series(m, "relative_movement", &relative_movement, doc::relative_movement);
    define_series(m, "strain_series", &strain_series, doc::strain_series);
    m.def("strain_of_movement", &strain_of_movement, "form"_a, "relative_movement"_a, doc::strain_of_movement);
    m.def("strain_summary",
          [](const std::string& form, const Doubles& movement, double exponent) {
              return strain_summary(form, column_in(movement, "relative_movement"), exponent);
          },
          "form"_a, "relative_movement"_a, "exponent"_a, doc::strain_summary);
    m.def("strain_summary",
          [](const JointMovement& movement, const Doubles& a, const Doubles& b, double set, const std::string& corner, double exponent) {
              return strain_summary(movement, column_in(a, "temperature_a"), column_in(b, "temperature_b"), set, corner_of(corner), exponent);
          },
          "movement"_a, "temperature_a"_a, "temperature_b"_a, "set_temperature"_a, "corner"_a, "exponent"_a, doc::strain_summary);
    m.def("movement_law", &movement_law, "catalogue"_a, "family"_a, doc::movement_law);
    m.def("movement_factor", py::vectorize(py::overload_cast<double, double, double, double, double, double, double>(&movement_factor)),
          "b"_a, "c"_a, "d"_a, "amplitude"_a, "usual_amplitude"_a, "low"_a, "high"_a, doc::movement_factor);
    m.def("movement_factor", py::overload_cast<const MovementLaw&, double, double>(&movement_factor), "law"_a, "amplitude"_a,
          "usual_amplitude"_a, doc::movement_factor);
    m.def("movement_flag", &movement_flag, "amplitude"_a, "low"_a, "high"_a, doc::movement_flag);
    m.def("utilisation", py::vectorize(&utilisation), "largest"_a, "capability"_a, doc::utilisation);
}

void define_session(py::module_& m) {
    auto type = py::reinterpret_borrow<py::class_<Session, std::shared_ptr<Session>>>(m.attr("Session"));
    const auto open = [](const Catalogue* catalogue, const std::optional<Path>& cache) {
        return std::make_shared<Session>(catalogue ? *catalogue : Catalogue::built_in(), cache ? cache->string() : std::string());
    };
    type.def(py::init(open), "catalogue"_a = py::none(), "cache"_a = py::none())
        .def_property_readonly("catalogue", &Session::catalogue, doc::Session_catalogue)
        .def_property_readonly("site_count", &Session::site_count, doc::Session_site_count)
        .def_property_readonly("clock_count", &Session::clock_count, doc::Session_clock_count)
        .def_property_readonly("movement_count", &Session::movement_count, doc::Session_movement_count)
        .def("__repr__", [](const Session& self) {
            return "Session(" + std::to_string(self.site_count()) + " sites, " + std::to_string(self.clock_count()) + " clocks)";
        });
}

}  // namespace

void declare_ageing(py::module_& m) {
    declare_records(m);
    py::class_<Session, std::shared_ptr<Session>>(m, "Session", doc::Session);
}

void define_ageing(py::module_& m) {
    define_records();
    define_rainflow(m);
    define_width(m);
    define_movement(m);
    define_session(m);
}

}  // namespace libseal::python
