// Work orders and parts lists in Python.

#include <optional>

#include "docs/work.hpp"
#include "inputs.hpp"
#include "libseal/work/work_order.hpp"
#include "record.hpp"

namespace libseal::python {

void declare_work_order(py::module_& m);
void define_work_order(py::module_& m);

namespace {

void define_orders() {
    Record<StepSlot>()
        .field(LIBSEAL_FIELD(StepSlot, step))
        .field(LIBSEAL_FIELD(StepSlot, start))
        .field(LIBSEAL_FIELD(StepSlot, end))
        .field(LIBSEAL_FIELD(StepSlot, people))
        .field(LIBSEAL_FIELD(StepSlot, bay))
        .finish();
    auto line = known<WorkOrderLine>();
    field(line, LIBSEAL_FIELD(WorkOrderLine, number));
    field(line, LIBSEAL_FIELD(WorkOrderLine, id));
    field(line, LIBSEAL_FIELD(WorkOrderLine, kind));
    field(line, LIBSEAL_FIELD(WorkOrderLine, place));
    field(line, LIBSEAL_FIELD(WorkOrderLine, surface));
    field(line, LIBSEAL_FIELD(WorkOrderLine, slide_state));
    field(line, LIBSEAL_FIELD(WorkOrderLine, minutes));
    field(line, LIBSEAL_FIELD(WorkOrderLine, people));
    field(line, LIBSEAL_FIELD(WorkOrderLine, wait));
    field(line, LIBSEAL_FIELD(WorkOrderLine, family));
    field(line, LIBSEAL_FIELD(WorkOrderLine, volume_ml));
    field(line, LIBSEAL_FIELD(WorkOrderLine, length_m));
    field(line, LIBSEAL_FIELD(WorkOrderLine, gate));
    field(line, LIBSEAL_FIELD(WorkOrderLine, reach));
    field(line, LIBSEAL_FIELD(WorkOrderLine, skills));
    field(line, LIBSEAL_FIELD(WorkOrderLine, tools));
    field(line, LIBSEAL_FIELD(WorkOrderLine, cautions));
    field(line, LIBSEAL_FIELD(WorkOrderLine, note));
    field(line, LIBSEAL_FIELD(WorkOrderLine, start));
    field(line, LIBSEAL_FIELD(WorkOrderLine, end));
    field(line, LIBSEAL_FIELD(WorkOrderLine, who));
    field(line, LIBSEAL_FIELD(WorkOrderLine, bay));
    auto order = known<WorkOrder>();
    field(order, LIBSEAL_FIELD(WorkOrder, coach));
    field(order, LIBSEAL_FIELD(WorkOrder, shop));
    field(order, LIBSEAL_FIELD(WorkOrder, currency));
    field(order, LIBSEAL_FIELD(WorkOrder, as_of));
    field(order, LIBSEAL_FIELD(WorkOrder, timed));
    field(order, LIBSEAL_FIELD(WorkOrder, first));
    field(order, LIBSEAL_FIELD(WorkOrder, last));
    field(order, LIBSEAL_FIELD(WorkOrder, lines));
    field(order, LIBSEAL_FIELD(WorkOrder, materials));
    field(order, LIBSEAL_FIELD(WorkOrder, supplies));
    field(order, LIBSEAL_FIELD(WorkOrder, tools));
    field(order, LIBSEAL_FIELD(WorkOrder, minutes));
    field(order, LIBSEAL_FIELD(WorkOrder, gates));
    field(order, LIBSEAL_FIELD(WorkOrder, tests));
    field(order, LIBSEAL_FIELD(WorkOrder, cautions));
    field(order, LIBSEAL_FIELD(WorkOrder, warnings));
    field(order, LIBSEAL_FIELD(WorkOrder, notes));
    field(order, LIBSEAL_FIELD(WorkOrder, closing));
    order.def("__repr__", [](const WorkOrder& self) { return "WorkOrder(" + self.coach + ", " + std::to_string(self.lines.size()) + " lines)"; });
    auto week = known<WeekParts>();
    field(week, LIBSEAL_FIELD(WeekParts, year));
    field(week, LIBSEAL_FIELD(WeekParts, week));
    field(week, LIBSEAL_FIELD(WeekParts, monday));
    field(week, LIBSEAL_FIELD(WeekParts, coaches));
    field(week, LIBSEAL_FIELD(WeekParts, materials));
    field(week, LIBSEAL_FIELD(WeekParts, supplies));
}

}  // namespace

void declare_work_order(py::module_& m) {
    py::class_<StepSlot>(m, "StepSlot", doc::StepSlot);
    py::class_<WorkOrderLine>(m, "WorkOrderLine", doc::WorkOrderLine);
    py::class_<WorkOrder>(m, "WorkOrder", doc::WorkOrder);
    py::class_<WeekParts>(m, "WeekParts", doc::WeekParts);
}

void define_work_order(py::module_& m) {
    define_orders();
    m.def(
        "work_order",
        [](const WorkPlan& plan, const Shop& shop, const std::optional<std::vector<StepSlot>>& slots, const Catalogue* catalogue) {
            const Catalogue& c = catalogue ? *catalogue : Catalogue::built_in();
            return slots ? work_order(plan, shop, *slots, c) : work_order(plan, shop, c);
        },
        "plan"_a, "shop"_a, py::kw_only(), "slots"_a = py::none(), "catalogue"_a = py::none(), doc::work_order);
    m.def("work_order_json", &work_order_json, "order"_a, doc::work_order_json);
    m.def("iso_week", &iso_week, "day"_a, doc::iso_week);
    m.def("parts_list", &parts_list, "orders"_a, doc::parts_list);
    m.def("parts_csv", &parts_csv, "weeks"_a, doc::parts_csv);
}

}  // namespace libseal::python
