// Catalogue, sealants, joint types and finishes in Python.

#include "docs/catalogue.hpp"
#include "bind.hpp"
#include "libseal/catalogue/catalogue.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/catalogue/sealant.hpp"

namespace libseal::python {
namespace {

void define_sealant(py::module_& m) {
    auto sealant_type = known<Sealant>();
    field(sealant_type, LIBSEAL_FIELD(Sealant, name));
    field(sealant_type, LIBSEAL_FIELD(Sealant, weight_light));
    field(sealant_type, LIBSEAL_FIELD(Sealant, weight_heat));
    field(sealant_type, LIBSEAL_FIELD(Sealant, weight_moisture));
    field(sealant_type, LIBSEAL_FIELD(Sealant, energy_light));
    field(sealant_type, LIBSEAL_FIELD(Sealant, energy_heat));
    field(sealant_type, LIBSEAL_FIELD(Sealant, energy_moisture));
    field(sealant_type, LIBSEAL_FIELD(Sealant, light_exponent));
    field(sealant_type, LIBSEAL_FIELD(Sealant, humidity_exponent));
    field(sealant_type, LIBSEAL_FIELD(Sealant, home));
    field(sealant_type, LIBSEAL_FIELD(Sealant, median_life));
    field(sealant_type, LIBSEAL_FIELD(Sealant, appearance_life));
    field(sealant_type, LIBSEAL_FIELD(Sealant, cure_rate));
    field(sealant_type, LIBSEAL_FIELD(Sealant, skin_hours));
    field(sealant_type, LIBSEAL_FIELD(Sealant, first_water_hours));
    field(sealant_type, LIBSEAL_FIELD(Sealant, lowest_temperature));
    field(sealant_type, LIBSEAL_FIELD(Sealant, highest_temperature));
    field(sealant_type, LIBSEAL_FIELD(Sealant, cured_share));
    field(sealant_type, LIBSEAL_FIELD(Sealant, package_ml));
    field(sealant_type, LIBSEAL_FIELD(Sealant, movement_capability));
    field(sealant_type, LIBSEAL_FIELD(Sealant, levels_itself));
    sealant_type.def("__repr__", [](const Sealant& self) { return "Sealant(" + self.name + ")"; });

    auto spread = known<LifeSpread>();
    field(spread, LIBSEAL_FIELD(LifeSpread, shape));
    field(spread, LIBSEAL_FIELD(LifeSpread, log_sd));
    field(spread, LIBSEAL_FIELD(LifeSpread, early_defects_per_m));
    field(spread, LIBSEAL_FIELD(LifeSpread, early_time));

    m.def("sealant", &sealant, "catalogue"_a, "name"_a, doc::sealant);
    m.def("sealant_names", &sealant_names, "catalogue"_a, doc::sealant_names);
    m.def("life_spread", &life_spread, "catalogue"_a, doc::life_spread);
}

void define_joint_type(py::module_& m) {
    auto type = known<JointType>();
    field(type, LIBSEAL_FIELD(JointType, name));
    field(type, LIBSEAL_FIELD(JointType, bedding));
    field(type, LIBSEAL_FIELD(JointType, cap));
    field(type, LIBSEAL_FIELD(JointType, profile));
    field(type, LIBSEAL_FIELD(JointType, bead_width));
    field(type, LIBSEAL_FIELD(JointType, bead_thickness));
    field(type, LIBSEAL_FIELD(JointType, screw_spacing));
    field(type, LIBSEAL_FIELD(JointType, consequence));
    field(type, LIBSEAL_FIELD(JointType, open_edge));
    field(type, LIBSEAL_FIELD(JointType, never_seal));
    field(type, LIBSEAL_FIELD(JointType, never_seal_reason));
    field(type, LIBSEAL_FIELD(JointType, cautions));
    type.def("__repr__", [](const JointType& self) { return "JointType(" + self.name + ")"; });

    auto finish_type = known<Finish>();
    field(finish_type, LIBSEAL_FIELD(Finish, name));
    field(finish_type, LIBSEAL_FIELD(Finish, absorptance));
    field(finish_type, LIBSEAL_FIELD(Finish, emittance));
    finish_type.def("__repr__", [](const Finish& self) { return "Finish(" + self.name + ")"; });

    m.def("joint_type", &joint_type, "catalogue"_a, "name"_a, doc::joint_type);
    m.def("joint_type_names", &joint_type_names, "catalogue"_a, doc::joint_type_names);
    m.def("finish", &finish, "catalogue"_a, "name"_a, doc::finish);
    m.def("compatibility", &compatibility, "catalogue"_a, "family"_a, "substrate"_a, doc::compatibility);
    m.def("compatibility_over", &compatibility_over, "catalogue"_a, "family"_a, "old_family"_a,
          doc::compatibility_over);
}

}  // namespace

void declare_catalogue(py::module_& m) {
    py::class_<Catalogue>(m, "Catalogue", doc::Catalogue);
    py::class_<Sealant>(m, "Sealant", doc::Sealant);
    py::class_<LifeSpread>(m, "LifeSpread", doc::LifeSpread);
    py::class_<JointType>(m, "JointType", doc::JointType);
    py::class_<Finish>(m, "Finish", doc::Finish);
}

void define_catalogue(py::module_& m) {
    known<Catalogue>()
        .def_static("built_in", &Catalogue::built_in, doc::Catalogue_built_in)
        .def_static("preset", &Catalogue::preset, "name"_a, doc::Catalogue_preset)
        .def_static("preset_names", &Catalogue::preset_names, doc::Catalogue_preset_names)
        .def("with_overlay", &Catalogue::with_overlay, "text"_a, "name"_a, doc::Catalogue_with_overlay)
        .def_property_readonly("warnings", &Catalogue::warnings, doc::Catalogue_warnings)
        .def("has", &Catalogue::has, "id"_a, doc::Catalogue_has)
        .def("at", &Catalogue::at, "id"_a, doc::Catalogue_at, py::return_value_policy::reference_internal)
        .def("number", &Catalogue::number, "id"_a, doc::Catalogue_number)
        .def("word", &Catalogue::word, "id"_a, doc::Catalogue_word)
        .def("ids", &Catalogue::ids, "prefix"_a = "", doc::Catalogue_ids)
        .def("names", &Catalogue::names, "first"_a, doc::Catalogue_names)
        .def("__contains__", &Catalogue::has, "id"_a)
        .def("__len__", [](const Catalogue& self) { return self.ids().size(); });
    m.def(
        "read_catalogue", [](const Path& path, const std::string& preset) { return read_catalogue(path.string(), preset); },
        "path"_a, "preset"_a = "coach", doc::read_catalogue, Free());
    m.def("check_catalogue", &check_catalogue, "catalogue"_a, doc::check_catalogue);
    define_sealant(m);
    define_joint_type(m);
}

}  // namespace libseal::python
