// What plans, visits and their days cost, apart from the forecast: due dates are drawn, not computed.
//
//     benchmark_plans_and_visits [COACHES [PLANS [DETAILED]]]      1000, 50 and 0 if not given
//
// PLANS full plans of large coaches with everything due, then the year of COACHES. Prints seconds of processors, the peak of
// memory (Linux only) and a check sum of all plans and of the calendar, which no change of speed may change. All invented.

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "invented_fleet.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "work/planning.hpp"

namespace {

using namespace libseal;
using namespace libseal_benchmark;

/// FNV-1a over texts.
struct CheckSum {
    std::uint64_t value = 14695981039346656037ull;
    void add(const std::string& text) {
        for (const char c : text) value = (value ^ static_cast<unsigned char>(c)) * 1099511628211ull;
    }
};

/// Due dates with a spread, drawn round a life of `years`.
Forecast drawn_forecast(const std::vector<Coach>& coaches, Date as_of, double years) {
    Forecast result;
    result.as_of = as_of;
    result.years = 2;
    std::size_t rows = 0;
    for (const Coach& coach : coaches)
        for (const Joint& joint : coach.joints) rows += joint.layers.size();
    const auto n = static_cast<Eigen::Index>(rows);
    for (auto* column : {&result.age, &result.due_now, &result.due_90_days, &result.due_1_year, &result.due_2_years}) *column = Column::Zero(n);
    for (auto* column : {&result.due_10, &result.due_50, &result.due_90, &result.inspect_by}) *column = DateColumn::Zero(n);
    Eigen::Index row = 0;
    for (std::size_t c = 0; c < coaches.size(); ++c) {
        RandomStream random(c, 3);
        for (const Joint& joint : coaches[c].joints)
            for (const Layer& layer : joint.layers) {
                result.coach.push_back(coaches[c].id);
                result.joint.push_back(joint.id);
                result.layer.push_back(layer.kind);
                result.age(row) = years_between(layer.installed_from, as_of);
                const double left = std::max(-300.0, 365.25 * (years * (0.5 + random.uniform()) - result.age(row))), sd = 200 + 200 * random.uniform();
                const auto chance = [&](double days) { return 0.5 * std::erfc((left - days) / sd / std::sqrt(2.0)); };
                result.due_10(row) = as_of.days + static_cast<int>(left - 1.2815515655446004 * sd);
                result.due_50(row) = as_of.days + static_cast<int>(left);
                result.due_90(row) = as_of.days + static_cast<int>(left + 1.2815515655446004 * sd);
                result.inspect_by(row) = as_of.days + 30 + static_cast<int>(random.below(330));
                result.due_now(row) = chance(0), result.due_90_days(row) = chance(90);
                result.due_1_year(row) = chance(365.25), result.due_2_years(row) = chance(730.5);
                ++row;
            }
    }
    return result;
}

template <class Plan>
void time_plans(const char* name, const std::vector<Coach>& coaches, const std::vector<Finding>& findings, const Forecast& forecast, Date as_of,
                const Plan& plan) {
    CheckSum sum;
    std::size_t tasks = 0, steps = 0, edges = 0;
    double seconds = 0;
    for (const Coach& coach : coaches) {
        const double start = processor_seconds();
        const WorkPlan made = plan(coach, findings, forecast, yard_for(100), as_of, PlanOptions{});
        seconds += processor_seconds() - start;
        tasks += made.tasks.size(), steps += made.steps.size(), edges += made.edges.size();
        sum.add(work_plan_json(made));
    }
    const auto n = static_cast<double>(coaches.size());
    std::printf("%s: %.2f ms of processors each; tasks %.1f  steps %.0f  edges %.0f  check sum %016llx\n", name, 1000 * seconds / n,
                static_cast<double>(tasks) / n, static_cast<double>(steps) / n, static_cast<double>(edges) / n,
                static_cast<unsigned long long>(sum.value));
}

void plans(std::size_t count, Date as_of) {
    if (count == 0) return;
    std::vector<Coach> coaches;
    std::vector<Finding> findings;
    for (std::size_t i = 0; i < count; ++i) {
        LayoutOptions options = layout_options("travel_trailer");
        options.id = "L" + std::to_string(i);
        options.installed_from = options.installed_to = make_date(2012, 1, 10);
        coaches.push_back(travel_trailer(9.1, options));
        if (i % 2 == 0) add_findings(findings, coaches.back(), as_of, i);
    }
    const Forecast forecast = drawn_forecast(coaches, as_of, 5);
    std::printf("coach of %zu joints\n", coaches.front().joints.size());
    time_plans("plan_work", coaches, findings, forecast, as_of, plan_work);
    time_plans("quick_plan", coaches, findings, forecast, as_of, detail::quick_plan);
}

void year(std::size_t count, int detailed, Date as_of) {
    if (count == 0) return;
    Fleet fleet;
    CalendarOptions options;
    options.detailed_coaches = detailed;
    std::size_t joints = 0;
    for (std::size_t i = 0; i < count; ++i) {
        fleet.coaches.push_back(coach_made(i));
        joints += fleet.coaches.back().joints.size();
        if (i % 10 == 0) add_findings(options.findings, fleet.coaches.back(), as_of, i);
    }
    const Forecast forecast = drawn_forecast(fleet.coaches, as_of, 11);
    std::printf("coaches %zu  joints %zu  peak %.0f MB\n", count, joints, peak_megabytes());
    const double start = processor_seconds();
    std::string phase;
    options.watch.progress = [&](const Progress& now) {
        if (now.stage == phase) return;
        phase = now.stage;
        std::printf("  %7.2f s of processors  %5.0f MB  %s\n", processor_seconds() - start, peak_megabytes(), phase.c_str());
    };
    const Calendar calendar = year_calendar(fleet, 2027, yard_for(count), forecast, options);
    const double seconds = processor_seconds() - start;
    std::size_t tasks = 0, work = 0, late = 0;
    for (const Visit& visit : calendar.visits) {
        tasks += visit.tasks.size();
        work += visit.kind == "work" ? 1 : 0;
        for (const VisitTask& task : visit.tasks) late += task.late ? 1 : 0;
    }
    CheckSum sum;
    sum.add(calendar.json_text());
    std::printf("year: %.2f s, %.2f ms of processors a coach; peak %.0f MB; work visits %zu  inspections %zu  tasks %zu  late %zu  unplaced %zu\n",
                seconds, 1000 * seconds / static_cast<double>(count), peak_megabytes(), work, calendar.visits.size() - work, tasks, late,
                calendar.unplaced.size());
    std::printf("moving cost %.0f  bound %.0f  gap %.3f %%  check sum %016llx\n", calendar.moving_cost, calendar.bound, 100 * calendar.gap,
                static_cast<unsigned long long>(sum.value));
}

}  // namespace

int main(int argc, char** argv) {
    const auto argument = [&](int i, std::size_t usual) { return argc > i ? static_cast<std::size_t>(std::atoll(argv[i])) : usual; };
    try {
        const Date as_of = make_date(2026, 11, 25);
        plans(argument(2, 50), as_of);
        year(argument(1, 1000), static_cast<int>(argument(3, 0)), as_of);
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
