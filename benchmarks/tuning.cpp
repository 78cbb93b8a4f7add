// What the inspections of a large fleet teach: lives, recalibration, back test and choice of looks, one after the other.
//
//     benchmark_tuning [COACHES]      1000 if not given
//
// Invented: every coach was looked at twice, four years and one apart, at every cap bead. Prints seconds on the clock and of the processor.

#include <chrono>
#include <cstdio>
#include <cstdlib>

#include "invented_fleet.hpp"
#include "libseal/core/error.hpp"
#include "libseal/tuning/back_test.hpp"
#include "libseal/tuning/experiment.hpp"
#include "libseal/tuning/history.hpp"
#include "libseal/tuning/recalibrate.hpp"

namespace {

using namespace libseal;
using namespace libseal_benchmark;

/// Runs a step and prints what it took.
template <class Step>
void timed(const char* name, Step step) {
    const auto start = std::chrono::steady_clock::now();
    const double before = processor_seconds();
    const auto rows = static_cast<long long>(step());
    std::printf("  %8.2f s, %8.2f s of processor  %s (%lld rows)\n", std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(),
                processor_seconds() - before, name, rows);
}

std::vector<Finding> looks_at_caps(const Fleet& fleet, const std::vector<Date>& days) {
    std::vector<Finding> findings;
    RandomStream random(7);
    for (const Date day : days)
        for (const auto& coach : fleet.coaches)
            for (const auto& joint : coach.joints) {
                const Layer* cap = layer_of(joint, "cap_bead");
                if (!cap || day <= cap->installed_to) continue;
                Finding finding;
                finding.coach = coach.id;
                finding.joint = joint.id;
                finding.layer = "cap_bead";
                finding.date = day;
                const bool due = random.uniform() < 0.1 * years_between(cap->installed_to, day);
                finding.sign = due ? "gap" : "clean_look";
                if (due) finding.size = "clear";
                findings.push_back(finding);
            }
    return findings;
}

}  // namespace

int main(int argc, char** argv) {
    const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::atoll(argv[1])) : 1000;
    const Date as_of = make_date(2026, 1, 1), until = make_date(2027, 1, 1);
    try {
        const InventedFleet all(count, as_of);
        const auto findings = looks_at_caps(all.fleet, {make_date(2022, 5, 1), make_date(2025, 5, 1), make_date(2026, 5, 1)});
        std::vector<Finding> known;
        for (const auto& finding : findings)
            if (finding.date <= as_of) known.push_back(finding);
        std::printf("%zu coaches, %zu joints, %zu findings\n", count, all.joints, findings.size());
        timed("life_records", [&] { return life_records(all.fleet, known, as_of).size(); });
        timed("recalibrate", [&] { return recalibrate(all.fleet, known, as_of).families.size(); });
        timed("back_test", [&] { return back_test(all.fleet, findings, as_of, until).size(); });
        timed("look_experiment", [&] { return look_experiment(all.fleet, known, "self_levelling_lap", as_of).size(); });
        std::printf("  %8.0f MB at most\n", peak_megabytes());
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
