#pragma once
// A fixed job from files to calendars, in parts that each give one number: equal numbers, equal bits. For tests of threads, builds and faults.

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/layer_columns.hpp"
#include "libseal/leak/trace.hpp"
#include "libseal/schedule/schedule.hpp"
#include "libseal/work/plan.hpp"

namespace libseal_test {

/// How a part is run; no number depends on it.
struct JobSetting {
    int threads = 1;
    libseal::Watch watch;
    std::shared_ptr<libseal::Session> session;  ///< null: none
};

/// What the parts work on: the invented fleet of the examples, and what one part needs of another.
struct JobInputs {
    std::string folder;  ///< of the examples' data
    libseal::Date as_of{};
    libseal::Fleet fleet;
    libseal::Shop shop;
    std::vector<libseal::Finding> findings;
    std::vector<libseal::WorkDone> work_done;
    libseal::Forecast forecast;
    libseal::LayerColumns layers;
    std::vector<libseal::Booking> bookings;
};

/// @param folder  examples/data.  @param coaches  Of the fleet, 0 for all; @param joints  of each coach, 0 for all.
JobInputs job_inputs(const std::string& folder, const JobSetting& setting, std::size_t coaches = 0, std::size_t joints = 0);

struct JobPart {
    std::string name;
    std::function<std::uint64_t(const JobInputs&, const JobSetting&)> run;
};
/// In the order of the flow.
std::vector<JobPart> job_parts();

}  // namespace libseal_test
