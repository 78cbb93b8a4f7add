// One model and one session used by sixteen threads at once: each gets what one thread alone gets, to the bit. Synthetic.

#include <atomic>
#include <string>
#include <thread>
#include <vector>

#include "support/catch.hpp"
#include "support/fixed_job.hpp"

using namespace libseal_test;

TEST_CASE("sixteen threads with one fleet and one session get the bits of one thread", "[load]") {
    const JobInputs inputs = job_inputs(LIBSEAL_SOURCE_DIR "/examples/data", {}, 1, 6);
    std::vector<JobPart> parts = job_parts();
    std::erase_if(parts, [](const JobPart& part) { return part.name == "read_files"; });
    std::vector<std::uint64_t> wanted;
    for (const JobPart& part : parts) wanted.push_back(part.run(inputs, {}));

    const JobSetting shared{2, {}, std::make_shared<libseal::Session>()};
    constexpr std::size_t threads = 16;
    std::vector<std::string> faults(threads);
    std::atomic<bool> go{false};
    {
        std::vector<std::jthread> crew;
        for (std::size_t t = 0; t < threads; ++t)
            crew.emplace_back([&, t] {
                while (!go.load()) std::this_thread::yield();  // all at once: the session is empty
                for (std::size_t k = 0; k < parts.size(); ++k) {
                    const std::size_t which = (k + t) % parts.size();  // each in another order
                    try {
                        if (parts[which].run(inputs, shared) != wanted[which]) faults[t] += parts[which].name + " differs; ";
                    } catch (const std::exception& error) {
                        faults[t] += parts[which].name + ": " + error.what() + "; ";
                    }
                }
            });
        go = true;
    }
    for (const std::string& fault : faults) CHECK(fault.empty());
}

TEST_CASE("what a callback throws on one thread disturbs no other one", "[load]") {
    const JobInputs inputs = job_inputs(LIBSEAL_SOURCE_DIR "/examples/data", {}, 1, 6);
    const auto session = std::make_shared<libseal::Session>();
    struct Wrong {};
    int thrown = 0;
    for (const JobPart& part : job_parts()) {
        if (part.name == "read_files") continue;
        const std::uint64_t wanted = part.run(inputs, {});
        JobSetting watched{2, {}, session};
        watched.watch.progress = [](const libseal::Progress&) { throw Wrong(); };
        std::uint64_t beside = 0;
        {
            const std::jthread other([&] { beside = part.run(inputs, {1, {}, session}); });
            try {
                const std::uint64_t got = part.run(inputs, watched);
                CHECK(got == wanted);  // a part without a callback, or one over too soon for it
            } catch (const Wrong&) {
                ++thrown;
            }
        }
        CHECK(beside == wanted);
        CHECK(part.run(inputs, {2, {}, session}) == wanted);
    }
    CHECK(thrown > 0);
}
