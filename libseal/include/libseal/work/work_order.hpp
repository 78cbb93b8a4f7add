#pragma once
// What one visit does: the paper that goes with the coach, and the parts to have at hand.

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "libseal/work/plan.hpp"

namespace libseal {

/// When, where and by whom a step is done.
struct StepSlot {
    int step = -1;                    ///< index into the plan's steps
    std::int64_t start = 0;           ///< local minutes since 1970-01-01T00:00
    std::int64_t end = 0;             ///< the same, >= start
    std::vector<std::string> people;  ///< ids
    std::string bay;                  ///< id, "" outdoors or unknown
};

/// One line of a work order: a step, or a wait.
struct WorkOrderLine {
    int number = 0;                   ///< 1 is first
    std::string id;                   ///< of the step
    std::string kind;                 ///< step of the word list
    std::string place;                ///< joint or part; "" for the whole job
    std::string surface;
    std::string slide_state;          ///< "out", "in" or ""
    Minutes minutes;                  ///< clock time of all people together
    int people = 1;                   ///< 0 for a wait
    double wait = 0;                  ///< before it [min]
    std::string family;               ///< material laid, "" for none
    double volume_ml = 0;             ///< of a bead, without waste [mL]
    double length_m = 0;              ///< worked on [m]; 0 for the whole job
    std::string gate;                 ///< weather that it needs outdoors, in words; "" for none
    std::string reach;
    std::vector<std::string> skills;
    std::vector<std::string> tools;
    std::vector<std::string> cautions;  ///< ids
    std::string note;
    std::int64_t start = 0;           ///< with slots: local minutes since 1970; else 0
    std::int64_t end = 0;             ///< as start
    std::vector<std::string> who;     ///< with slots
    std::string bay;
};

/// The work of one visit.
struct WorkOrder {
    std::string coach;
    std::string shop;
    std::string currency;
    Date as_of{};
    bool timed = false;               ///< lines have times
    Date first{};                     ///< first and last day of the work; day 0 without times
    Date last{};
    std::vector<WorkOrderLine> lines; ///< in order
    std::vector<Material> materials;
    std::vector<Supply> supplies;
    std::vector<std::string> tools;   ///< of all lines, each once
    Minutes minutes;                  ///< person-minutes
    std::vector<std::string> gates;   ///< weather in words, each once
    std::vector<std::string> tests;   ///< what is proved at the end, in words
    std::vector<Caution> cautions;    ///< those of these very steps, in order of first need
    std::vector<std::string> warnings;
    std::vector<std::string> notes;
    std::string closing;
};

/// The work order of a plan, in the plan's order.
/// @threads pure.
WorkOrder work_order(const WorkPlan& plan, const Shop& shop, const Catalogue& catalogue = Catalogue::built_in());

/// The same with times: lines by start, then in the plan's order. Steps without a slot, such as marks in time, are left out, but for waits.
/// @throws ValueError  a slot of an unknown step, two of one step, an end before its start, or people of a step without a slot.
WorkOrder work_order(const WorkPlan& plan, const Shop& shop, const std::vector<StepSlot>& slots,
                     const Catalogue& catalogue = Catalogue::built_in());

/// The work order as JSON, schema `libseal/work_order/1`.
std::string work_order_json(const WorkOrder& order);

/// What a week needs.
struct WeekParts {
    int year = 0;                     ///< of ISO 8601, which may differ from the calendar's at its ends
    int week = 0;                     ///< 1 to 53; 0 for orders without times
    Date monday{};                    ///< day 0 for orders without times
    std::vector<std::string> coaches;
    std::vector<Material> materials;  ///< by family, whole packages for all coaches of the week together
    std::vector<Supply> supplies;
};

/// Week of ISO 8601: Monday first, week 1 holds the year's first Thursday.
/// @return  year and week.
std::pair<int, int> iso_week(Date day);

/// Packages to have at hand by week of the first day of each order, over all coaches. Orders without times come first, as week 0.
/// @source  ISO 8601 weeks.
/// @threads pure.
std::vector<WeekParts> parts_list(const std::vector<WorkOrder>& orders);

/// The parts lists as CSV: year, week, monday, name, amount, unit, packages, package_size, coaches.
std::string parts_csv(const std::vector<WeekParts>& weeks);

}  // namespace libseal
