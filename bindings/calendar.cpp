// The year of a fleet in Python.

#include "docs/calendar.hpp"
#include "inputs.hpp"
#include "libseal/calendar/check.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/owner_dates.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/calendar/year.hpp"
#include "record.hpp"
#include "visits.hpp"

namespace libseal::python {
namespace {

void define_visit() {
    Record<OwnerDates>()
        .field(LIBSEAL_FIELD(OwnerDates, coach))
        .field("from_", &OwnerDates::from, doc::OwnerDates_from)
        .field(LIBSEAL_FIELD(OwnerDates, to))
        .field(LIBSEAL_FIELD(OwnerDates, kind))
        .field(LIBSEAL_FIELD(OwnerDates, set_up_percent))
        .field(LIBSEAL_FIELD(OwnerDates, reason))
        .finish();
    auto window = known<Window>();
    field(window, LIBSEAL_FIELD(Window, earliest));
    field(window, LIBSEAL_FIELD(Window, latest));

    auto task = known<VisitTask>();
    field(task, LIBSEAL_FIELD(VisitTask, joint));
    field(task, LIBSEAL_FIELD(VisitTask, layer));
    field(task, LIBSEAL_FIELD(VisitTask, generation));
    field(task, LIBSEAL_FIELD(VisitTask, action));
    field(task, LIBSEAL_FIELD(VisitTask, family));
    field(task, LIBSEAL_FIELD(VisitTask, due));
    field(task, LIBSEAL_FIELD(VisitTask, urgency));
    field(task, LIBSEAL_FIELD(VisitTask, reason));
    field(task, LIBSEAL_FIELD(VisitTask, late));
    field(task, LIBSEAL_FIELD(VisitTask, best_date));
    field(task, LIBSEAL_FIELD(VisitTask, moved));

    auto visit = known<Visit>();
    field(visit, LIBSEAL_FIELD(Visit, uid));
    field(visit, LIBSEAL_FIELD(Visit, sequence));
    field(visit, LIBSEAL_FIELD(Visit, cancelled));
    field(visit, LIBSEAL_FIELD(Visit, kind));
    field(visit, LIBSEAL_FIELD(Visit, coach));
    field(visit, LIBSEAL_FIELD(Visit, label));
    field(visit, LIBSEAL_FIELD(Visit, owner));
    field(visit, LIBSEAL_FIELD(Visit, first));
    field(visit, LIBSEAL_FIELD(Visit, last));
    field(visit, LIBSEAL_FIELD(Visit, bay));
    field(visit, LIBSEAL_FIELD(Visit, window));
    field(visit, LIBSEAL_FIELD(Visit, tasks));
    field(visit, LIBSEAL_FIELD(Visit, minutes));
    field(visit, LIBSEAL_FIELD(Visit, day_minutes));
    field(visit, LIBSEAL_FIELD(Visit, cost));
    field(visit, LIBSEAL_FIELD(Visit, why));
    field(visit, LIBSEAL_FIELD(Visit, flags));
    field(visit, LIBSEAL_FIELD(Visit, cautions));
    visit.def("__repr__", [](const Visit& self) {
        return "Visit(" + self.kind + ", " + self.coach + ", " + to_text(self.first) + ")";
    });
}

using Words = std::optional<std::string>;

IcalendarOptions ics_options(const Words& owner, const Words& coach, bool show_owners, int alarm_days, bool todo) {
    return {owner.value_or(""), coach.value_or(""), show_owners, alarm_days, todo};
}

void define_calendar_type() {
    auto unplaced = known<Unplaced>();
    field(unplaced, LIBSEAL_FIELD(Unplaced, coach));
    field(unplaced, LIBSEAL_FIELD(Unplaced, joint));
    field(unplaced, LIBSEAL_FIELD(Unplaced, action));
    field(unplaced, LIBSEAL_FIELD(Unplaced, due));
    field(unplaced, LIBSEAL_FIELD(Unplaced, constraint));
    field(unplaced, LIBSEAL_FIELD(Unplaced, relaxation));

    auto week = known<Week>();
    field(week, LIBSEAL_FIELD(Week, start));
    field(week, LIBSEAL_FIELD(Week, booked));
    field(week, LIBSEAL_FIELD(Week, capacity));
    field(week, LIBSEAL_FIELD(Week, overtime));
    field(week, LIBSEAL_FIELD(Week, overtime_limit));

    auto type = known<Calendar>();
    field(type, LIBSEAL_FIELD(Calendar, year));
    field(type, LIBSEAL_FIELD(Calendar, as_of));
    field(type, LIBSEAL_FIELD(Calendar, shop));
    field(type, LIBSEAL_FIELD(Calendar, currency));
    field(type, LIBSEAL_FIELD(Calendar, visits));
    field(type, LIBSEAL_FIELD(Calendar, unplaced));
    field(type, LIBSEAL_FIELD(Calendar, changes));
    field(type, LIBSEAL_FIELD(Calendar, weeks));
    field(type, LIBSEAL_FIELD(Calendar, moving_cost));
    field(type, LIBSEAL_FIELD(Calendar, bound));
    field(type, LIBSEAL_FIELD(Calendar, gap));
    field(type, LIBSEAL_FIELD(Calendar, closing));
    const auto write = [&type](const char* name, void (Calendar::*member)(const std::string&) const,
                               const char* text) {
        type.def(
            name, [member](const Calendar& self, const Path& path) { (self.*member)(path.string()); },
            "path"_a, text, Free());
    };
    const IcalendarOptions d;
    type.def(
            "ics_text",
            [](const Calendar& self, const Words& owner, const Words& coach, bool show_owners, int alarm_days, bool todo) {
                return self.ics_text(ics_options(owner, coach, show_owners, alarm_days, todo));
            },
            py::kw_only(), "owner"_a = py::none(), "coach"_a = py::none(), "show_owners"_a = d.show_owners,
            "alarm_days"_a = d.alarm_days, "todo"_a = d.todo, doc::Calendar_ics_text)
        .def(
            "write_ics",
            [](const Calendar& self, const Path& path, const Words& owner, const Words& coach, bool show_owners, int alarm_days,
               bool todo) { self.write_ics(path.string(), ics_options(owner, coach, show_owners, alarm_days, todo)); },
            "path"_a, py::kw_only(), "owner"_a = py::none(), "coach"_a = py::none(), "show_owners"_a = d.show_owners,
            "alarm_days"_a = d.alarm_days, "todo"_a = d.todo, doc::Calendar_write_ics, Free())
        .def("csv_text", &Calendar::csv_text, doc::Calendar_csv_text)
        .def("json_text", &Calendar::json_text, doc::Calendar_json_text)
        .def("__repr__", [](const Calendar& self) {
            return "Calendar(" + std::to_string(self.year) + ", " + std::to_string(self.visits.size()) +
                   " visits)";
        });
    write("write_csv", &Calendar::write_csv, doc::Calendar_write_csv);
    write("write_json", &Calendar::write_json, doc::Calendar_write_json);
}

/// `as_of` is a day, or a forecast that is there already.
template <class DateOrForecast>
Calendar year_calendar_of(const Fleet& fleet, int year, const Shop& shop, const DateOrForecast& as_of,
                          const std::optional<std::vector<Finding>>& findings,
                          const std::optional<std::vector<WorkDone>>& work_done, const py::object& weather,
                          const Calendar* previous, const Catalogue* catalogue,
                          const std::shared_ptr<Session>& session, std::uint64_t seed,
                          int work_limit, int earliest_days, int latest_days, double longest_cure_wait,
                          const std::optional<std::vector<OwnerDates>>& owner_dates,
                          const std::optional<std::map<int, double>>& season_percent, int warranty_days,
                          double most_visit_hours, double overtime_percent, int detailed_coaches, bool show_owners, int threads, const py::object& progress, const StopToken* stop) {
    CalendarOptions options;
    if (findings) options.findings = *findings;
    if (work_done) options.work_done = *work_done;
    options.weather = weather_by_place(weather);
    options.previous = previous;
    if (catalogue) options.catalogue = *catalogue;
    options.session = session;
    options.seed = seed;
    options.work_limit = work_limit;
    options.earliest_days = earliest_days;
    options.latest_days = latest_days;
    options.longest_cure_wait = longest_cure_wait;
    if (owner_dates) options.owner_dates = *owner_dates;
    if (season_percent) options.season_percent = *season_percent;
    options.warranty_days = warranty_days;
    options.most_visit_hours = most_visit_hours;
    options.overtime_percent = overtime_percent;
    options.detailed_coaches = detailed_coaches;
    options.show_owners = show_owners;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return year_calendar(fleet, year, shop, as_of, options);
}

template <class DateOrForecast>
void define_year(py::module_& m, const char* fourth, const char* text) {
    const CalendarOptions d;
    const auto none = py::none();
    m.def("year_calendar", &year_calendar_of<DateOrForecast>, "fleet"_a, "year"_a, "shop"_a, py::arg(fourth),
          py::kw_only(), "findings"_a = none, "work_done"_a = none, "weather"_a = none, "previous"_a = none,
          "catalogue"_a = none, "session"_a = none, "seed"_a = d.seed, "work_limit"_a = d.work_limit,
          "earliest_days"_a = d.earliest_days, "latest_days"_a = d.latest_days, "longest_cure_wait"_a = d.longest_cure_wait,
          "owner_dates"_a = none, "season_percent"_a = none, "warranty_days"_a = d.warranty_days,
          "most_visit_hours"_a = d.most_visit_hours, "overtime_percent"_a = d.overtime_percent,
          "detailed_coaches"_a = d.detailed_coaches,
          "show_owners"_a = d.show_owners, "threads"_a = d.threads, "progress"_a = none, "stop"_a = none,
          text);
}

}  // namespace

void declare_calendar(py::module_& m) {
    declare_visits(m);
    py::class_<Window>(m, "Window", doc::Window);
    py::class_<VisitTask>(m, "VisitTask", doc::VisitTask);
    py::class_<Visit>(m, "Visit", doc::Visit);
    py::class_<Unplaced>(m, "Unplaced", doc::Unplaced);
    py::class_<OwnerDates>(m, "OwnerDates", doc::OwnerDates);
    py::class_<Week>(m, "Week", doc::Week);
    py::class_<Calendar>(m, "Calendar", doc::Calendar);
}

void define_calendar(py::module_& m) {
    define_visits(m);
    define_visit();
    define_calendar_type();
    define_year<Date>(m, "as_of", doc::year_calendar);
    define_year<Forecast>(m, "forecast", "");
    m.def(
        "read_calendar", [](const Path& path) { return read_calendar(path.string()); }, "path"_a,
        doc::read_calendar, Free());
    m.def("read_calendar_text", &read_calendar_text, "text"_a, "name"_a, doc::read_calendar_text, Free());
    m.def(
        "check_calendar",
        [](const Calendar& calendar, const Shop& shop, const std::vector<OwnerDates>& owner_dates) {
            return check_calendar(calendar, shop, owner_dates);
        },
        "calendar"_a, "shop"_a, "owner_dates"_a = std::vector<OwnerDates>{}, doc::check_calendar, Free());
    m.def(
        "calendar_part",
        [](const Calendar& calendar, const Words& owner, const Words& coach, bool show_owners) {
            return calendar_part(calendar, {owner.value_or(""), coach.value_or(""), show_owners});
        },
        "calendar"_a, py::kw_only(), "owner"_a = py::none(), "coach"_a = py::none(), "show_owners"_a = PartOptions{}.show_owners,
        doc::calendar_part);
    m.def("check_icalendar", &check_icalendar, "text"_a, doc::check_icalendar);
    m.def("icalendar_traps", &icalendar_traps, "text"_a, doc::icalendar_traps);
    m.def(
        "read_owner_dates", [](const Path& path) { return read_owner_dates(path.string()); }, "path"_a, doc::read_owner_dates, Free());
    m.def("read_owner_dates_text", &read_owner_dates_text, "text"_a, "name"_a, doc::read_owner_dates_text, Free());
    m.def("check_owner_dates", &check_owner_dates, "owner_dates"_a, "fleet"_a, doc::check_owner_dates, Free());
    m.def("visit_uid", &visit_uid, "kind"_a, "coach"_a, "joint"_a, "generation"_a, doc::visit_uid);
}

}  // namespace libseal::python
