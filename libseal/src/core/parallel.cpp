#include "libseal/core/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace libseal {
namespace {

struct Shared {
    std::atomic<std::size_t> next{0};
    std::atomic<std::size_t> done{0};
    std::atomic<bool> halt{false};
    std::mutex mutex;
    std::condition_variable ended;
    std::size_t running = 0;
    std::size_t failed_index = 0;
    std::exception_ptr failure;
};

void work(Shared& shared, std::size_t count, const std::function<void(std::size_t)>& task) {
    while (!shared.halt.load(std::memory_order_relaxed)) {
        const std::size_t i = shared.next.fetch_add(1, std::memory_order_relaxed);
        if (i >= count) break;
        try {
            task(i);
        } catch (...) {
            const std::lock_guard lock(shared.mutex);
            if (!shared.failure || i < shared.failed_index) {
                shared.failure = std::current_exception();
                shared.failed_index = i;
            }
            shared.halt = true;
        }
        shared.done.fetch_add(1, std::memory_order_relaxed);
    }
    const std::lock_guard lock(shared.mutex);
    --shared.running;
    shared.ended.notify_one();
}

}  // namespace

void parallel_for(std::size_t count, int threads, const std::function<void(std::size_t)>& task,
                  const std::function<void(std::size_t)>& on_wait) {
    std::size_t helpers = threads > 0 ? static_cast<std::size_t>(threads)
                                      : std::max<std::size_t>(1, std::thread::hardware_concurrency());
    helpers = std::min(helpers, count);
    if (helpers <= 1) {
        for (std::size_t i = 0; i < count; ++i) {
            task(i);
            if (on_wait) on_wait(i + 1);
        }
        return;
    }
    Shared shared;
    shared.running = helpers;
    std::vector<std::jthread> crew;
    crew.reserve(helpers);
    std::exception_ptr from_waiting;
    try {
        while (crew.size() < helpers) crew.emplace_back([&] { work(shared, count, task); });
    } catch (const std::system_error&) {  // the system gives no more threads: those that are there do the work
        if (crew.empty()) from_waiting = std::current_exception();
        const std::lock_guard lock(shared.mutex);
        shared.running -= helpers - crew.size();
    } catch (...) {  // no memory: nothing new is begun
        from_waiting = std::current_exception();
        shared.halt = true;
        const std::lock_guard lock(shared.mutex);
        shared.running -= helpers - crew.size();
    }
    {
        std::unique_lock lock(shared.mutex);
        while (!shared.ended.wait_for(lock, std::chrono::milliseconds(20), [&] { return shared.running == 0; })) {
            if (!on_wait || from_waiting) continue;
            lock.unlock();
            try {
                on_wait(shared.done.load());
            } catch (...) {
                from_waiting = std::current_exception();
                shared.halt = true;
            }
            lock.lock();
        }
    }
    crew.clear();
    if (from_waiting) std::rethrow_exception(from_waiting);
    if (shared.failure) std::rethrow_exception(shared.failure);
}

}  // namespace libseal
