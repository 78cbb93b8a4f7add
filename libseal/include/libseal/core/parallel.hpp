#pragma once
// A loop over independent tasks. The result must not depend on which thread ran which task.

#include <cstddef>
#include <functional>

namespace libseal {

/// Calls task(i) once for each i in [0, count), on up to `threads` threads (0: one per processor).
/// The first exception by index is rethrown after all threads have ended. `on_wait`, if given, is
/// called from the caller's thread now and then with the number of tasks done; what it throws stops
/// the loop after the running tasks.
void parallel_for(std::size_t count, int threads, const std::function<void(std::size_t)>& task,
                  const std::function<void(std::size_t)>& on_wait = nullptr);

}  // namespace libseal
