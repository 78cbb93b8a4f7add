// Tiny projects: the solver, quick and thorough, against a search through all start times.

#include "schedule/projects.hpp"
#include "target.hpp"

using namespace libseal_fuzz;
using libseal_test::Project;

namespace {

Project project_of(Bytes& bytes) {
    Project p;
    const int tasks = 1 + bytes.below(5), resources = bytes.below(3);
    for (int k = 0; k < resources; ++k) p.capacities.push_back(1 + bytes.below(3));
    for (int i = 0; i < tasks; ++i) {
        p.durations.push_back(bytes.below(5));
        const std::uint8_t after = bytes.byte();
        std::vector<int> successors, demands;
        for (int j = i + 1; j < tasks; ++j)
            if ((after >> j) & 1) successors.push_back(j);
        for (const int capacity : p.capacities) demands.push_back(bytes.below(capacity + 1));
        p.successors.push_back(successors);
        p.demands.push_back(demands);
    }
    return p;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Bytes bytes(data, size);
    const Project project = project_of(bytes);
    const int best = libseal_test::exhaustive_makespan(project);
    for (const int work_limit : {1, 20, 400}) {
        const auto result = libseal_test::solve(project, work_limit, 1, bytes.byte());
        require(result.outcome == libseal::Outcome::optimal || result.outcome == libseal::Outcome::feasible, "these projects can be done");
        const std::string fault = libseal_test::fault_of(project, result.start, result.makespan);
        if (!fault.empty()) broken(fault);
        require(result.makespan >= best, "nothing is shorter than the shortest");
        require(result.lower_bound <= best, "no bound lies above the shortest");
        require(result.outcome != libseal::Outcome::optimal || result.makespan == best, "what is called optimal is the shortest");
        require(result.schedules <= work_limit, "the limit of work holds");
    }
    return 0;
}
