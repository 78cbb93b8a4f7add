// Packages by week.

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/work_order.hpp"

namespace libseal {
namespace {

void add(std::vector<Material>& all, const Material& more) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const Material& m) { return m.family == more.family; });
    if (at == all.end()) {
        all.push_back(more);
        return;
    }
    at->volume_ml += more.volume_ml;
    at->length_m += more.length_m;
    at->ordered += more.ordered;
    at->priced = at->priced && more.priced;
}

/// Whole packages for the sum; the price of a package is that of the orders.
void to_packages(Material& material) {
    // Not by the price of one: with a markup the cents of an order need not divide by its packages.
    const double single = material.packages > 0 ? static_cast<double>(material.cost) / material.packages : 0;
    material.packages = packages_for(material.ordered, material.package_size, 0);
    material.cost = static_cast<Money>(std::llround(single * material.packages));
    const double amount = material.volume_ml > 0 ? material.volume_ml : material.length_m;
    material.waste_percent = amount > 0 ? 100 * (material.ordered / amount - 1) : 0;
}

void add(std::vector<Supply>& all, const Supply& more) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const Supply& s) { return s.name == more.name; });
    if (at == all.end()) all.push_back(more);
    else at->amount += more.amount;
}

}  // namespace

std::pair<int, int> iso_week(Date day) {
    const Date thursday = day + (3 - weekday(day));  // of the same week
    const int year = year_month_day(thursday).year;
    return {year, (day_of_year(thursday) - day_of_year(make_date(year, 1, 1))) / 7 + 1};
}

std::vector<WeekParts> parts_list(const std::vector<WorkOrder>& orders) {
    std::map<std::pair<int, int>, WeekParts> weeks;
    for (const WorkOrder& order : orders) {
        const std::pair<int, int> week = order.timed ? iso_week(order.first) : std::pair<int, int>{0, 0};
        WeekParts& parts = weeks[week];
        parts.year = week.first;
        parts.week = week.second;
        if (order.timed) parts.monday = order.first - weekday(order.first);
        if (std::find(parts.coaches.begin(), parts.coaches.end(), order.coach) == parts.coaches.end()) parts.coaches.push_back(order.coach);
        for (const Material& material : order.materials) add(parts.materials, material);
        for (const Supply& supply : order.supplies) add(parts.supplies, supply);
    }
    std::vector<WeekParts> result;
    for (auto& [week, parts] : weeks) {
        for (Material& material : parts.materials) to_packages(material);
        std::sort(parts.coaches.begin(), parts.coaches.end());
        std::sort(parts.materials.begin(), parts.materials.end(), [](const Material& a, const Material& b) { return a.family < b.family; });
        std::sort(parts.supplies.begin(), parts.supplies.end(), [](const Supply& a, const Supply& b) { return a.name < b.name; });
        result.push_back(std::move(parts));
    }
    return result;
}

std::string parts_csv(const std::vector<WeekParts>& weeks) {
    std::string text = csv_line({"year", "week", "monday", "name", "amount", "unit", "packages", "package_size", "coaches"});
    for (const WeekParts& week : weeks) {
        std::string coaches;
        for (const auto& coach : week.coaches) coaches += (coaches.empty() ? "" : "; ") + coach;
        const std::string monday = week.week > 0 ? to_text(week.monday) : "";
        for (const Material& m : week.materials)
            text += csv_line({std::to_string(week.year), std::to_string(week.week), monday, m.family, number_text(m.ordered, 3), m.volume_ml > 0 ? "mL" : "m",
                              std::to_string(m.packages), number_text(m.package_size), coaches});
        for (const Supply& s : week.supplies)
            text += csv_line({std::to_string(week.year), std::to_string(week.week), monday, s.name, number_text(s.amount, 1), s.unit, "", "", coaches});
    }
    return text;
}

}  // namespace libseal
