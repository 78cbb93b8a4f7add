// Laws of ageing and the dose integrator in Python: single numbers or arrays, one value a row.

#include "bind.hpp"
#include "docs/ageing.hpp"
#include "libseal/ageing/dose.hpp"
#include "libseal/ageing/laws.hpp"

namespace libseal::python {
namespace {

/// A function of a law and numbers, row by row over arrays of the numbers.
template <class Model, class... Numbers>
auto rows(double (*function)(const Model&, Numbers...)) {
    return py::vectorize([function](Model& model, Numbers... numbers) { return function(model, numbers...); });
}

void define_rates(py::module_& m) {
    known<WlfLaw>()
        .def(py::init<double, double, double>(), "c1"_a = 8.61, "c2"_a = 200.4, "reference"_a = 25.0, doc::WlfLaw)
        .def_readonly(LIBSEAL_FIELD(WlfLaw, c1))
        .def_readonly(LIBSEAL_FIELD(WlfLaw, c2))
        .def_readonly(LIBSEAL_FIELD(WlfLaw, reference));
    m.def("acceleration", py::vectorize(&acceleration), "energy"_a, "t_from"_a, "t_to"_a, doc::acceleration);
    m.def("acceleration_energy", py::vectorize(&acceleration_energy), "factor"_a, "t_from"_a, "t_to"_a,
          doc::acceleration_energy);
    m.def(
        "equivalent_time",
        [](double energy, const Doubles& temperature, double step, double reference) {
            return give(equivalent_time(energy, column_in(temperature, "temperature"), step, reference));
        },
        "energy"_a, "temperature"_a, "step"_a, "reference"_a = 25.0, doc::equivalent_time);
    m.def("hydrolysis_life", py::vectorize(&hydrolysis_life), "log_rate"_a, "energy"_a, "temperature"_a, "humidity"_a,
          "humidity_exponent"_a = 2.0, doc::hydrolysis_life);
    m.def("wlf_law", &wlf_law, "catalogue"_a, doc::wlf_law);
    m.def("wlf_shift", rows(&wlf_shift), "law"_a, "temperature"_a, doc::wlf_shift);
    m.def(
        "wlf_equivalent_time",
        [](const WlfLaw& law, const Doubles& temperature, double step) {
            return give(wlf_equivalent_time(law, column_in(temperature, "temperature"), step));
        },
        "law"_a, "temperature"_a, "step"_a, doc::wlf_equivalent_time);
}

void define_surface(py::module_& m) {
    known<CrackLaw>()
        .def(py::init<double, double, double, double, bool>(), "a"_a, "b"_a, "c"_a, "d"_a, "site_matters"_a = false,
             doc::CrackLaw)
        .def_readonly(LIBSEAL_FIELD(CrackLaw, a))
        .def_readonly(LIBSEAL_FIELD(CrackLaw, b))
        .def_readonly(LIBSEAL_FIELD(CrackLaw, c))
        .def_readonly(LIBSEAL_FIELD(CrackLaw, d))
        .def_readonly(LIBSEAL_FIELD(CrackLaw, site_matters));
    m.def("crack_law", &crack_law, "catalogue"_a, "name"_a, doc::crack_law);
    m.def("crack_law_names", &crack_law_names, "catalogue"_a, doc::crack_law_names);
    m.def("crack_multiplier", rows(&crack_multiplier), "law"_a, "amplitude"_a, doc::crack_multiplier);
    m.def("crack_rating_published", rows(&crack_rating_published), "law"_a, "age"_a, "amplitude"_a,
          "site"_a = 1.0, doc::crack_rating_published);
    m.def("crack_rating", rows(&crack_rating), "law"_a, "age"_a, "amplitude"_a, "site"_a = 1.0,
          doc::crack_rating);
    m.def("crack_age", rows(&crack_age), "law"_a, "rating"_a, "amplitude"_a, "site"_a = 1.0, doc::crack_age);
    m.def(
        "crack_law_after_looks",
        [](const CrackLaw& law, const Doubles& ages, const Doubles& amplitudes, const Doubles& ratings) {
            return crack_law_after_looks(law, column_in(ages, "ages"), column_in(amplitudes, "amplitudes"),
                                         column_in(ratings, "ratings"));
        },
        "law"_a, "ages"_a, "amplitudes"_a, "ratings"_a, doc::crack_law_after_looks);
    m.def("crack_rating_of_look", py::vectorize(&crack_rating_of_look), "quantity"_a, "size"_a,
          doc::crack_rating_of_look);
    m.def("yellowness_index",
          py::vectorize([](double x, double y, double z, std::string& observer) {
              return yellowness_index(x, y, z, observer);
          }),
          "x"_a, "y"_a, "z"_a, "observer"_a = "d65_2", doc::yellowness_index);
}

void define_bond(py::module_& m) {
    const BondLaw bond;
    known<BondLaw>()
        .def(py::init<double, double, double, double, double>(), "rate"_a, "energy"_a,
             "humidity_exponent"_a = bond.humidity_exponent, "reference_temperature"_a = bond.reference_temperature,
             "reference_humidity"_a = bond.reference_humidity, doc::BondLaw)
        .def_readonly(LIBSEAL_FIELD(BondLaw, rate))
        .def_readonly(LIBSEAL_FIELD(BondLaw, energy))
        .def_readonly(LIBSEAL_FIELD(BondLaw, humidity_exponent))
        .def_readonly(LIBSEAL_FIELD(BondLaw, reference_temperature))
        .def_readonly(LIBSEAL_FIELD(BondLaw, reference_humidity));
    m.def("bond_law", &bond_law, "catalogue"_a, "name"_a = "default", doc::bond_law);
    m.def("bond_speed", rows(&bond_speed), "law"_a, "temperature"_a, "humidity"_a, doc::bond_speed);
    m.def(
        "bond_equivalent_time",
        [](const BondLaw& law, const Doubles& temperature, const Doubles& humidity, double step) {
            return give(bond_equivalent_time(law, column_in(temperature, "temperature"),
                                             column_in(humidity, "humidity"), step));
        },
        "law"_a, "temperature"_a, "humidity"_a, "step"_a, doc::bond_equivalent_time);
    m.def("bond_share", rows(&bond_share), "law"_a, "equivalent_time"_a, doc::bond_share);
    m.def("bond_time", rows(&bond_time), "law"_a, "share"_a, doc::bond_time);
    m.def("amplitude_of_static_strain", py::vectorize(&amplitude_of_static_strain), "strain"_a,
          doc::amplitude_of_static_strain);
    m.def("capability_share", py::vectorize(&capability_share), "age"_a, "decay_time"_a, doc::capability_share);
    m.def("remaining_capability", py::vectorize(&remaining_capability), "capability"_a, "age"_a, "decay_time"_a,
          doc::remaining_capability);
    m.def("capability_decay_time", &capability_decay_time, "catalogue"_a, "median_life"_a, doc::capability_decay_time);
    known<ModulusLaw>()
        .def(py::init<double, double, double, double, double>(), "rise"_a, "rise_rate"_a, "loss"_a, "loss_rate"_a,
             "energy"_a, doc::ModulusLaw)
        .def_readonly(LIBSEAL_FIELD(ModulusLaw, rise))
        .def_readonly(LIBSEAL_FIELD(ModulusLaw, rise_rate))
        .def_readonly(LIBSEAL_FIELD(ModulusLaw, loss))
        .def_readonly(LIBSEAL_FIELD(ModulusLaw, loss_rate))
        .def_readonly(LIBSEAL_FIELD(ModulusLaw, energy));
    m.def("modulus_law", &modulus_law, "catalogue"_a, doc::modulus_law);
    m.def("modulus_ratio", rows(&modulus_ratio), "law"_a, "age"_a, "amplitude"_a, doc::modulus_ratio);
}

void define_profiles(py::module_& m) {
    known<SetLaw>()
        .def(py::init<double, double, double>(), "rate"_a, "exponent"_a, "energy"_a, doc::SetLaw)
        .def_readonly(LIBSEAL_FIELD(SetLaw, rate))
        .def_readonly(LIBSEAL_FIELD(SetLaw, exponent))
        .def_readonly(LIBSEAL_FIELD(SetLaw, energy));
    m.def("set_law", &set_law, "catalogue"_a, "family"_a, doc::set_law);
    m.def("compression_set", rows(&compression_set), "law"_a, "time"_a, doc::compression_set);
    m.def("set_time", rows(&set_time), "law"_a, "set"_a, doc::set_time);
    known<ShrinkLaw>()
        .def(py::init<double, double, double>(), "final_share"_a, "rate"_a, "energy"_a, doc::ShrinkLaw)
        .def_readonly(LIBSEAL_FIELD(ShrinkLaw, final_share))
        .def_readonly(LIBSEAL_FIELD(ShrinkLaw, rate))
        .def_readonly(LIBSEAL_FIELD(ShrinkLaw, energy));
    m.def("shrink_law", &shrink_law, "catalogue"_a, "family"_a, doc::shrink_law);
    m.def("shrinkage", rows(&shrinkage), "law"_a, "time"_a, doc::shrinkage);
    m.def("shrinkage_gap", rows(&shrinkage_gap), "law"_a, "length"_a, "time"_a, doc::shrinkage_gap);
    m.def("shrink_time", rows(&shrink_time), "law"_a, "share"_a, doc::shrink_time);
    m.def("shrink_gap_time", rows(&shrink_gap_time), "law"_a, "length"_a, "gap"_a, doc::shrink_gap_time);
    known<SqueezeLaw>()
        .def(py::init<double>(), "rate"_a, doc::SqueezeLaw)
        .def_readonly(LIBSEAL_FIELD(SqueezeLaw, rate));
    m.def("squeeze_law", &squeeze_law, "catalogue"_a, doc::squeeze_law);
    m.def("squeeze_out", rows(&squeeze_out), "law"_a, "stress"_a, "time"_a, doc::squeeze_out);
    m.def("squeeze_time", rows(&squeeze_time), "law"_a, "stress"_a, "share"_a, doc::squeeze_time);
}

void define_service_life(py::module_& m) {
    m.def(
        "life_by_factors",
        [](double reference_life, const Doubles& factors, double added_years) {
            return life_by_factors(reference_life, column_in(factors, "factors"), added_years);
        },
        "reference_life"_a, "factors"_a, "added_years"_a = 0.0, doc::life_by_factors);
    m.def(
        "life_by_adjustments",
        [](double reference_life, const Doubles& adjustments) {
            return life_by_adjustments(reference_life, column_in(adjustments, "adjustments"));
        },
        "reference_life"_a, "adjustments"_a, doc::life_by_adjustments);
    m.def("chamber_hours_per_year", py::vectorize(&chamber_hours_per_year), "acceleration"_a,
          doc::chamber_hours_per_year);
    m.def("defect_spacing", py::vectorize(&defect_spacing), "length"_a, "defects"_a, doc::defect_spacing);
    m.def("early_defect_share", py::vectorize(&early_defect_share), "defects_per_m"_a, "length"_a,
          doc::early_defect_share);
    const FailureLaw failure;
    known<FailureLaw>()
        .def(py::init<double, double, double, double>(), "early_share"_a = failure.early_share,
             "early_time"_a = failure.early_time, "scale"_a = failure.scale, "shape"_a = failure.shape, doc::FailureLaw)
        .def_readonly(LIBSEAL_FIELD(FailureLaw, early_share))
        .def_readonly(LIBSEAL_FIELD(FailureLaw, early_time))
        .def_readonly(LIBSEAL_FIELD(FailureLaw, scale))
        .def_readonly(LIBSEAL_FIELD(FailureLaw, shape));
    m.def("failure_probability", rows(&failure_probability), "law"_a, "time"_a, "age"_a, "factor"_a = 1.0,
          doc::failure_probability);
    m.def("scale_of_median", py::vectorize(&scale_of_median), "median"_a, "shape"_a, doc::scale_of_median);
}

void define_dose(py::module_& m) {
    const DoseModel d;
    known<DoseModel>()
        .def(py::init<double, double, double, double, double, double, double>(), "energy"_a = d.energy,
             "light_exponent"_a = d.light_exponent, "humidity_exponent"_a = d.humidity_exponent,
             "humidity_slope"_a = d.humidity_slope, "reference_ultraviolet"_a = d.reference_ultraviolet,
             "reference_temperature"_a = d.reference_temperature, "reference_humidity"_a = d.reference_humidity,
             doc::DoseModel)
        .def_readonly(LIBSEAL_FIELD(DoseModel, energy))
        .def_readonly(LIBSEAL_FIELD(DoseModel, light_exponent))
        .def_readonly(LIBSEAL_FIELD(DoseModel, humidity_exponent))
        .def_readonly(LIBSEAL_FIELD(DoseModel, humidity_slope))
        .def_readonly(LIBSEAL_FIELD(DoseModel, reference_ultraviolet))
        .def_readonly(LIBSEAL_FIELD(DoseModel, reference_temperature))
        .def_readonly(LIBSEAL_FIELD(DoseModel, reference_humidity));
    known<DamageCurve>()
        .def(py::init<double, double, double>(), "limit"_a = 1.0, "scale"_a = 1.0, "shape"_a = 1.0, doc::DamageCurve)
        .def_readonly(LIBSEAL_FIELD(DamageCurve, limit))
        .def_readonly(LIBSEAL_FIELD(DamageCurve, scale))
        .def_readonly(LIBSEAL_FIELD(DamageCurve, shape));
    known<DamageFit>()
        .def_readonly("curve", &DamageFit::curve, "The curve found.")
        .def_readonly(LIBSEAL_FIELD(DamageFit, error))
        .def_readonly("iterations", &DamageFit::iterations, "Steps tried.")
        .def_readonly(LIBSEAL_FIELD(DamageFit, converged));
    m.def(
        "effective_dose",
        [](const Doubles& ultraviolet, const Doubles& temperature, const Doubles& humidity, double step,
           const DoseModel& model) {
            return give(effective_dose(column_in(ultraviolet, "ultraviolet"), column_in(temperature, "temperature"),
                                       column_in(humidity, "humidity"), step, model));
        },
        "ultraviolet"_a, "temperature"_a, "humidity"_a, "step"_a, py::arg_v("model", d, "DoseModel()"), doc::effective_dose);
    m.def("damage", rows(&damage), "curve"_a, "dose"_a, doc::damage);
    m.def(
        "damage_error",
        [](const DamageCurve& curve, const Doubles& dose, const Doubles& measured) {
            return damage_error(curve, column_in(dose, "dose"), column_in(measured, "measured"));
        },
        "curve"_a, "dose"_a, "measured"_a, doc::damage_error);
    m.def(
        "fit_damage",
        [](const Doubles& dose, const Doubles& measured, const DamageCurve& start) {
            return fit_damage(column_in(dose, "dose"), column_in(measured, "measured"), start);
        },
        "dose"_a, "measured"_a, py::arg_v("start", DamageCurve{}, "DamageCurve()"), doc::fit_damage);
}

}  // namespace

void declare_ageing_laws(py::module_& m) {
    py::class_<WlfLaw>(m, "WlfLaw", doc::WlfLaw);
    py::class_<CrackLaw>(m, "CrackLaw", doc::CrackLaw);
    py::class_<BondLaw>(m, "BondLaw", doc::BondLaw);
    py::class_<ModulusLaw>(m, "ModulusLaw", doc::ModulusLaw);
    py::class_<SetLaw>(m, "SetLaw", doc::SetLaw);
    py::class_<ShrinkLaw>(m, "ShrinkLaw", doc::ShrinkLaw);
    py::class_<SqueezeLaw>(m, "SqueezeLaw", doc::SqueezeLaw);
    py::class_<FailureLaw>(m, "FailureLaw", doc::FailureLaw);
    py::class_<DoseModel>(m, "DoseModel", doc::DoseModel);
    py::class_<DamageCurve>(m, "DamageCurve", doc::DamageCurve);
    py::class_<DamageFit>(m, "DamageFit", doc::DamageFit);
}

void define_ageing_laws(py::module_& m) {
    define_rates(m);
    define_surface(m);
    define_bond(m);
    define_profiles(m);
    define_service_life(m);
    define_dose(m);
}

}  // namespace libseal::python
