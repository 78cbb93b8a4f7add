// Shops and work plans in Python.

#include <optional>

#include "docs/work.hpp"
#include "inputs.hpp"
#include "libseal/work/holidays.hpp"
#include "libseal/work/plan.hpp"
#include "record.hpp"

namespace libseal::python {

// quote.cpp and work_order.cpp
void declare_quote(py::module_& m);
void declare_work_order(py::module_& m);
void define_quote(py::module_& m);
void define_work_order(py::module_& m);

namespace {

void define_holidays(py::module_& m) {
    Record<HolidayRule>()
        .field(LIBSEAL_FIELD(HolidayRule, name))
        .field(LIBSEAL_FIELD(HolidayRule, kind))
        .field(LIBSEAL_FIELD(HolidayRule, month))
        .field(LIBSEAL_FIELD(HolidayRule, day))
        .field(LIBSEAL_FIELD(HolidayRule, weekday))
        .field(LIBSEAL_FIELD(HolidayRule, nth))
        .field(LIBSEAL_FIELD(HolidayRule, offset))
        .field(LIBSEAL_FIELD(HolidayRule, since))
        .field(LIBSEAL_FIELD(HolidayRule, until))
        .field(LIBSEAL_FIELD(HolidayRule, shift))
        .finish();
    Record<HolidayRules>()
        .field(LIBSEAL_FIELD(HolidayRules, name))
        .field(LIBSEAL_FIELD(HolidayRules, source))
        .field(LIBSEAL_FIELD(HolidayRules, rules))
        .finish();
    Record<Holiday>().field(LIBSEAL_FIELD(Holiday, day)).field(LIBSEAL_FIELD(Holiday, name)).finish();
    m.def("easter", &easter, "year"_a, doc::easter);
    m.def(
        "holiday_rules", [](const std::string& name) { return holiday_rules(name); }, "name"_a, doc::holiday_rules);
    m.def("holiday_rule_names", &holiday_rule_names, doc::holiday_rule_names);
    m.def(
        "read_holiday_rules", [](const Path& path) { return read_holiday_rules(path.string()); }, "path"_a,
        doc::read_holiday_rules, Free());
    m.def("read_holiday_rules_text", &read_holiday_rules_text, "text"_a, "name"_a, doc::read_holiday_rules_text, Free());
    m.def("holidays", &holidays, "rules"_a, "year"_a, doc::holidays);
    m.def("is_holiday", &is_holiday, "rules"_a, "day"_a, doc::is_holiday);
    m.def("business_days", &business_days, "begin"_a, "end"_a, "rules"_a, doc::business_days);
    m.def("next_business_day", &next_business_day, "day"_a, "rules"_a, doc::next_business_day);
    m.def("add_business_days", &add_business_days, "day"_a, "n"_a, "rules"_a, doc::add_business_days);
}

void define_people_and_bays() {
    Record<Person>()
        .field(LIBSEAL_FIELD(Person, id))
        .field(LIBSEAL_FIELD(Person, skills))
        .field("from_", &Person::from, doc::Person_from)
        .field(LIBSEAL_FIELD(Person, to))
        .finish();
    Record<ClosedSpan>()
        .field("from_", &ClosedSpan::from, doc::ClosedSpan_from)
        .field(LIBSEAL_FIELD(ClosedSpan, to))
        .field(LIBSEAL_FIELD(ClosedSpan, reason))
        .finish();
    Record<Bay>()
        .field(LIBSEAL_FIELD(Bay, id))
        .field(LIBSEAL_FIELD(Bay, roofed))
        .field(LIBSEAL_FIELD(Bay, heated))
        .finish();
    Record<Absence>()
        .field(LIBSEAL_FIELD(Absence, person))
        .field("from_", &Absence::from, doc::Absence_from)
        .field(LIBSEAL_FIELD(Absence, to))
        .field(LIBSEAL_FIELD(Absence, reason))
        .finish();
    Record<Overtime>()
        .field(LIBSEAL_FIELD(Overtime, person))
        .field("from_", &Overtime::from, doc::Overtime_from)
        .field(LIBSEAL_FIELD(Overtime, to))
        .finish();
}

void define_billing() {
    Record<Billing>()
        .field(LIBSEAL_FIELD(Billing, step_minutes))
        .field(LIBSEAL_FIELD(Billing, minimum_minutes))
        .field(LIBSEAL_FIELD(Billing, markup_percent))
        .field(LIBSEAL_FIELD(Billing, supplies_percent))
        .field(LIBSEAL_FIELD(Billing, supplies_cap))
        .field(LIBSEAL_FIELD(Billing, disposal))
        .field(LIBSEAL_FIELD(Billing, trip_base))
        .field(LIBSEAL_FIELD(Billing, trip_rate))
        .field(LIBSEAL_FIELD(Billing, trip_free))
        .field(LIBSEAL_FIELD(Billing, distance_unit))
        .field(LIBSEAL_FIELD(Billing, rounding_step))
        .field(LIBSEAL_FIELD(Billing, deposit_percent))
        .field(LIBSEAL_FIELD(Billing, overrun_percent))
        .field(LIBSEAL_FIELD(Billing, overrun_cap))
        .field(LIBSEAL_FIELD(Billing, contingency_percent))
        .field(LIBSEAL_FIELD(Billing, time_basis))
        .finish();
}

void define_shop_fields() {
    Record<Shop>()
        .field(LIBSEAL_FIELD(Shop, name))
        .field(LIBSEAL_FIELD(Shop, place))
        .field(LIBSEAL_FIELD(Shop, currency))
        .field(LIBSEAL_FIELD(Shop, labour_rate_per_h))
        .field(LIBSEAL_FIELD(Shop, tax_percent))
        .field(LIBSEAL_FIELD(Shop, minimum_charge))
        .field(LIBSEAL_FIELD(Shop, waste_percent))
        .field(LIBSEAL_FIELD(Shop, package_price))
        .field(LIBSEAL_FIELD(Shop, people))
        .field(LIBSEAL_FIELD(Shop, bays))
        .field(LIBSEAL_FIELD(Shop, bay_list))
        .field(LIBSEAL_FIELD(Shop, ladders))
        .field(LIBSEAL_FIELD(Shop, platforms))
        .field(LIBSEAL_FIELD(Shop, absences))
        .field(LIBSEAL_FIELD(Shop, overtime))
        .field(LIBSEAL_FIELD(Shop, working_days))
        .field(LIBSEAL_FIELD(Shop, open_from))
        .field(LIBSEAL_FIELD(Shop, open_to))
        .field(LIBSEAL_FIELD(Shop, break_from))
        .field(LIBSEAL_FIELD(Shop, break_to))
        .field(LIBSEAL_FIELD(Shop, holidays))
        .field(LIBSEAL_FIELD(Shop, holiday_rules))
        .field(LIBSEAL_FIELD(Shop, closed))
        .field(LIBSEAL_FIELD(Shop, visit_setup_minutes))
        .field(LIBSEAL_FIELD(Shop, sealing_months))
        .field(LIBSEAL_FIELD(Shop, heated_bay))
        .field(LIBSEAL_FIELD(Shop, bay_temperature))
        .field(LIBSEAL_FIELD(Shop, billing))
        .field(LIBSEAL_FIELD(Shop, catalogue))
        .finish();
}

void define_shop(py::module_& m) {
    define_people_and_bays();
    define_billing();
    define_shop_fields();
    m.def(
        "read_shop", [](const Path& path) { return read_shop(path.string()); }, "path"_a, doc::read_shop,
        Free());
    m.def("read_shop_text", &read_shop_text, "text"_a, "name"_a, doc::read_shop_text, Free());
    m.def("shop_json", &shop_json, "shop"_a, doc::shop_json);
    m.def("check_shop", &check_shop, "shop"_a, doc::check_shop);
    m.def("bays_of", &bays_of, "shop"_a, doc::bays_of);
    m.def("works_on", &works_on, "shop"_a, "day"_a, doc::works_on);
    m.def("seals_on", py::overload_cast<const Shop&, Date>(&seals_on), "shop"_a, "day"_a, doc::seals_on);
    m.def("seals_on", py::overload_cast<const Shop&, Date, const Bay&>(&seals_on), "shop"_a, "day"_a, "bay"_a, doc::seals_on);
    m.def("no_sealing_reason", &no_sealing_reason, "shop"_a, "day"_a, doc::no_sealing_reason);
    m.def("minor_digits", &minor_digits, "currency"_a, doc::minor_digits);
    m.def("money_text", &money_text, "amount"_a, "currency"_a, doc::money_text);
}

void define_step() {
    auto minutes = known<Minutes>();
    field(minutes, LIBSEAL_FIELD(Minutes, low));
    field(minutes, LIBSEAL_FIELD(Minutes, mode));
    field(minutes, LIBSEAL_FIELD(Minutes, high));
    auto cost = known<Cost>();
    field(cost, LIBSEAL_FIELD(Cost, low));
    field(cost, LIBSEAL_FIELD(Cost, mode));
    field(cost, LIBSEAL_FIELD(Cost, high));

    auto step = known<Step>();
    field(step, LIBSEAL_FIELD(Step, id));
    field(step, LIBSEAL_FIELD(Step, kind));
    field(step, LIBSEAL_FIELD(Step, task));
    field(step, LIBSEAL_FIELD(Step, joint));
    field(step, LIBSEAL_FIELD(Step, part));
    field(step, LIBSEAL_FIELD(Step, surface));
    field(step, LIBSEAL_FIELD(Step, slide));
    field(step, LIBSEAL_FIELD(Step, slide_state));
    field(step, LIBSEAL_FIELD(Step, minutes));
    field(step, LIBSEAL_FIELD(Step, people));
    field(step, LIBSEAL_FIELD(Step, wait));
    field(step, LIBSEAL_FIELD(Step, unbroken));
    field(step, LIBSEAL_FIELD(Step, gate));
    field(step, LIBSEAL_FIELD(Step, reach));
    field(step, LIBSEAL_FIELD(Step, skills));
    field(step, LIBSEAL_FIELD(Step, tools));
    field(step, LIBSEAL_FIELD(Step, family));
    field(step, LIBSEAL_FIELD(Step, cautions));
    field(step, LIBSEAL_FIELD(Step, note));
    step.def("__repr__", [](const Step& self) { return "Step(" + self.id + ")"; });
}

void define_edges_and_supplies() {
    auto edge = known<Edge>();
    field(edge, "from_", &Edge::from, doc::Edge_from);  // "from" is a word of the language
    field(edge, LIBSEAL_FIELD(Edge, to));
    field(edge, LIBSEAL_FIELD(Edge, rule));
    edge.def_property_readonly(
        "strength", [](const Edge& self) { return to_text(self.strength); },
        "\"hard\", \"firm\" or \"soft\"");
    field(edge, LIBSEAL_FIELD(Edge, lag));
    field(edge, LIBSEAL_FIELD(Edge, reason));
    edge.def_property_readonly(
        "clock", [](const Edge& self) { return to_text(self.clock); }, "\"elapsed\", \"working\" or \"cure\"");
    field(edge, LIBSEAL_FIELD(Edge, longest));

    auto material = known<Material>();
    field(material, LIBSEAL_FIELD(Material, family));
    field(material, LIBSEAL_FIELD(Material, volume_ml));
    field(material, LIBSEAL_FIELD(Material, length_m));
    field(material, LIBSEAL_FIELD(Material, waste_percent));
    field(material, LIBSEAL_FIELD(Material, ordered));
    field(material, LIBSEAL_FIELD(Material, package_size));
    field(material, LIBSEAL_FIELD(Material, packages));
    field(material, LIBSEAL_FIELD(Material, priced));
    field(material, LIBSEAL_FIELD(Material, cost));

    auto supply = known<Supply>();
    field(supply, LIBSEAL_FIELD(Supply, name));
    field(supply, LIBSEAL_FIELD(Supply, amount));
    field(supply, LIBSEAL_FIELD(Supply, unit));

    auto caution = known<Caution>();
    field(caution, LIBSEAL_FIELD(Caution, id));
    field(caution, LIBSEAL_FIELD(Caution, text));
}

void define_options() {
    Record<DroppedEdge>()
        .field(LIBSEAL_FIELD(DroppedEdge, rule))
        .field("from_", &DroppedEdge::from, doc::DroppedEdge_from)
        .field(LIBSEAL_FIELD(DroppedEdge, to))
        .field(LIBSEAL_FIELD(DroppedEdge, reason))
        .finish();

    auto saving = known<Saving>();
    field(saving, LIBSEAL_FIELD(Saving, minutes));
    field(saving, LIBSEAL_FIELD(Saving, money));
    field(saving, LIBSEAL_FIELD(Saving, lost));
    auto option = known<ActionOption>();
    field(option, LIBSEAL_FIELD(ActionOption, action));
    field(option, LIBSEAL_FIELD(ActionOption, family));
    field(option, LIBSEAL_FIELD(ActionOption, chosen));
    field(option, LIBSEAL_FIELD(ActionOption, minutes));
    field(option, LIBSEAL_FIELD(ActionOption, cost));
    field(option, LIBSEAL_FIELD(ActionOption, cure_hours));
    field(option, LIBSEAL_FIELD(ActionOption, reason));
}

void define_task() {
    auto task = known<Task>();
    field(task, LIBSEAL_FIELD(Task, coach));
    field(task, LIBSEAL_FIELD(Task, joint));
    field(task, LIBSEAL_FIELD(Task, part));
    field(task, LIBSEAL_FIELD(Task, joint_type));
    field(task, LIBSEAL_FIELD(Task, layer));
    field(task, LIBSEAL_FIELD(Task, generation));
    field(task, LIBSEAL_FIELD(Task, action));
    field(task, LIBSEAL_FIELD(Task, renewed));
    field(task, LIBSEAL_FIELD(Task, family));
    field(task, LIBSEAL_FIELD(Task, bedding));
    field(task, LIBSEAL_FIELD(Task, reason));
    field(task, LIBSEAL_FIELD(Task, refused));
    field(task, LIBSEAL_FIELD(Task, due));
    task.def_property_readonly(
        "urgency", [](const Task& self) { return to_text(self.urgency); }, "Urgency in words.");
    field(task, LIBSEAL_FIELD(Task, observed));
    field(task, LIBSEAL_FIELD(Task, cover_now));
    field(task, LIBSEAL_FIELD(Task, length));
    field(task, LIBSEAL_FIELD(Task, volume_ml));
    field(task, LIBSEAL_FIELD(Task, minutes));
    field(task, LIBSEAL_FIELD(Task, cost));
    field(task, LIBSEAL_FIELD(Task, cautions));
    field(task, LIBSEAL_FIELD(Task, steps));
    field(task, LIBSEAL_FIELD(Task, opportunistic));
    field(task, LIBSEAL_FIELD(Task, saving));
    field(task, LIBSEAL_FIELD(Task, with_joint));
    field(task, LIBSEAL_FIELD(Task, follow_up));
    field(task, LIBSEAL_FIELD(Task, follow_up_from));
    field(task, LIBSEAL_FIELD(Task, cover_expires));
    field(task, LIBSEAL_FIELD(Task, options));
    task.def("__repr__", [](const Task& self) { return "Task(" + self.action + " " + place_of_task(self) + ")"; });
}

void define_plan() {
    auto watched = known<Watched>();
    field(watched, LIBSEAL_FIELD(Watched, joint));
    field(watched, LIBSEAL_FIELD(Watched, layer));
    field(watched, LIBSEAL_FIELD(Watched, reason));

    auto plan = known<WorkPlan>();
    field(plan, LIBSEAL_FIELD(WorkPlan, coach));
    field(plan, LIBSEAL_FIELD(WorkPlan, as_of));
    field(plan, LIBSEAL_FIELD(WorkPlan, currency));
    field(plan, LIBSEAL_FIELD(WorkPlan, tasks));
    field(plan, LIBSEAL_FIELD(WorkPlan, steps));
    field(plan, LIBSEAL_FIELD(WorkPlan, edges));
    field(plan, LIBSEAL_FIELD(WorkPlan, drawn_edges));
    field(plan, LIBSEAL_FIELD(WorkPlan, order));
    field(plan, LIBSEAL_FIELD(WorkPlan, watched));
    field(plan, LIBSEAL_FIELD(WorkPlan, materials));
    field(plan, LIBSEAL_FIELD(WorkPlan, supplies));
    field(plan, LIBSEAL_FIELD(WorkPlan, minutes));
    field(plan, LIBSEAL_FIELD(WorkPlan, labour));
    field(plan, LIBSEAL_FIELD(WorkPlan, material));
    field(plan, LIBSEAL_FIELD(WorkPlan, total));
    field(plan, LIBSEAL_FIELD(WorkPlan, cautions));
    field(plan, LIBSEAL_FIELD(WorkPlan, closing));
    field(plan, LIBSEAL_FIELD(WorkPlan, warnings));
    field(plan, LIBSEAL_FIELD(WorkPlan, notes));
    plan.def("__repr__", [](const WorkPlan& self) {
        return "WorkPlan(" + self.coach + ", " + std::to_string(self.tasks.size()) + " tasks)";
    });
}

WorkPlan plan_work_of(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast,
                      const Shop& shop, Date as_of, const Catalogue* catalogue,
                      std::optional<Date> due_before, std::optional<Date> work_day,
                      const std::optional<std::vector<std::string>>& joints,
                      const std::optional<std::vector<std::string>>& parts,
                      const std::optional<std::vector<WorkDone>>& work_done,
                      const std::optional<std::map<std::string, std::string>>& families,
                      const std::optional<std::vector<DroppedEdge>>& dropped, double longest_cure_wait,
                      bool exposed_soon, int opportunistic_days, std::optional<double> temperature, double roof_slope, bool corrugated_skin,
                      const std::optional<OrderOptions>& order,
                      const py::object& progress, const StopToken* stop) {
    PlanOptions options;
    if (catalogue) options.catalogue = *catalogue;
    if (due_before) options.due_before = *due_before;
    if (work_day) options.work_day = *work_day;
    if (joints) options.joints = *joints;
    if (parts) options.parts = *parts;
    if (work_done) options.work_done = *work_done;
    if (families) options.families = *families;
    if (dropped) options.dropped = *dropped;
    options.longest_cure_wait = longest_cure_wait;
    options.exposed_soon = exposed_soon;
    options.opportunistic_days = opportunistic_days;
    if (temperature) options.temperature = *temperature;
    options.roof_slope = roof_slope;
    options.corrugated_skin = corrugated_skin;
    if (order) options.order = *order;
    options.watch = watch_of(progress, stop);
    const py::gil_scoped_release free;
    return plan_work(coach, findings, forecast, shop, as_of, options);
}

}  // namespace

void declare_work(py::module_& m) {
    py::class_<Person>(m, "Person", doc::Person);
    py::class_<Billing>(m, "Billing", doc::Billing);
    py::class_<Supply>(m, "Supply", doc::Supply);
    py::class_<Saving>(m, "Saving", doc::Saving);
    py::class_<ActionOption>(m, "ActionOption", doc::ActionOption);
    py::class_<ClosedSpan>(m, "ClosedSpan", doc::ClosedSpan);
    py::class_<Bay>(m, "Bay", doc::Bay);
    py::class_<Absence>(m, "Absence", doc::Absence);
    py::class_<Overtime>(m, "Overtime", doc::Overtime);
    py::class_<HolidayRule>(m, "HolidayRule", doc::HolidayRule);
    py::class_<HolidayRules>(m, "HolidayRules", doc::HolidayRules);
    py::class_<Holiday>(m, "Holiday", doc::Holiday);
    py::class_<Shop>(m, "Shop", doc::Shop);
    py::class_<Minutes>(m, "Minutes", doc::Minutes);
    py::class_<Cost>(m, "Cost", doc::Cost);
    py::class_<Step>(m, "Step", doc::Step);
    py::class_<Edge>(m, "Edge", doc::Edge);
    py::class_<DroppedEdge>(m, "DroppedEdge", doc::DroppedEdge);
    py::class_<Material>(m, "Material", doc::Material);
    py::class_<Caution>(m, "Caution", doc::Caution);
    py::class_<Task>(m, "Task", doc::Task);
    py::class_<Watched>(m, "Watched", doc::Watched);
    py::class_<WorkPlan>(m, "WorkPlan", doc::WorkPlan);
    declare_quote(m);
    declare_work_order(m);
}

void define_work(py::module_& m) {
    define_holidays(m);
    define_shop(m);
    define_step();
    define_edges_and_supplies();
    define_options();
    define_task();
    define_plan();
    const PlanOptions d;
    const auto none = py::none();
    m.def("plan_work", &plan_work_of, "coach"_a, "findings"_a, "forecast"_a, "shop"_a, "as_of"_a,
          py::kw_only(), "catalogue"_a = none, "due_before"_a = none, "work_day"_a = none, "joints"_a = none,
          "parts"_a = none,
          "work_done"_a = none, "families"_a = none, "dropped"_a = none,
          "longest_cure_wait"_a = d.longest_cure_wait, "exposed_soon"_a = d.exposed_soon,
          "opportunistic_days"_a = d.opportunistic_days, "temperature"_a = none, "roof_slope"_a = d.roof_slope,
          "corrugated_skin"_a = d.corrugated_skin, "order"_a = none, "progress"_a = none,
          "stop"_a = none, doc::plan_work);
    m.def("work_plan_json", &work_plan_json, "plan"_a, doc::work_plan_json);
    m.def("allowed_families", &allowed_families, "joint"_a, "surface"_a, "catalogue"_a, "roof_slope"_a = 0.0,
          doc::allowed_families);
    m.def("self_levelling", &self_levelling, "slope"_a, "catalogue"_a, doc::self_levelling);
    m.def("bead_volume_ml", &bead_volume_ml, "bead"_a, "length"_a, doc::bead_volume_ml);
    m.def("profile_section_mm2", &profile_section_mm2, "profile"_a, "a"_a, "b"_a, "catalogue"_a, doc::profile_section_mm2);
    m.def("yield_m", &yield_m, "package_ml"_a, "section_mm2"_a, "waste_percent"_a = 0.0, doc::yield_m);
    m.def("check_yield", &check_yield, "stated_m"_a, "package_ml"_a, "section_mm2"_a, "catalogue"_a, doc::check_yield);
    m.def("cured_amount", &cured_amount, "wet"_a, "family"_a, doc::cured_amount);
    m.def("wet_amount", &wet_amount, "cured"_a, "family"_a, doc::wet_amount);
    m.def("tape_length", &tape_length, "length"_a, "catalogue"_a, doc::tape_length);
    m.def("insert_length", &insert_length, "length"_a, "catalogue"_a, doc::insert_length);
    m.def("cover_tape_length", &cover_tape_length, "length"_a, "roll"_a, "catalogue"_a, doc::cover_tape_length);
    m.def("screws_to_order", &screws_to_order, "length"_a, "spacing"_a, "catalogue"_a, doc::screws_to_order);
    m.def("packages_for", &packages_for, "amount"_a, "package"_a, "waste_percent"_a, doc::packages_for);
    m.def("cure_minutes", &cure_minutes, "rate"_a, "depth_mm"_a, "temperature"_a, doc::cure_minutes);
    m.def("caution_texts", &caution_texts, "ids"_a, "catalogue"_a, doc::caution_texts);
    m.def("closing_line", &closing_line, "catalogue"_a, doc::closing_line);
    define_quote(m);
    define_work_order(m);
    m.def("step_names", &step_names, doc::step_names);
    m.def("rule_names", &rule_names, doc::rule_names);
}

}  // namespace libseal::python
