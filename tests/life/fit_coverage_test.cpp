// How often 95 % limits hold the truth: thousands of simulated sets. Hidden; `bash tests/run.sh --slow=coverage` runs it.
#include <cmath>
#include <cstdio>

#include "libseal/core/random.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/life/weibull.hpp"
#include "support/catch.hpp"
#include "support/life_data.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

constexpr int replicates = 4000;

/// Share of replicates whose profile limits hold the truth.
struct Coverage {
    int scale = 0, shape = 0, tenth = 0;
};

}  // namespace

TEST_CASE("coverage of 95 % profile limits with fifty failures and more", "[.coverage][synthetic]") {
    const Weibull truth{8, 2.5};
    // Yearly looks and an end of watching; 120 lives of which about 70 fail.
    for (const bool looks : {false, true}) {
        Coverage held;
        int sets = 0, fewest = 1000;
        for (std::uint64_t set = 0; set < replicates; ++set) {
            RandomStream random(looks ? 101 : 100, set);
            LifeTable t;
            for (int i = 0; i < 120; ++i) {
                const double life = truth.quantile(random.uniform()), end = 5 + 6 * random.uniform();
                if (life > end) t.add(end, never);
                else if (looks) t.add(std::floor(life), std::floor(life) + 1);
                else t.add(life, life);
            }
            const LifeFit f = fit(t, "weibull");
            REQUIRE(f.converged());
            if (f.failures() < 50) continue;
            ++sets;
            fewest = std::min(fewest, static_cast<int>(f.failures()));
            const auto holds = [](const FitLimits& limits, double value) {
                REQUIRE(limits.low.state == "found");
                REQUIRE(limits.high.state == "found");
                return limits.low.value <= value && value <= limits.high.value;
            };
            held.scale += holds(f.limits("scale"), truth.scale());
            held.shape += holds(f.limits("shape"), truth.shape());
            held.tenth += holds(f.quantile_limits(0.1), truth.quantile(0.1));
        }
        REQUIRE(sets >= 2000);
        for (const auto& [name, count] : {std::pair{"scale", held.scale}, std::pair{"shape", held.shape}, std::pair{"10 % age", held.tenth}}) {
            const double share = static_cast<double>(count) / sets;
            std::printf("%s lives, %d sets, at least %d failures: %s covered %.2f %%\n", looks ? "inspected" : "exact", sets, fewest, name, 100 * share);
            CHECK(share > 0.935);
            CHECK(share < 0.965);
        }
    }
}
