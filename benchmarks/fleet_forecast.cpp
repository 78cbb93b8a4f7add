// The forecast of a large fleet alone, in parts with a shared session as a year calendar asks for it.
//
//     benchmark_fleet_forecast [COACHES [AT_A_TIME [--json]]]      10000 and 250 if not given
//
// Prints milliseconds of processor time a coach by stage, clocks of the session, and the peak of memory (Linux only).

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <map>
#include <set>
#include <string>

#include "invented_fleet.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/evidence.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"

namespace {

using namespace libseal;
using namespace libseal_benchmark;

/// Adds the processor time between reports to the stage that they name.
class StageTimes {
public:
    void report(const std::string& stage) {
        const double now = processor_seconds();
        seconds_[stage_] += now - last_;
        stage_ = stage;
        last_ = now;
    }
    void print(std::size_t coaches) const {
        for (const auto& [stage, seconds] : seconds_)
            std::printf("  %8.3f ms a coach  %s\n", 1000 * seconds / static_cast<double>(coaches), stage.c_str());
    }
    double of(const std::string& stage) const { return seconds_.at(stage); }

private:
    std::string stage_ = "inputs";
    double last_ = processor_seconds();
    std::map<std::string, double> seconds_;
};

/// The coaches [from, to), or those among them that were looked at.
Fleet part_of(const InventedFleet& all, std::size_t from, std::size_t to, bool seen_only) {
    std::set<std::string> seen;
    for (const Finding& finding : all.findings) seen.insert(finding.coach);
    Fleet part;
    for (std::size_t i = from; i < to; ++i)
        if (!seen_only || seen.count(all.fleet.coaches[i].id)) part.coaches.push_back(all.fleet.coaches[i]);
    return part;
}

/// Joints with a cap over a bedding: their two layers hang together.
std::size_t coupled_joints(const Fleet& fleet) {
    const auto has = [](const Joint& joint, const char* kind) {
        return std::any_of(joint.layers.begin(), joint.layers.end(), [&](const Layer& layer) { return layer.kind == kind; });
    };
    std::size_t count = 0;
    for (const Coach& coach : fleet.coaches)
        for (const Joint& joint : coach.joints) count += has(joint, "cap_bead") && has(joint, "bedding");
    return count;
}

}  // namespace

int main(int argc, char** argv) {
    const auto argument = [&](int i, std::size_t otherwise) { return argc > i ? static_cast<std::size_t>(std::atoll(argv[i])) : otherwise; };
    const std::size_t count = argument(1, 10000), at_a_time = std::max<std::size_t>(1, argument(2, 250));
    const bool json = argc > 3 && std::strcmp(argv[3], "--json") == 0;
    try {
        const Date as_of = make_date(2026, 11, 25);
        const InventedFleet all(count, as_of);
        if (!json) std::printf("coaches %zu  joints %zu  peak %.0f MB\n", count, all.joints, peak_megabytes());
        ForecastOptions options;
        options.session = std::make_shared<Session>(options.catalogue);
        options.threads = 1;
        StageTimes times;
        options.watch.progress = [&](const Progress& now) { times.report(now.stage); };
        const double begin = processor_seconds();
        options.findings = all.findings;
        const Fleet seen = part_of(all, 0, count, true);
        options.shared = std::make_shared<const SharedEffects>(combine_evidence({collect_evidence(seen, as_of, options)}, options.catalogue));
        times.report("inputs");
        double sum = 0;
        for (std::size_t from = 0; from < count; from += at_a_time) {
            const Fleet part = part_of(all, from, std::min(count, from + at_a_time), false);
            std::set<std::string> ids;
            for (const Coach& coach : part.coaches) ids.insert(coach.id);
            options.findings.clear();
            for (const Finding& finding : all.findings)
                if (ids.count(finding.coach)) options.findings.push_back(finding);
            times.report("inputs");
            const Forecast result = forecast(part, as_of, 2, options);
            times.report("inputs");
            sum += result.due_1_year.sum();
        }
        const double seconds = processor_seconds() - begin;
        if (json) {
            std::printf("{\"coaches\": %zu, \"joints\": %zu, \"coupled\": %zu, \"seconds\": %.4f, \"beliefs\": %.4f}\n", count, all.joints,
                        coupled_joints(all.fleet), seconds, times.of("forecast"));
            return 0;
        }
        times.print(count);
        std::printf("%.3f ms of processor a coach  sites %zu  clocks %zu  movements %zu  peak %.0f MB  layers due within a year %.6f\n",
                    1000 * seconds / static_cast<double>(count), options.session->site_count(), options.session->clock_count(),
                    options.session->movement_count(), peak_megabytes(), sum);
    } catch (const Error& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
