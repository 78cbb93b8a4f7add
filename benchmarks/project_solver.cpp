// solve_project on the instances of Kolisch & Sprecher 1996: distance from the optimum (j30) or the critical
// path, and speed.
//
//     benchmark_project_solver [WORK_LIMIT]...      1000 5000 50000 if none is given

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <numeric>
#include <string>
#include <vector>

#include "libseal/schedule/project.hpp"
#include "schedule/project_decoder.hpp"
#include "support/psplib.hpp"

namespace {

using libseal_test::Project;
using libseal_test::PublishedBounds;

struct Instance {
    PublishedBounds bounds;
    Project project;
};

double seconds_since(std::chrono::steady_clock::time_point begin) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

std::filesystem::path instance_folder() {
    const char* folder = std::getenv("LIBSEAL_DATA");
    return std::filesystem::path(folder ? folder : "../shared/data") / "psplib";
}

std::vector<Instance> instances(const std::string& set) {
    std::vector<Instance> result;
    const auto table = instance_folder() / (set + "_bounds.csv");
    if (!std::filesystem::exists(table)) return result;
    for (const auto& row : libseal_test::read_bounds(table))
        result.push_back(
            {row, libseal_test::read_psplib(table.parent_path() / set / (row.instance + ".sm"))});
    return result;
}

void print_row(const std::string& set, const std::vector<Instance>& all, int work_limit) {
    double excess = 0, best_known = 0;
    long schedules = 0;
    int proven = 0;
    const auto begin = std::chrono::steady_clock::now();
    for (const auto& [bounds, project] : all) {
        libseal::ProjectOptions options;
        options.work_limit = work_limit;
        options.threads = 1;
        const auto result = libseal::solve_project(project.durations, project.successors, project.demands,
                                                   project.capacities, options);
        const int base = set == "j30" ? bounds.upper : bounds.critical_path;
        excess += 100.0 * (result.makespan - base) / base;
        best_known += 100.0 * (bounds.upper - base) / base;
        schedules += result.schedules;
        proven += result.outcome == libseal::Outcome::optimal;
    }
    const double time = seconds_since(begin);
    const auto count = static_cast<double>(all.size());
    std::printf("| %s (%zu) | %d | %.3f | %.2f | %d | %.2f | %.0f |\n", set.c_str(), all.size(), work_limit,
                excess / count, best_known / count, proven, 1000 * time / count,
                static_cast<double>(schedules) / time);
    std::fflush(stdout);
}

/// Serial passes alone, forward and backward in turn. [1/s]
double serial_passes(const std::vector<Instance>& all) {
    constexpr int passes = 2000;
    double time = 0;
    for (const auto& [bounds, project] : all) {
        const auto model = libseal::detail::project_model(project.durations, project.successors,
                                                          project.demands, project.capacities);
        const auto decoder = libseal::detail::make_decoder(model);
        const auto tasks = static_cast<std::size_t>(model.tasks);
        libseal::detail::Draft draft(tasks), other(tasks);
        std::iota(draft.list.begin(), draft.list.end(), 0);
        std::vector<int> space;
        const auto begin = std::chrono::steady_clock::now();
        for (int pass = 0; pass < passes; pass += 2) {
            decoder->serial(draft, libseal::detail::Way::forward);
            libseal::detail::mirror(draft, other, space);
            decoder->serial(other, libseal::detail::Way::backward);
            libseal::detail::mirror(other, draft, space);
        }
        time += seconds_since(begin);
    }
    return passes * static_cast<double>(all.size()) / time;
}

}  // namespace

int main(int count, char** arguments) {
    std::vector<int> work_limits;
    if (count == 3 && std::string(arguments[1]) == "--serial") {  // passes of one set alone, as a number
        const auto all = instances(arguments[2]);
        std::printf("{\"instances\": %zu, \"passes_a_second\": %.0f}\n", all.size(), all.empty() ? 0 : serial_passes(all));
        return 0;
    }
    for (int i = 1; i < count; ++i) work_limits.push_back(std::atoi(arguments[i]));
    if (work_limits.empty()) work_limits = {1000, 5000, 50000};
    const std::vector<std::string> sets{"j30", "j60", "j120"};
    if (instances(sets[0]).empty()) {
        std::printf("no instances in %s\n", instance_folder().string().c_str());
        return 0;
    }
    std::printf(
        "| set | work limit | %% above base | best known | proven | ms each | schedules/s "
        "|\n|---|---|---|---|---|---|---|\n");
    for (const auto& set : sets)
        for (const int work_limit : work_limits) print_row(set, instances(set), work_limit);
    std::printf("\n| set | serial passes/s |\n|---|---|\n");
    for (const auto& set : sets) std::printf("| %s | %.0f |\n", set.c_str(), serial_passes(instances(set)));
}
