#include "libseal/work/shop.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/work/holidays.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

bool holiday_on(const Shop& shop, Date day) {
    if (std::find(shop.holidays.begin(), shop.holidays.end(), day) != shop.holidays.end()) return true;
    return std::any_of(shop.holiday_rules.begin(), shop.holiday_rules.end(),
                       [&](const std::string& name) { return is_holiday(holiday_rules(name), day); });
}

const ClosedSpan* closed_on(const Shop& shop, Date day) {
    for (const auto& span : shop.closed)
        if (span.from <= day && day < span.to) return &span;
    return nullptr;
}

const char* month_name(int month) {
    static const char* names[] = {"January", "February", "March",     "April",   "May",      "June",
                                  "July",    "August",   "September", "October", "November", "December"};
    return names[month - 1];
}

void note(std::vector<Problem>& problems, const std::string& field, const std::string& expected,
          const std::string& got) {
    problems.push_back(detail::field_problem(field, expected, got));
}

void check_people(const Shop& shop, std::vector<Problem>& problems) {
    if (shop.people.empty()) note(problems, "people", "at least one person", "nobody");
    std::set<std::string> ids;
    for (std::size_t i = 0; i < shop.people.size(); ++i) {
        const Person& person = shop.people[i];
        const std::string field = "people[" + std::to_string(i) + "]";
        if (person.id.empty() || !ids.insert(person.id).second)
            note(problems, field + ".id", "an id of its own", "\"" + person.id + "\"");
        if (person.from < 0 || person.to > 1440 || person.from >= person.to)
            note(problems, field, "a shift inside one day",
                 std::to_string(person.from) + " to " + std::to_string(person.to) + " min");
        else if (std::max(person.from, shop.open_from) >= std::min(person.to, shop.open_to))
            note(problems, field, "a shift that meets the opening hours", "none in common");
    }
}

void check_numbers(const Shop& shop, std::vector<Problem>& problems) {
    if (shop.labour_rate_per_h < 0)
        note(problems, "labour_rate_per_h", "not below zero", std::to_string(shop.labour_rate_per_h));
    if (shop.minimum_charge < 0)
        note(problems, "minimum_charge", "not below zero", std::to_string(shop.minimum_charge));
    if (!(shop.tax_percent >= 0 && shop.tax_percent <= 100))
        note(problems, "tax_percent", "0 to 100", std::to_string(shop.tax_percent));
    if (!std::isnan(shop.waste_percent) && !(shop.waste_percent >= 0 && shop.waste_percent <= 100))
        note(problems, "waste_percent", "0 to 100", std::to_string(shop.waste_percent));
    if (!std::isnan(shop.visit_setup_minutes) &&
        !(shop.visit_setup_minutes >= 0 && shop.visit_setup_minutes <= 1440))
        note(problems, "visit_setup_minutes", "0 to 1440", std::to_string(shop.visit_setup_minutes));
    if (!(shop.bay_temperature >= -40 && shop.bay_temperature <= 60))
        note(problems, "bay_temperature_c", "-40 to 60", std::to_string(shop.bay_temperature));
    for (const auto& [family, price] : shop.package_price)
        if (price < 0) note(problems, "package_price." + family, "not below zero", std::to_string(price));
    detail::check_billing(shop.billing, problems);
}

void check_places(const Shop& shop, std::vector<Problem>& problems) {
    std::set<std::string> ids;
    for (std::size_t i = 0; i < shop.bay_list.size(); ++i)
        if (shop.bay_list[i].id.empty() || !ids.insert(shop.bay_list[i].id).second)
            note(problems, "bay_list[" + std::to_string(i) + "].id", "an id of its own", "\"" + shop.bay_list[i].id + "\"");
    if (shop.ladders < 0 || shop.ladders > 1000) note(problems, "ladders", "0 to 1000", std::to_string(shop.ladders));
    if (shop.platforms < 0 || shop.platforms > 1000)
        note(problems, "platforms", "0 to 1000", std::to_string(shop.platforms));
    const auto names = holiday_rule_names();
    for (std::size_t i = 0; i < shop.holiday_rules.size(); ++i)
        if (std::find(names.begin(), names.end(), shop.holiday_rules[i]) == names.end())
            note(problems, "holiday_rules[" + std::to_string(i) + "]", "a name of holiday_rules", "\"" + shop.holiday_rules[i] + "\"");
}

/// Absences and overtime: somebody of the shop, in time.
void check_times(const Shop& shop, std::vector<Problem>& problems) {
    const auto check = [&](const std::string& field, const std::string& person, std::int64_t from, std::int64_t to) {
        if (std::none_of(shop.people.begin(), shop.people.end(), [&](const Person& one) { return one.id == person; }))
            note(problems, field + ".person", "somebody of the shop", "\"" + person + "\"");
        if (from >= to)
            note(problems, field, "a beginning before the end", std::to_string(from) + " to " + std::to_string(to) + " min");
    };
    for (std::size_t i = 0; i < shop.absences.size(); ++i) {
        const Absence& one = shop.absences[i];
        check("absences[" + std::to_string(i) + "]", one.person, one.from, one.to);
    }
    for (std::size_t i = 0; i < shop.overtime.size(); ++i) {
        const Overtime& one = shop.overtime[i];
        const std::string field = "overtime[" + std::to_string(i) + "]";
        check(field, one.person, one.from, one.to);
        const auto day = [](std::int64_t t) { return t >= 0 ? t / 1440 : -((1439 - t) / 1440); };
        if (one.from < one.to && day(one.from) != day(one.to - 1)) note(problems, field, "within one day", "more than one");
    }
}

/// Sealing in bays without heat, or in all if the shop says that it has a heated one.
bool in_season(const Shop& shop, Date day) {
    return shop.heated_bay || std::find(shop.sealing_months.begin(), shop.sealing_months.end(), year_month_day(day).month) != shop.sealing_months.end();
}

}  // namespace

std::string money_text(Money amount, const std::string& currency) {
    const bool minus = amount < 0;
    const std::uint64_t units =
        minus ? 0 - static_cast<std::uint64_t>(amount) : static_cast<std::uint64_t>(amount);
    std::string text = std::to_string(units);
    const std::size_t digits = static_cast<std::size_t>(minor_digits(currency));
    if (text.size() <= digits) text.insert(0, digits + 1 - text.size(), '0');
    if (digits > 0) text.insert(text.size() - digits, ".");
    return (minus ? "-" : "") + text + " " + currency;
}

std::vector<Bay> bays_of(const Shop& shop) {
    if (!shop.bay_list.empty()) return shop.bay_list;
    std::vector<Bay> bays;
    for (int i = 0; i < shop.bays; ++i)
        bays.push_back({"bay " + std::to_string(i + 1), shop.heated_bay, shop.heated_bay});
    return bays;
}

bool works_on(const Shop& shop, Date day) {
    return shop.working_days[static_cast<std::size_t>(weekday(day))] && !holiday_on(shop, day) &&
           !shop.people.empty();
}

std::string no_sealing_reason(const Shop& shop, Date day) {
    if (const ClosedSpan* span = closed_on(shop, day))
        return "no sealing from " + to_text(span->from) + " to " + to_text(span->to - 1) +
               (span->reason.empty() ? "" : " (" + span->reason + ")");
    const bool heated = std::any_of(shop.bay_list.begin(), shop.bay_list.end(), [](const Bay& bay) { return bay.heated; });
    if (!heated && !in_season(shop, day))
        return std::string("no sealing outdoors in ") + month_name(year_month_day(day).month) + " and no heated bay";
    return "";
}

bool seals_on(const Shop& shop, Date day) { return no_sealing_reason(shop, day).empty(); }

bool seals_on(const Shop& shop, Date day, const Bay& bay) {
    return !closed_on(shop, day) && (bay.heated || in_season(shop, day));
}

void check_shop(const Shop& shop) {
    std::vector<Problem> problems;
    check_people(shop, problems);
    check_numbers(shop, problems);
    check_places(shop, problems);
    check_times(shop, problems);
    if (shop.bays < 1 || shop.bays > 1000) note(problems, "bays", "1 to 1000", std::to_string(shop.bays));
    if (std::none_of(shop.working_days.begin(), shop.working_days.end(), [](bool on) { return on; }))
        note(problems, "working_days", "at least one day", "none");
    if (shop.open_from < 0 || shop.open_to > 1440 || shop.open_from >= shop.open_to)
        note(problems, "hours", "opening before closing, inside one day",
             std::to_string(shop.open_from) + " to " + std::to_string(shop.open_to) + " min");
    if (shop.break_from > shop.break_to || shop.break_from < 0 || shop.break_to > 1440)
        note(problems, "hours", "a break that begins before it ends",
             std::to_string(shop.break_from) + " to " + std::to_string(shop.break_to) + " min");
    for (std::size_t i = 0; i < shop.closed.size(); ++i)
        if (shop.closed[i].from >= shop.closed[i].to)
            note(problems, "closed[" + std::to_string(i) + "]", "a first day before the day after the last",
                 to_text(shop.closed[i].from) + " to " + to_text(shop.closed[i].to));
    for (const int month : shop.sealing_months)
        if (month < 1 || month > 12) note(problems, "sealing_months", "1 to 12", std::to_string(month));
    if (!problems.empty()) {
        if (problems.size() > 50) problems.resize(50);
        throw ValueError(problems);
    }
}

}  // namespace libseal
