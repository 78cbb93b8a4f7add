// Choice of visits and levelling of weeks in Python.

#include "visits.hpp"

#include "docs/calendar.hpp"
#include "libseal/calendar/levelling.hpp"
#include "libseal/calendar/visits.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

VisitPlan visits_of(const std::vector<VisitWork>& works, const std::vector<double>& set_up, double most_hours,
                    const py::object& progress, const StopToken* stop) {
    VisitOptions options;
    options.most_hours = most_hours;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return best_visits(works, set_up, options);
}

LevellingOptions levelling_options(double overtime_cost, const std::optional<std::vector<int>>& keep, double move_cost, int work_limit,
                                   std::uint64_t seed, const py::object& progress, const StopToken* stop) {
    LevellingOptions options;
    options.overtime_cost = overtime_cost;
    if (keep) options.keep = *keep;
    options.move_cost = move_cost;
    options.work_limit = work_limit;
    options.seed = seed;
    options.watch = watch_of(progress, stop);
    return options;
}

Levelling levelled(const std::vector<WeekWork>& works, const std::vector<WeekCapacity>& weeks, double overtime_cost,
                   const std::optional<std::vector<int>>& keep, double move_cost, int work_limit, std::uint64_t seed,
                   const py::object& progress, const StopToken* stop) {
    const LevellingOptions options = levelling_options(overtime_cost, keep, move_cost, work_limit, seed, progress, stop);
    const py::gil_scoped_release free;
    return level_weeks(works, weeks, options);
}

Levelling flattened(const std::vector<WeekWork>& works, int weeks, double overtime_cost, const std::optional<std::vector<int>>& keep,
                    double move_cost, int work_limit, std::uint64_t seed, const py::object& progress, const StopToken* stop) {
    const LevellingOptions options = levelling_options(overtime_cost, keep, move_cost, work_limit, seed, progress, stop);
    const py::gil_scoped_release free;
    return lowest_peak(works, weeks, options);
}

void define_choice(py::module_& m) {
    Record<VisitWork>()
        .field(LIBSEAL_FIELD(VisitWork, id))
        .field(LIBSEAL_FIELD(VisitWork, penalty))
        .field(LIBSEAL_FIELD(VisitWork, hours))
        .finish();
    auto plan = known<VisitPlan>();
    field(plan, LIBSEAL_FIELD(VisitPlan, days));
    field(plan, LIBSEAL_FIELD(VisitPlan, visit_of));
    field(plan, LIBSEAL_FIELD(VisitPlan, best_day));
    field(plan, LIBSEAL_FIELD(VisitPlan, cost));
    field(plan, LIBSEAL_FIELD(VisitPlan, bound));
    field(plan, LIBSEAL_FIELD(VisitPlan, exact));
    auto cycle = known<VisitCycle>();
    field(cycle, LIBSEAL_FIELD(VisitCycle, interval));
    field(cycle, LIBSEAL_FIELD(VisitCycle, every));
    field(cycle, LIBSEAL_FIELD(VisitCycle, cost_rate));
    const VisitOptions d;
    m.def("best_visits", &visits_of, "works"_a, "set_up"_a, py::kw_only(), "most_hours"_a = d.most_hours, "progress"_a = py::none(),
          "stop"_a = py::none(), doc::best_visits);
    m.def("best_cycle", &best_cycle, "set_up"_a, "cost"_a, "loss"_a, "most"_a = 8, doc::best_cycle, Free());
}

void define_levelling(py::module_& m) {
    Record<WeekWork>()
        .field(LIBSEAL_FIELD(WeekWork, id))
        .field(LIBSEAL_FIELD(WeekWork, hours))
        .field(LIBSEAL_FIELD(WeekWork, first))
        .field(LIBSEAL_FIELD(WeekWork, cost))
        .finish();
    Record<WeekCapacity>().field(LIBSEAL_FIELD(WeekCapacity, normal)).field(LIBSEAL_FIELD(WeekCapacity, overtime)).finish();
    auto level = known<Levelling>();
    field(level, LIBSEAL_FIELD(Levelling, week));
    field(level, LIBSEAL_FIELD(Levelling, cost));
    field(level, LIBSEAL_FIELD(Levelling, bound));
    field(level, LIBSEAL_FIELD(Levelling, gap));
    field(level, LIBSEAL_FIELD(Levelling, load));
    field(level, LIBSEAL_FIELD(Levelling, overtime));
    field(level, LIBSEAL_FIELD(Levelling, peak));
    field(level, LIBSEAL_FIELD(Levelling, divided_peak));
    field(level, LIBSEAL_FIELD(Levelling, fits));
    field(level, LIBSEAL_FIELD(Levelling, moved));
    const LevellingOptions d;
    const auto none = py::none();
    m.def("level_weeks", &levelled, "works"_a, "weeks"_a, py::kw_only(), "overtime_cost"_a = d.overtime_cost, "keep"_a = none,
          "move_cost"_a = d.move_cost, "work_limit"_a = d.work_limit, "seed"_a = d.seed, "progress"_a = none, "stop"_a = none,
          doc::level_weeks);
    m.def("lowest_peak", &flattened, "works"_a, "weeks"_a, py::kw_only(), "overtime_cost"_a = d.overtime_cost, "keep"_a = none,
          "move_cost"_a = d.move_cost, "work_limit"_a = d.work_limit, "seed"_a = d.seed, "progress"_a = none, "stop"_a = none,
          doc::lowest_peak);
}

}  // namespace

void declare_visits(py::module_& m) {
    py::class_<VisitWork>(m, "VisitWork", doc::VisitWork);
    py::class_<VisitPlan>(m, "VisitPlan", doc::VisitPlan);
    py::class_<VisitCycle>(m, "VisitCycle", doc::VisitCycle);
    py::class_<WeekWork>(m, "WeekWork", doc::WeekWork);
    py::class_<WeekCapacity>(m, "WeekCapacity", doc::WeekCapacity);
    py::class_<Levelling>(m, "Levelling", doc::Levelling);
}

void define_visits(py::module_& m) {
    define_choice(m);
    define_levelling(m);
}

}  // namespace libseal::python
