// wrong_input SHOP_FILE: every call of the front door with input that is wrong. Each must throw a libseal::Error that says something; anything else, and a
// call that takes the input for right, is a line on standard output and the exit code 1. `main` is noexcept: what escapes ends the program.

#include <cstdio>
#include <exception>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "libseal/ageing/joint_width.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/sky.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/climate/ultraviolet.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/exposure/surface_temperature.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/leak/trace.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/life/intervals.hpp"
#include "libseal/life/lognormal.hpp"
#include "libseal/life/weibull.hpp"
#include "libseal/schedule/project.hpp"
#include "libseal/schedule/schedule.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/tuning/weak_spots.hpp"
#include "libseal/work/plan.hpp"
#include "libseal/work/shop.hpp"

using namespace libseal;

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();
const std::string absent = "no/such/file";

struct Wrong {
    const char* call;
    const char* what;
    std::function<void()> run;
};

/// What right calls need, made once.
struct Inputs {
    Weather weather = typical_year(find_station(41.7, -86.3));
    Weather uneven = weather;
    Coach coach;
    Fleet twice;
    Date day = make_date(2026, 11, 25);
    Shop shop;
    Forecast known;
    InstantColumn times = InstantColumn::Constant(1, 1066419030);
    Column series = Column::Constant(5, nan);

    explicit Inputs(const std::string& shop_file) : shop(read_shop(shop_file)) {
        LayoutOptions built = layout_options("travel_trailer");
        built.model_year = 2018;
        coach = travel_trailer(8.0, built);
        Stay stay;
        stay.from = make_date(2017, 7, 1);
        stay.to = make_date(9999, 12, 31);
        stay.place = "home";
        stay.station = "south bend";
        coach.stays = {stay};
        known = forecast(coach, day, 5);
        uneven.ghi = Column::Constant(3, 100.0);
        twice.coaches = {coach, coach};
    }
};

void climate(std::vector<Wrong>& all, const Inputs& in) {
    all.push_back({"read_weather", "absent", [] { read_weather(absent); }});
    all.push_back({"read_weather", "empty name", [] { read_weather(""); }});
    all.push_back({"read_weather", "a folder", [] { read_weather("."); }});
    all.push_back({"find_station", "not a number", [] { find_station(nan, 0); }});
    all.push_back({"find_station", "beyond the pole", [] { find_station(91, 0); }});
    all.push_back({"find_station", "unknown name", [] { find_station("no such place"); }});
    all.push_back({"find_station", "empty name", [] { find_station(""); }});
    all.push_back({"typical_year", "an empty station", [] { typical_year(Station{}); }});
    all.push_back({"sun_position", "beyond the pole", [&] { sun_position(in.times, -91, 0); }});
    all.push_back({"sun_position", "not a number", [&] { sun_position(in.times, 40, nan); }});
    for (const double tilt : {nan, -1.0, 181.0}) {
        all.push_back({"plane_irradiance", "tilt", [&in, tilt] { plane_irradiance(in.weather, tilt, 180); }});
        all.push_back({"ultraviolet", "tilt", [&in, tilt] { ultraviolet(in.weather, tilt, 180); }});
        all.push_back({"surface_temperature", "tilt", [&in, tilt] { surface_temperature(in.weather, tilt, 180, 0.5); }});
    }
    all.push_back({"plane_irradiance", "albedo", [&] { plane_irradiance(in.weather, 0, 180, 2); }});
    all.push_back({"plane_irradiance", "uneven columns", [&] { plane_irradiance(in.uneven, 0, 180); }});
    all.push_back({"ultraviolet", "azimuth", [&] { ultraviolet(in.weather, 0, infinite); }});
    all.push_back({"ultraviolet", "uneven columns", [&] { ultraviolet(in.uneven, 0, 180); }});
    all.push_back({"surface_temperature", "absorptance", [&] { surface_temperature(in.weather, 0, 180, -0.1); }});
    all.push_back({"surface_temperature", "uneven columns", [&] { surface_temperature(in.uneven, 0, 180, 0.5); }});
}

void readers_and_laws(std::vector<Wrong>& all, const Inputs& in) {
    for (const std::string& path : {absent, std::string(), std::string(".")}) {
        all.push_back({"read_coach", "no such file", [path] { read_coach(path); }});
        all.push_back({"read_fleet", "no such file", [path] { read_fleet(path); }});
        all.push_back({"read_findings", "no such file", [path] { read_findings(path); }});
        all.push_back({"read_work_done", "no such file", [path] { read_work_done(path); }});
        all.push_back({"read_shop", "no such file", [path] { read_shop(path); }});
    }
    all.push_back({"rainflow", "not a number", [&] { rainflow(in.series); }});
    all.push_back({"joint_width", "capability", [] { joint_width(2, 0); }});
    all.push_back({"joint_width", "not a number", [] { joint_width(nan, 25); }});
    for (const double wrong : {nan, 0.0, -1.0, infinite}) {
        all.push_back({"Weibull", "scale", [wrong] { Weibull(wrong, 2); }});
        all.push_back({"Weibull", "shape", [wrong] { Weibull(2, wrong); }});
        all.push_back({"Lognormal", "median", [wrong] { Lognormal(wrong, 2); }});
        all.push_back({"Lognormal", "sigma", [wrong] { Lognormal(2, wrong); }});
    }
    all.push_back({"fit_life", "lengths", [] { fit_life(Column::Constant(3, 1.0), Column::Constant(2, 1.0)); }});
    all.push_back({"fit_life", "not a number", [&] { fit_life(in.series, in.series); }});
    all.push_back({"fit_life", "upper below lower", [] { fit_life(Column::Constant(3, 2.0), Column::Constant(3, 1.0)); }});
    all.push_back({"fit_life", "distribution", [] { FitOptions options; options.distribution = "normal"; fit_life(Column::Constant(3, 1.0), Column::Constant(3, 1.0), options); }});
    const LifeLaw life = Weibull(4, 2.5);
    for (const double wrong : {nan, -1.0}) {
        all.push_back({"best_replacement_age", "cost", [life, wrong] { best_replacement_age(life, wrong, 5); }});
        all.push_back({"best_inspection_interval", "rate", [life, wrong] { best_inspection_interval(wrong, life, 0.8, 1, 2, 9); }});
        all.push_back({"best_inspection_interval", "detection", [life, wrong] { best_inspection_interval(0.1, life, wrong, 1, 2, 9); }});
    }
}

void forecasts(std::vector<Wrong>& all, const Inputs& in) {
    for (const double years : {nan, -1.0, infinite}) all.push_back({"forecast", "years", [&in, years] { forecast(in.coach, in.day, years); }});
    all.push_back({"forecast", "an empty coach", [&] { forecast(Coach{}, in.day, 5); }});
    all.push_back({"forecast", "one id twice", [&] { forecast(in.twice, in.day, 5); }});
    all.push_back({"forecast", "a finding of another coach", [&] {
        ForecastOptions options;
        options.findings.resize(1);
        forecast(in.coach, in.day, 5, options);
    }});
    all.push_back({"plan_work", "joint", [&] { PlanOptions options; options.joints = {"no_such_joint"}; plan_work(in.coach, {}, in.known, in.shop, in.day, options); }});
    all.push_back({"trace_leak", "an empty stain", [&] { trace_leak(in.coach, Stain{}, {}, in.known); }});
    all.push_back({"trace_leak", "no stain", [&] { trace_leak(in.coach, std::vector<Stain>{}, {}, in.known); }});
    all.push_back({"trace_leak", "place", [&] { Stain stain; stain.surface = "street_wall"; stain.at = {nan, 0}; trace_leak(in.coach, stain, {}, in.known); }});
    all.push_back({"trace_leak", "a forecast of nothing", [&] { Stain stain; stain.surface = "street_wall"; stain.at = {2, 1}; trace_leak(in.coach, stain, {}, Forecast{}); }});
    all.push_back({"weak_spots", "alpha", [] { WeakSpotOptions options; options.alpha = nan; weak_spots(LifeRecords{}, options); }});
    all.push_back({"weak_spots", "uneven columns", [] { LifeRecords history; history.lower = Column::Constant(2, 1.0); weak_spots(history); }});
}

void plans(std::vector<Wrong>& all, const Inputs& in) {
    all.push_back({"schedule", "effort", [&] { ScheduleOptions options; options.work_limit = 0; schedule(WorkPlan{}, in.shop, in.day, options); }});
    all.push_back({"schedule", "a shop without people", [&] { schedule(std::vector<Booking>(1), Shop{}, in.day); }});
    all.push_back({"solve_project", "lengths", [] { solve_project({1, 2}, {{1}}, {{1}, {1}}, {1}); }});
    all.push_back({"solve_project", "a circle", [] { solve_project({1, 2}, {{1}, {0}}, {{1}, {1}}, {1}); }});
    all.push_back({"solve_project", "duration", [] { solve_project({-1}, {{}}, {{1}}, {1}); }});
    all.push_back({"solve_project", "unknown successor", [] { solve_project({1}, {{7}}, {{1}}, {1}); }});
    for (const int year : {0, -5, 2025, std::numeric_limits<int>::max()})
        all.push_back({"year_calendar", "year", [&in, year] { year_calendar(Fleet{{in.coach}}, year, in.shop, in.day); }});
    all.push_back({"year_calendar", "one id twice", [&] { year_calendar(in.twice, 2027, in.shop, in.day); }});
}

/// True if the call threw what it should.
bool refused(const Wrong& wrong) {
    try {
        wrong.run();
        std::printf("WRONG %s, %s: taken for right\n", wrong.call, wrong.what);
    } catch (const Error& error) {
        if (!error.problems().empty() && *error.what()) {
            std::printf("%s, %s: %s\n", wrong.call, wrong.what, error.what());
            return true;
        }
        std::printf("WRONG %s, %s: an error without a word\n", wrong.call, wrong.what);
    } catch (const std::exception& error) {
        std::printf("WRONG %s, %s: no error of the library: %s\n", wrong.call, wrong.what, error.what());
    } catch (...) {
        std::printf("WRONG %s, %s: something that is no exception of C++\n", wrong.call, wrong.what);
    }
    return false;
}

}  // namespace

int main(int, char** argument) noexcept {
    const Inputs inputs(argument[1]);
    std::vector<Wrong> all;
    climate(all, inputs);
    readers_and_laws(all, inputs);
    forecasts(all, inputs);
    plans(all, inputs);
    int failures = 0;
    for (const Wrong& wrong : all) failures += refused(wrong) ? 0 : 1;
    return failures == 0 ? 0 : 1;
}
