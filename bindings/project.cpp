// The bare project solver in Python.

#include "libseal/schedule/project.hpp"

#include "bind.hpp"
#include "docs/schedule.hpp"

namespace libseal::python {
namespace {

using Lists = std::vector<std::vector<int>>;

ProjectResult solved(const std::vector<int>& durations, const Lists& successors, const Lists& demands,
                     const std::vector<int>& capacities, int work_limit, std::uint64_t seed, int threads,
                     const py::object& progress, const StopToken* stop) {
    ProjectOptions options;
    options.work_limit = work_limit;
    options.seed = seed;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return solve_project(durations, successors, demands, capacities, options);
}

}  // namespace

void declare_project(py::module_& m) { py::class_<ProjectResult>(m, "ProjectResult", doc::ProjectResult); }

void define_project(py::module_& m) {
    auto type = known<ProjectResult>();
    type.def_property_readonly(
        "start", [](const ProjectResult& self) { return py::array_t<int>(py::cast(self.start)); },
        doc::ProjectResult_start);
    field(type, LIBSEAL_FIELD(ProjectResult, makespan));
    field(type, LIBSEAL_FIELD(ProjectResult, lower_bound));
    type.def_property_readonly(
        "outcome", [](const ProjectResult& self) { return to_text(self.outcome); }, doc::Outcome);
    field(type, LIBSEAL_FIELD(ProjectResult, stopped));
    field(type, LIBSEAL_FIELD(ProjectResult, schedules));
    type.def("__repr__", [](const ProjectResult& self) {
        return "ProjectResult(" + to_text(self.outcome) + ", makespan=" + std::to_string(self.makespan) +
               ", lower_bound=" + std::to_string(self.lower_bound) + ")";
    });

    const ProjectOptions d;
    m.def("solve_project", &solved, "durations"_a, "successors"_a, "demands"_a, "capacities"_a, py::kw_only(),
          "work_limit"_a = d.work_limit, "seed"_a = d.seed, "threads"_a = d.threads,
          "progress"_a = py::none(), "stop"_a = py::none(), doc::solve_project);
}

}  // namespace libseal::python
