#include "support/fixed_job.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/schedule/project.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/work/shop.hpp"
#include "support/bit_print.hpp"

namespace libseal_test {
namespace {

using namespace libseal;

const Date first_day = make_date(2027, 3, 1);

template <class Options>
Options set(const JobSetting& setting) {
    Options options;
    options.threads = setting.threads;
    options.watch = setting.watch;
    options.session = setting.session;
    return options;
}

Forecast forecast_of(const JobInputs& in, const JobSetting& setting) {
    auto options = set<ForecastOptions>(setting);
    options.findings = in.findings;
    options.work_done = in.work_done;
    return forecast(in.fleet, in.as_of, 5, options);
}

WorkPlan plan_of(const JobInputs& in, const Coach& coach, const JobSetting& setting) {
    PlanOptions options;
    options.watch = setting.watch;
    options.due_before = make_date(2027, 12, 31);
    std::vector<Finding> own;
    for (const Finding& finding : in.findings)
        if (finding.coach == coach.id) own.push_back(finding);
    return plan_work(coach, own, in.forecast, in.shop, in.as_of, options);
}

/// Layers of four families on two surfaces at two stations, with looks. Synthetic.
LayerColumns layers_of(Date as_of, Eigen::Index count) {
    LayerColumns layers;
    layers.stations = {find_station("722780"), find_station("725350")};
    for (int station = 0; station < 2; ++station)
        for (const char* family : {"self_levelling_lap", "non_sag_lap", "polyurethane", "neutral_cure_silicone"}) {
            LayerKey key;
            key.station = station;
            key.tilt = 45.0 * station;
            key.azimuth = 180;
            key.family = family;
            layers.keys.push_back(key);
        }
    RandomStream random(3);
    layers.key.resize(count), layers.installed.resize(count), layers.movement_factor.resize(count);
    layers.length = Column::Constant(count, 2);
    layers.look_row.resize(2 * count), layers.look_date.resize(2 * count), layers.look_grade.resize(2 * count);
    for (Eigen::Index i = 0; i < count; ++i) {
        layers.key[i] = static_cast<std::int32_t>(random.below(layers.keys.size()));
        layers.installed[i] = as_of.days - 750 - static_cast<std::int32_t>(random.below(12 * 365));
        layers.movement_factor[i] = 0.5 + random.uniform();
        for (Eigen::Index look = 2 * i; look < 2 * i + 2; ++look) {
            const auto nth = static_cast<std::int32_t>(look - 2 * i);
            layers.look_row[look] = static_cast<std::int32_t>(i);
            layers.look_date[look] = as_of.days - 700 + 300 * nth;
            layers.look_grade[look] = nth + static_cast<std::int32_t>(random.below(3));
        }
    }
    return layers;
}

std::uint64_t read_files(const JobInputs& in, const JobSetting&) {
    BitPrint print;
    print.add(fleet_json(read_fleet(in.folder + "/fleet.json"))).add(fleet_json(read_fleet(in.folder + "/history_fleet.csv")));
    print.add(findings_json(read_findings(in.folder + "/findings.csv"))).add(read_work_done(in.folder + "/work_done.csv").size());
    return print.add(read_shop(in.folder + "/shop.json").name).value();
}

std::uint64_t weather(const JobInputs& in, const JobSetting&) {
    return BitPrint().add(weather_csv(typical_year(in.layers.stations[0], 7))).value();
}

std::uint64_t print_of(const Forecast& f) {
    BitPrint print;
    for (const Column* column : {&f.age, &f.effective_age, &f.condition, &f.due_now, &f.due_90_days, &f.due_1_year, &f.due_2_years, &f.due_5_years, &f.open_now, &f.open_1_year,
                                 &f.appearance, &f.share_light, &f.share_heat, &f.share_moisture, &f.share_movement, &f.share_workmanship, &f.share_shared, &f.movement_factor,
                                 &f.shared_factor, &f.utilisation, &f.early_defect})
        print.add(*column);
    for (const DateColumn* column : {&f.due_10, &f.due_50, &f.due_90, &f.inspect_by}) print.add(*column);
    for (const auto* texts : {&f.coach, &f.joint, &f.layer, &f.family, &f.flag}) print.add(*texts);
    return print.add(f.generation).value();
}

std::uint64_t forecasts(const JobInputs& in, const JobSetting& setting) { return print_of(forecast_of(in, setting)); }

std::uint64_t curves(const JobInputs& in, const JobSetting&) {
    std::vector<Eigen::Index> some;  // all of them would be most of the job's time
    for (Eigen::Index row = 0; row < in.forecast.size(); row += 1 + in.forecast.size() / 12) some.push_back(row);
    const ForecastCurves curves = in.forecast.monthly(some);
    const LayerStates states = in.forecast.states({});
    BitPrint print;
    print.add(curves.due).add(curves.condition).add(curves.open).add(in.forecast.posteriors_json());
    for (const Column* column : {&states.crack_rating, &states.capability_left, &states.utilisation, &states.bond_left, &states.compression_set, &states.shrinkage, &states.squeezed_out})
        print.add(*column);
    return print.value();
}

std::uint64_t layers(const JobInputs& in, const JobSetting& setting) {
    const LayerForecast f = forecast_layers(in.layers, in.as_of, set<LayerOptions>(setting));
    BitPrint print;
    for (const Column* column : {&f.age, &f.effective_age, &f.condition, &f.due_now, &f.due_90_days, &f.due_1_year, &f.due_2_years, &f.due_5_years}) print.add(*column);
    return print.add(f.due_10).add(f.due_50).add(f.due_90).value();
}

std::uint64_t plans(const JobInputs& in, const JobSetting& setting) {
    BitPrint print;
    for (const Coach& coach : in.fleet.coaches) print.add(work_plan_json(plan_of(in, coach, setting)));
    return print.value();
}

std::uint64_t schedules(const JobInputs& in, const JobSetting& setting) {
    ScheduleOptions options;
    options.work_limit = 30;
    options.watch = setting.watch;
    return BitPrint().add(schedule_json(schedule(in.bookings, in.shop, first_day, options), in.bookings, in.shop)).value();
}

/// Forty tasks in layers on two scarce resources. Synthetic.
std::uint64_t project(const JobInputs&, const JobSetting& setting) {
    RandomStream random(11);
    std::vector<int> durations;
    std::vector<std::vector<int>> successors, demands;
    const auto draw = [&](std::uint64_t below) { return static_cast<int>(random.below(below)); };
    for (int i = 0; i < 40; ++i) {
        durations.push_back(1 + draw(9));
        demands.push_back({1 + draw(4), draw(4)});
        successors.emplace_back();
        for (int k = 0; k < 2 && i < 36; ++k) successors.back().push_back(i + 1 + draw(3));
    }
    ProjectOptions options;
    options.work_limit = 3000;
    options.threads = setting.threads;
    options.watch = setting.watch;
    const ProjectResult result = solve_project(durations, successors, demands, {6, 5}, options);
    return BitPrint().add(result.start).add(result.makespan).add(result.lower_bound).add(result.stopped).add(result.schedules).value();
}

std::uint64_t calendars(const JobInputs& in, const JobSetting& setting) {
    auto options = set<CalendarOptions>(setting);
    options.findings = in.findings;
    options.work_done = in.work_done;
    const Calendar calendar = year_calendar(in.fleet, 2027, in.shop, in.as_of, options);
    return BitPrint().add(calendar.ics_text()).add(calendar.csv_text()).add(calendar.json_text()).value();
}

std::uint64_t leak(const JobInputs& in, const JobSetting&) {
    Stain stain;
    stain.surface = "roof";
    stain.at = {2.0, 0.4};
    const LeakTrace trace = trace_leak(in.fleet.coaches[0], stain, {}, in.forecast);
    BitPrint print;
    for (const LeakCandidate& one : trace.candidates) print.add(one.joint).add(one.probability).add(one.open).add(one.before).add(one.reasons);
    for (const OtherCause& other : trace.others) print.add(other.name).add(other.probability);
    return print.add(trace.evidence).value();
}

/// Weibull lives of thirty groups with two covariates, seen in yearly looks. Synthetic.
std::uint64_t life_fits(const JobInputs&, const JobSetting& setting) {
    constexpr Eigen::Index count = 600;
    RandomStream random(5);
    Column lower(count), upper(count);
    FitOptions options;
    options.threads = setting.threads;
    options.covariates.resize(count, 2);
    for (Eigen::Index i = 0; i < count; ++i) {
        options.covariates(i, 0) = random.uniform(), options.covariates(i, 1) = random.normal();
        const double t = 9 * std::exp(0.3 * options.covariates(i, 0)) * std::pow(-std::log(1 - random.uniform()), 1 / 2.5);
        lower[i] = std::min(std::floor(t), 12.0);
        upper[i] = t < 12 ? lower[i] + 1 : std::numeric_limits<double>::infinity();
        options.groups.push_back("g" + std::to_string(i % 30));
    }
    BitPrint print;
    for (const char* distribution : {"weibull", "lognormal", "loglogistic"}) {
        options.distribution = distribution;
        const LifeFit fit = fit_life(lower, upper, options);
        for (const auto& [name, value] : fit.parameters()) print.add(name).add(value);
        print.add(fit.covariance()).add(fit.log_likelihood()).add(fit.quantile(0.1, Column::Zero(2)));
        options.groups.clear();  // the others by the faster loops of records on their own
    }
    const FitLimits limits = fit_life(lower, upper).limits("shape");
    return print.add(limits.low.value).add(limits.estimate).add(limits.high.value).value();
}

}  // namespace

JobInputs job_inputs(const std::string& folder, const JobSetting& setting, std::size_t coaches, std::size_t joints) {
    JobInputs in;
    in.folder = folder;
    in.as_of = make_date(2026, 11, 25);
    in.fleet = read_fleet(folder + "/fleet.json");
    in.shop = read_shop(folder + "/shop.json");
    in.findings = read_findings(folder + "/findings.csv");
    in.work_done = read_work_done(folder + "/work_done.csv");
    if (coaches) in.fleet.coaches.resize(std::min(coaches, in.fleet.coaches.size()));
    if (joints)
        for (Coach& coach : in.fleet.coaches) coach.joints.resize(std::min(joints, coach.joints.size()));
    const auto has = [&](const std::string& id, const std::string& joint) {
        return std::any_of(in.fleet.coaches.begin(), in.fleet.coaches.end(), [&](const Coach& coach) {
            return coach.id == id && std::any_of(coach.joints.begin(), coach.joints.end(), [&](const Joint& one) { return one.id == joint; });
        });
    };
    if (coaches || joints) {
        std::erase_if(in.findings, [&](const Finding& finding) { return !has(finding.coach, finding.joint); });
        std::erase_if(in.work_done, [&](const WorkDone& work) { return !has(work.coach, work.joint); });
    }
    in.forecast = forecast_of(in, setting);
    in.layers = layers_of(in.as_of, coaches ? 40 : 400);
    for (const Coach& coach : in.fleet.coaches) {
        Booking booking;
        booking.plan = plan_of(in, coach, setting);
        in.bookings.push_back(booking);
    }
    return in;
}

std::vector<JobPart> job_parts() {
    return {{"read_files", read_files}, {"weather", weather}, {"forecast", forecasts}, {"curves", curves}, {"layers", layers}, {"plan", plans}, {"schedule", schedules},
            {"project", project}, {"calendar", calendars}, {"leak", leak}, {"life_fit", life_fits}};
}

}  // namespace libseal_test
