#pragma once
// Schedule generation: from an order of the tasks to a schedule, forward or backward in time.

#include <cstddef>
#include <memory>
#include <vector>

#include "schedule/project_model.hpp"

namespace libseal::detail {

/// In which time a schedule is built: backward, the last task comes first and starts count from the end.
enum class Way { forward, backward };

inline Way opposite(Way way) { return way == Way::forward ? Way::backward : Way::forward; }

/// A schedule in the time of one way. Backward time 0 is the end of the schedule that it was mirrored from.
struct Draft {
    Draft() = default;
    explicit Draft(std::size_t tasks) : list(tasks), start(tasks), end(tasks) {}
    std::vector<int> list;   ///< tasks, each after those that must end before it
    std::vector<int> start;  ///< by task
    std::vector<int> end;    ///< by task
    int makespan = 0;
};

/// Builds schedules; owns its working space. Not safe to share between threads. The search knows tasks and
/// their network, but what a schedule has to respect besides only through this.
class Decoder {
public:
    virtual ~Decoder() = default;

    /// Serial scheme: places the tasks of draft.list in turn, each as early as it fits. Fills start, end and
    /// makespan. draft.makespan comes in as the length of the schedule that the list was taken from.
    /// @source  Kolisch 1996, Serial and parallel resource-constrained project scheduling methods revisited.
    void serial(Draft& draft, Way way) {
        ++schedules_;
        build_serial(draft, way);
    }

    /// Parallel scheme: at each moment starts what fits, in the order of draft.list (any order). Sorts the
    /// list by start.
    void parallel(Draft& draft, Way way) {
        ++schedules_;
        build_parallel(draft, way);
    }

    /// Whether a schedule built backward is a schedule, wherever it begins. False where time has places of
    /// its own (calendars, weather): then backward schedules only give orders for forward ones.
    virtual bool reversible() const { return true; }

    int schedules() const { return schedules_; }

private:
    virtual void build_serial(Draft& draft, Way way) = 0;
    virtual void build_parallel(Draft& draft, Way way) = 0;
    int schedules_ = 0;
};

/// For the plain project of the model.
std::unique_ptr<Decoder> make_decoder(const ProjectModel& model);

/// `to` becomes the same schedule seen in the opposite time, its list by start there; ties in the reverse
/// order of `from.list`. Decoding `to` the other way is one step of justification: it never gets longer.
/// @source  Valls, Ballestin & Quintanilla 2005, Justification and RCPSP.
void mirror(const Draft& from, Draft& to, std::vector<int>& space);

/// Sorts draft.list by start, ties in the order of the list before.
void sort_by_start(Draft& draft, std::vector<int>& space);

}  // namespace libseal::detail
