// The year of a large fleet: coaches of several kinds at 50 stations, made by the layouts; one in ten was looked at.
//
//     benchmark_year_calendar [COACHES]      10000 if not given
//
// Prints coaches, joints, seconds of wall time and the peak of memory (Linux only). Invented coaches and findings.

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "libseal/calendar/year.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"

namespace {

using namespace libseal;

double seconds_since(std::chrono::steady_clock::time_point begin) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// Largest memory in use so far [MB]; 0 where the system does not say.
double peak_megabytes() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.rfind("VmHWM:", 0) == 0) return std::strtod(line.c_str() + 6, nullptr) / 1024;
    return 0;
}

constexpr int stations = 50;

Coach coach_made(std::size_t i) {
    static const std::vector<std::string> layouts = layout_names();
    RandomStream random(i, 1);
    const std::string& layout = layouts[random.below(layouts.size())];
    LayoutOptions options = layout_options(layout);
    options.id = "C" + std::to_string(100000 + i);
    options.model_year = static_cast<int>(2014 + random.below(12));
    options.model_line = layout + " " + std::to_string(1 + random.below(6));
    options.installed_from = options.installed_to = make_date(options.model_year, 1 + static_cast<int>(random.below(12)), 10);
    double low = 0, high = 0;
    for (const OptionRange& range : layout_ranges(layout))
        if (range.option == "length") low = range.low, high = range.high;
    const double length = low + (high - low) * (0.3 + 0.1 * static_cast<double>(random.below(6)));
    Coach coach = layout == "fifth_wheel"    ? fifth_wheel(length, options)
                  : layout == "motorhome"    ? motorhome(length, options)
                  : layout == "camper_van"   ? camper_van(length, options)
                  : layout == "truck_camper" ? truck_camper(length, options)
                                             : travel_trailer(length, options);
    Stay stay;
    stay.from = options.installed_from;
    stay.to = make_date(9999, 1, 1);
    stay.place = "home";
    stay.station = station_at(random.below(stations) * (station_count() / stations)).id;
    stay.heading = 45.0 * static_cast<double>(random.below(8));
    stay.cover = random.below(4) == 0 ? "carport" : "open";
    coach.stays = {stay};
    return coach;
}

void add_findings(std::vector<Finding>& findings, const Coach& coach, Date day, std::size_t i) {
    static const char* signs[] = {"skin_cracks", "edge_lift", "worn_thin", "clean_look", "hardened", "gap"};
    static const char* sizes[] = {"slight", "clear", "severe"};
    RandomStream random(i, 2);
    for (int k = 0; k < 4; ++k) {
        Finding finding;
        finding.coach = coach.id;
        finding.joint = coach.joints[random.below(coach.joints.size())].id;
        finding.sign = signs[random.below(6)];
        finding.size = sizes[random.below(3)];
        finding.share = 0.05 + 0.3 * random.uniform();
        finding.date = day - 20;
        findings.push_back(finding);
    }
}

/// A yard with as many people and bays as the fleet asks for.
Shop shop_for(std::size_t coaches) {
    Shop shop;
    shop.name = "benchmark";
    shop.labour_rate_per_h = 15000;
    shop.bays = static_cast<int>(coaches / 60 + 2);
    shop.heated_bay = true;
    for (int i = 0; i < shop.bays; ++i) shop.people.push_back({"p" + std::to_string(i), {}, 480, 1020});
    shop.package_price = {{"self_levelling_lap", 1350}, {"non_sag_lap", 1200}, {"butyl_tape", 1100}};
    return shop;
}

}  // namespace

int main(int argc, char** argv) {
    const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::atoll(argv[1])) : 10000;
    try {
        const Date as_of = make_date(2026, 11, 25);
        const auto begin = std::chrono::steady_clock::now();
        Fleet fleet;
        fleet.coaches.reserve(count);
        CalendarOptions options;
        std::size_t joints = 0;
        for (std::size_t i = 0; i < count; ++i) {
            fleet.coaches.push_back(coach_made(i));
            joints += fleet.coaches.back().joints.size();
            if (i % 10 == 0) add_findings(options.findings, fleet.coaches.back(), as_of, i);
        }
        std::printf("coaches %zu  joints %zu  made in %.2f s  peak %.0f MB\n", count, joints, seconds_since(begin), peak_megabytes());
        const Shop shop = shop_for(count);
        const auto start = std::chrono::steady_clock::now();
        std::string phase;
        options.watch.progress = [&](const Progress& now) {
            if (now.stage == phase) return;
            phase = now.stage;
            std::printf("  %7.2f s  %5.0f MB  %s\n", seconds_since(start), peak_megabytes(), phase.c_str());
        };
        const Calendar calendar = year_calendar(fleet, 2027, shop, as_of, options);
        const double seconds = seconds_since(start);
        std::size_t tasks = 0, work = 0, late = 0;
        for (const Visit& visit : calendar.visits) {
            tasks += visit.tasks.size();
            work += visit.kind == "work" ? 1 : 0;
            for (const VisitTask& task : visit.tasks) late += task.late ? 1 : 0;
        }
        std::printf("calendar in %.2f s  peak %.0f MB  work visits %zu  inspections %zu  tasks %zu  late %zu  unplaced %zu\n", seconds,
                    peak_megabytes(), work, calendar.visits.size() - work, tasks, late, calendar.unplaced.size());
        std::printf("moving cost %.0f  bound %.0f  gap %.3f %%\n", calendar.moving_cost, calendar.bound, 100 * calendar.gap);
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
