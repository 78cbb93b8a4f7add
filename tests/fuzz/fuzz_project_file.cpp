// Any bytes as an instance of project scheduling: a schedule without fault, or a ValueError of the solver.

#include <sstream>
#include <stdexcept>

#include "schedule/projects.hpp"
#include "target.hpp"

using namespace libseal_fuzz;
using libseal_test::Project;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    std::istringstream in(text_of(data, size));
    Project project;
    try {
        project = libseal_test::read_psplib(in);
    } catch (const std::runtime_error&) {
        return 0;  // this reader is one of the tests' own
    }
    long long length = 0;
    for (const int duration : project.durations) length += duration;
    if (project.durations.size() > 60 || length > 20000) return 0;  // the check below counts every unit of time
    const auto result = read_or_refuse([&] { return libseal_test::solve(project, 50); });
    if (!result || result->outcome == libseal::Outcome::infeasible) return 0;
    const std::string fault = libseal_test::fault_of(project, result->start, result->makespan);
    if (!fault.empty()) broken(fault);
    require(result->lower_bound <= result->makespan, "a lower bound lies below the makespan");
    return 0;
}
