// The year of a large fleet: coaches of several kinds at 50 stations, made by the layouts; one in ten was looked at.
//
//     benchmark_year_calendar [COACHES]      10000 if not given
//
// Prints coaches, joints, seconds of wall time and the peak of memory (Linux only). Invented coaches and findings.

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "invented_fleet.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/core/error.hpp"

namespace {

using namespace libseal;
using namespace libseal_benchmark;

double seconds_since(std::chrono::steady_clock::time_point begin) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

}  // namespace

int main(int argc, char** argv) {
    const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::atoll(argv[1])) : 10000;
    try {
        const Date as_of = make_date(2026, 11, 25);
        const auto begin = std::chrono::steady_clock::now();
        const InventedFleet invented(count, as_of);
        const Fleet& fleet = invented.fleet;
        CalendarOptions options;
        options.findings = invented.findings;
        std::printf("coaches %zu  joints %zu  made in %.2f s  peak %.0f MB\n", count, invented.joints, seconds_since(begin), peak_megabytes());
        const Shop shop = yard_for(count);
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
