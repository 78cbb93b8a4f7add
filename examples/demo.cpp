// The main job: an invented fleet, its inspection findings and typical weather become next year's calendar.
// Usage: demo [data folder] [output folder]. examples/demo.py does the same and adds the page.

#include <cstdio>
#include <filesystem>
#include <string>

#include "libseal/calendar/year.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/work/shop.hpp"

int main(int argc, char** argv) {
    const std::filesystem::path data = argc > 1 ? argv[1] : "examples/data";
    const std::filesystem::path output = argc > 2 ? argv[2] : "examples/output";
    try {
        const auto as_of = libseal::parse_date("2026-11-25");
        const auto fleet = libseal::read_fleet((data / "fleet.json").string());
        const auto shop = libseal::read_shop((data / "shop.json").string());
        libseal::CalendarOptions options;
        options.findings = libseal::read_findings((data / "findings.csv").string());
        options.work_done = libseal::read_work_done((data / "work_done.csv").string());

        const auto calendar = libseal::year_calendar(fleet, 2027, shop, as_of, options);

        std::filesystem::create_directories(output);
        calendar.write_ics((output / "calendar.ics").string());
        calendar.write_csv((output / "calendar.csv").string());
        calendar.write_json((output / "calendar.json").string());
        std::printf("%zu coaches, %zu visits in 2027, %zu without a place; calendar in %s\n", fleet.coaches.size(),
                    calendar.visits.size(), calendar.unplaced.size(), output.string().c_str());
        for (const auto& visit : calendar.visits)
            std::printf("%s  %-5s  %-10s  %s\n", libseal::to_text(visit.first).c_str(), visit.coach.c_str(), visit.kind.c_str(),
                        visit.why.c_str());
    } catch (const libseal::Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
