// What the inspections of a large fleet teach: lives, recalibration, back test and choice of looks, one after the other.
//
//     benchmark_tuning [COACHES [YEARS [UNNAMED]]]      1000 10 0 if not given
//
// Invented: every coach was looked at each May of so many years up to 2026, at every cap bead. A share UNNAMED of the findings names no
// layer: it grades the bedding too. Prints seconds on the clock and of the processor. The back test asks 200 coaches at most.

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <utility>

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
    std::fflush(stdout);
}

/// What a history holds.
struct History {
    std::vector<Finding> findings;
    std::vector<WorkDone> work;
};

/// A cap that is found due stays due until it is renewed, a month after the look for every second one.
History looks_at_caps(const Fleet& fleet, int years, double unnamed) {
    History history;
    RandomStream random(7);
    std::map<std::pair<std::string, std::string>, std::pair<Date, bool>> caps;  // fitted on, due
    for (int year = 2027 - years; year <= 2026; ++year)
        for (const auto& coach : fleet.coaches)
            for (const auto& joint : coach.joints) {
                const Date day = make_date(year, 5, 1);
                const Layer* cap = layer_of(joint, "cap_bead");
                if (!cap || day <= cap->installed_to) continue;
                auto& [fitted, due] = caps.try_emplace({coach.id, joint.id}, cap->installed_to, false).first->second;
                Finding finding;
                finding.coach = coach.id;
                finding.joint = joint.id;
                if (random.uniform() >= unnamed) finding.layer = "cap_bead";
                finding.date = day;
                due = due || random.uniform() < 0.02 * years_between(fitted, day);
                finding.sign = due ? "gap" : "clean_look";
                if (due) finding.size = "clear";
                history.findings.push_back(finding);
                if (!due || random.uniform() < 0.5) continue;
                WorkDone work;
                work.coach = coach.id;
                work.joint = joint.id;
                work.layer = "cap_bead";
                work.date = fitted = day + 30;
                work.action = "cut_out_and_reseal";
                due = false;
                history.work.push_back(work);
            }
    return history;
}

History until(const History& history, Date day) {
    History known;
    for (const auto& finding : history.findings)
        if (finding.date <= day) known.findings.push_back(finding);
    for (const auto& work : history.work)
        if (work.date <= day) known.work.push_back(work);
    return known;
}

/// Some coaches of a fleet, and what was found on them.
struct Sample {
    Fleet fleet;
    History history;
};
Sample sample_of(const Fleet& fleet, const History& history, std::size_t most) {
    Sample sample;
    std::set<std::string> taken;
    for (std::size_t c = 0; c < std::min(most, fleet.coaches.size()); ++c) {
        sample.fleet.coaches.push_back(fleet.coaches[c]);
        taken.insert(fleet.coaches[c].id);
    }
    for (const auto& finding : history.findings)
        if (taken.count(finding.coach) > 0) sample.history.findings.push_back(finding);
    for (const auto& work : history.work)
        if (taken.count(work.coach) > 0) sample.history.work.push_back(work);
    return sample;
}

}  // namespace

int main(int argc, char** argv) {
    const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::atoll(argv[1])) : 1000;
    const int years = argc > 2 ? std::atoi(argv[2]) : 10;
    const double unnamed = argc > 3 ? std::atof(argv[3]) : 0;
    const Date as_of = make_date(2026, 1, 1), end = make_date(2027, 1, 1);
    try {
        const InventedFleet all(count, as_of);
        const History history = looks_at_caps(all.fleet, years, unnamed), known = until(history, as_of);
        std::printf("%zu coaches, %zu joints, %zu findings and %zu records of work, of them %zu and %zu known\n", count, all.joints, history.findings.size(),
                    history.work.size(), known.findings.size(), known.work.size());
        HistoryOptions first;
        RecalibrationOptions kept, alone;
        ExperimentOptions looks;
        first.work_done = kept.work_done = alone.work_done = looks.work_done = known.work;
        first.session = kept.session = std::make_shared<Session>();
        timed("life_records", [&] { return life_records(all.fleet, known.findings, as_of, first).size(); });
        timed("recalibrate, in the session of life_records", [&] { return recalibrate(all.fleet, known.findings, as_of, kept).families.size(); });
        timed("recalibrate alone", [&] { return recalibrate(all.fleet, known.findings, as_of, alone).families.size(); });
        const Sample sample = sample_of(all.fleet, history, 200);
        BackTestOptions test;
        test.work_done = sample.history.work;
        timed("back_test of 200 coaches at most", [&] { return back_test(sample.fleet, sample.history.findings, as_of, end, test).size(); });
        timed("look_experiment", [&] { return look_experiment(all.fleet, known.findings, "self_levelling_lap", as_of, looks).size(); });
        std::printf("  %8.0f MB at most\n", peak_megabytes());
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
