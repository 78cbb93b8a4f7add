#include "libseal/core/progress.hpp"

#include <chrono>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"

namespace libseal {

struct ProgressReporter::State {
    Watch watch;
    Progress progress;
    std::chrono::steady_clock::time_point last{};
    bool called = false;
};

ProgressReporter::ProgressReporter(const Watch& watch, std::string stage) : state_(std::make_unique<State>()) {
    state_->watch = watch;
    state_->progress.stage = std::move(stage);
}

ProgressReporter::~ProgressReporter() = default;

void ProgressReporter::tick(double fraction) {
    if (state_->watch.stop.stop_requested()) {
        throw Cancelled(detail::field_problem(state_->progress.stage, "to run to its end", "a request to stop"));
    }
    if (!state_->watch.progress) return;
    // A steady clock paces the callback only; no result depends on it.
    const auto now = std::chrono::steady_clock::now();
    if (state_->called && now - state_->last < std::chrono::milliseconds(50)) return;
    state_->called = true;
    state_->last = now;
    if (fraction > state_->progress.fraction) state_->progress.fraction = fraction < 1 ? fraction : 1;
    state_->watch.progress(state_->progress);
}

}  // namespace libseal
