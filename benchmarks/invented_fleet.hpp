#pragma once
// A large fleet for the benchmarks and its yard: coaches of several kinds at 50 stations, made by the layouts, some 60 joints
// each; one in ten was looked at. All invented.

#include <ctime>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "libseal/climate/station.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/random.hpp"
#include "libseal/survey/finding.hpp"
#include "libseal/work/shop.hpp"

namespace libseal_benchmark {

using namespace libseal;

/// Largest memory in use so far [MB]; 0 where the system does not say.
inline double peak_megabytes() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.rfind("VmHWM:", 0) == 0) return std::strtod(line.c_str() + 6, nullptr) / 1024;
    return 0;
}

/// Processor time of all threads since the program began [s].
inline double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

constexpr int stations = 50;

inline Coach coach_made(std::size_t i) {
    // The smaller kinds twice, so that a coach has some 60 joints.
    static const std::vector<std::string> layouts{"travel_trailer", "fifth_wheel",  "motorhome",   "camper_van",
                                                  "camper_van",     "truck_camper", "truck_camper"};
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

inline void add_findings(std::vector<Finding>& findings, const Coach& coach, Date day, std::size_t i) {
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

/// Coaches 0 to `count` and what was seen of every tenth of them.
struct InventedFleet {
    InventedFleet(std::size_t count, Date as_of) {
        fleet.coaches.reserve(count);
        for (std::size_t i = 0; i < count; ++i) {
            fleet.coaches.push_back(coach_made(i));
            joints += fleet.coaches.back().joints.size();
            if (i % 10 == 0) add_findings(findings, fleet.coaches.back(), as_of, i);
        }
    }
    Fleet fleet;
    std::vector<Finding> findings;
    std::size_t joints = 0;
};

/// A yard with as many people and bays as the fleet asks for.
inline Shop yard_for(std::size_t coaches) {
    Shop shop;
    shop.name = "benchmark";
    shop.labour_rate_per_h = 15000;
    shop.bays = static_cast<int>(coaches / 60 + 2);
    shop.heated_bay = true;
    for (int i = 0; i < shop.bays; ++i) shop.people.push_back({"p" + std::to_string(i), {}, 480, 1020});
    shop.package_price = {{"self_levelling_lap", 1350}, {"non_sag_lap", 1200}, {"butyl_tape", 1100}};
    return shop;
}

}  // namespace libseal_benchmark
