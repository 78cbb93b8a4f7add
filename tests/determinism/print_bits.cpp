// Prints one number for each part of a fixed job, so that runs and builds can be compared to the bit.
//
//     libseal_bits FOLDER              FOLDER: examples/data; by 1 thread, then 1 with callback and session, 2 without, 8 with
//
// A line a part: name, number. A part whose numbers differ between threads and the like is told on standard error, exit code 1.

#include <cstdio>
#include <exception>
#include <utility>

#include "support/fixed_job.hpp"

using namespace libseal_test;

int main(int argc, char** argv) {
    if (argc != 2) return std::fprintf(stderr, "libseal_bits FOLDER\n"), 2;
    try {
        int differ = 0;
        const JobInputs inputs = job_inputs(argv[1], {}, 2, 20);
        const auto kept = std::make_shared<libseal::Session>();
        for (const JobPart& part : job_parts()) {
            const std::uint64_t wanted = part.run(inputs, {});
            for (const auto& [threads, watched] : {std::pair{1, true}, {2, false}, {8, true}}) {
                JobSetting setting{threads, {}, watched ? kept : nullptr};
                if (watched) setting.watch.progress = [](const libseal::Progress&) {};
                const std::uint64_t got = part.run(inputs, setting);
                if (got == wanted) continue;
                ++differ;
                std::fprintf(stderr, "%s: %d threads%s: expected %016llx, got %016llx\n", part.name.c_str(), threads, watched ? ", callback and session" : "",
                             static_cast<unsigned long long>(wanted), static_cast<unsigned long long>(got));
            }
            std::printf("%s %016llx\n", part.name.c_str(), static_cast<unsigned long long>(wanted));
        }
        return differ ? 1 : 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
}
