#pragma once
// How long calls report and how they are stopped.

#include <atomic>
#include <functional>
#include <memory>
#include <string>

namespace libseal {

/// How far a long call has come.
struct Progress {
    std::string stage;
    double fraction = 0;  ///< [-], 0 to 1, never falls within a stage
};

/// Called at most every 50 ms, never from two threads at once. What it throws ends the call and reaches the caller.
using ProgressCallback = std::function<void(const Progress&)>;

/// Asks a long call to stop. Copies share one flag. @threads  safe.
class StopToken {
public:
    StopToken() : flag_(std::make_shared<std::atomic<bool>>(false)) {}
    void stop() { flag_->store(true, std::memory_order_relaxed); }
    bool stop_requested() const { return flag_->load(std::memory_order_relaxed); }

private:
    std::shared_ptr<std::atomic<bool>> flag_;
};

/// What every long call accepts.
struct Watch {
    ProgressCallback progress;
    StopToken stop;
};

/// Throttles a callback to one call in 50 ms and checks the stop token. One per call of the library.
class ProgressReporter {
public:
    ProgressReporter(const Watch& watch, std::string stage);
    ~ProgressReporter();
    ProgressReporter(const ProgressReporter&) = delete;
    ProgressReporter& operator=(const ProgressReporter&) = delete;

    /// @throws Cancelled  if a stop was asked for. Call from the caller's thread only.
    void tick(double fraction);

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace libseal
