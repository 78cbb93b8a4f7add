// Places, drainage and the ways of water in Python.

#include "docs/coach.hpp"
#include "libseal/coach/drainage.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

void define_water() {
    Record<Place>().field(LIBSEAL_FIELD(Place, x)).field(LIBSEAL_FIELD(Place, y)).field(LIBSEAL_FIELD(Place, z)).finish();
    Record<WaterPlace>()
        .field(LIBSEAL_FIELD(WaterPlace, id))
        .field(LIBSEAL_FIELD(WaterPlace, kind))
        .field(LIBSEAL_FIELD(WaterPlace, joint))
        .field(LIBSEAL_FIELD(WaterPlace, surface))
        .field(LIBSEAL_FIELD(WaterPlace, slide))
        .field(LIBSEAL_FIELD(WaterPlace, at))
        .field(LIBSEAL_FIELD(WaterPlace, place))
        .field(LIBSEAL_FIELD(WaterPlace, inside))
        .field(LIBSEAL_FIELD(WaterPlace, exposure))
        .finish();
    auto link = known<WaterLink>();
    field(link, "from_", &WaterLink::from, doc::WaterLink_from);
    field(link, LIBSEAL_FIELD(WaterLink, to));
    field(link, LIBSEAL_FIELD(WaterLink, passes));
    field(link, LIBSEAL_FIELD(WaterLink, way));
}

void define_ways() {
    auto graph = known<Drainage>();
    field(graph, LIBSEAL_FIELD(Drainage, places));
    field(graph, LIBSEAL_FIELD(Drainage, links));
    graph.def("find", &Drainage::find, "id"_a, doc::Drainage_find)
        .def("runs_of", &Drainage::runs_of, "joint"_a, doc::Drainage_runs_of)
        .def("nearest", &Drainage::nearest, "coach"_a, "surface"_a, "slide"_a, "point"_a, "inside"_a, doc::Drainage_nearest);
    auto tree = known<WaterTree>();
    field(tree, LIBSEAL_FIELD(WaterTree, start));
    field(tree, LIBSEAL_FIELD(WaterTree, reached_by));
    field(tree, LIBSEAL_FIELD(WaterTree, probability));
    tree.def("path_to", &WaterTree::path_to, "drainage"_a, "end"_a, doc::WaterTree_path_to);
    known<WaterWays>()
        .def(py::init<const Drainage&>(), "drainage"_a, py::keep_alive<1, 2>())
        .def("from_", &WaterWays::from, "start"_a, doc::WaterWays_from);
}

}  // namespace

void declare_drainage(py::module_& m) {
    py::class_<Place>(m, "Place", doc::Place);
    py::class_<WaterPlace>(m, "WaterPlace", doc::WaterPlace);
    py::class_<WaterLink>(m, "WaterLink", doc::WaterLink);
    py::class_<Drainage>(m, "Drainage", doc::Drainage);
    py::class_<WaterTree>(m, "WaterTree", doc::WaterTree);
    py::class_<WaterWays>(m, "WaterWays", doc::WaterWays);
}

void define_drainage(py::module_& m) {
    define_water();
    define_ways();
    m.def("place_of", &place_of, "coach"_a, "surface"_a, "slide"_a, "point"_a, doc::place_of);
    m.def("middle_of", &middle_of, "joint"_a, doc::middle_of);
    m.def("wall_of_slide", &wall_of_slide, "coach"_a, "slide"_a, doc::wall_of_slide);
    m.def("drainage", &drainage, "coach"_a, "catalogue"_a, doc::drainage, Free());
    m.def("upstream_joints", &upstream_joints, "drainage"_a, "joint"_a, doc::upstream_joints);
}

}  // namespace libseal::python
