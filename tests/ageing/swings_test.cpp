#include "support/catch.hpp"

#include <cmath>
#include <vector>

#include "ageing/swings.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/histories.hpp"

using namespace libseal;

TEST_CASE("joints in proportion have the strain of their own count of cycles", "[law]") {
    // Synthetic: two surfaces with a year, a day and weather in their temperatures.
    RandomStream random(21);
    Column a(8760), b(8760);
    for (Eigen::Index i = 0; i < a.size(); ++i) {
        const double hour = static_cast<double>(i), air = 12 - 14 * std::cos(hour * 2 * M_PI / 8760) + 3 * random.normal();
        a[i] = air - 12 * std::cos(hour * 2 * M_PI / 24);
        b[i] = air - 5 * std::cos(hour * 2 * M_PI / 24);
    }
    a[77] = std::nan("");
    for (int i = 0; i < 60; ++i) {
        MovementKey key;
        const char* forms[] = {"strip", "fillet", "butt", "lap"};
        key.movement.form = forms[random.below(4)];
        key.movement.width = 0.002 + 0.01 * random.uniform();
        key.movement.a = {5e-6 + 60e-6 * random.uniform(), 0.05 + random.uniform(), 0.3, 0.9};
        key.movement.b = key.movement.a;
        key.movement.b.expansion = i % 9 == 0 ? key.movement.a.expansion : 5e-6 + 60e-6 * random.uniform();
        key.movement.across = i % 2 == 0 ? 0 : 0.4 * random.uniform();
        key.corner = key.movement.across > 0 ? Corner::corner : Corner::side;
        key.exponent = 0.5 + random.uniform();
        REQUIRE(detail::moves_in_proportion(key.movement));
        const StrainSummary own = strain_summary(key.movement, a, b, 12.5, key.corner, key.exponent);
        const StrainSummary shared = detail::strain_of(detail::swings_of(detail::SwingKey(key), a, b, 12.5), key);
        REQUIRE(shared.amplitude == Approx(own.amplitude).epsilon(1e-11).margin(1e-300));
        REQUIRE(shared.largest == Approx(own.largest).epsilon(1e-11).margin(1e-300));
        REQUIRE(shared.cycles == Approx(own.cycles).epsilon(1e-9));
    }
}

TEST_CASE("swings are the half cycles of the rainflow count, hours without a value left out", "[law]") {
    for (const auto kind : libseal_test::history_kinds())
        for (const bool gaps : {false, true}) {
            CAPTURE(static_cast<int>(kind), gaps);
            Column movement = libseal_test::history(kind, 2000, 3);
            RandomStream random(4);
            if (gaps)
                for (double& x : movement)
                    if (random.uniform() < 0.1) x = std::nan("");
            // One by one, as the counter does.
            std::vector<double> known, hour, half_ranges, hours;
            for (Eigen::Index i = 0; i < movement.size(); ++i)
                if (!std::isnan(movement[i])) {
                    known.push_back(movement[i]);
                    hour.push_back(static_cast<double>(i));
                }
            const Eigen::Map<const Column> values(known.data(), static_cast<Eigen::Index>(known.size()));
            double cycles = 0;
            for (const Cycle& cycle : rainflow_cycles(values)) {
                cycles += cycle.count;
                if (cycle.count == 1) continue;
                half_ranges.push_back(cycle.range() / 2);
                hours.push_back(hour[static_cast<std::size_t>(cycle.last)] - hour[static_cast<std::size_t>(cycle.first)]);
            }
            const auto size = static_cast<Eigen::Index>(hours.size());
            const double amplitude = equivalent_amplitude(Eigen::Map<const Column>(half_ranges.data(), size),
                                                          Eigen::Map<const Column>(hours.data(), size), 0.7);
            const StrainSummary summary = strain_summary("butt", movement, 0.7);
            CHECK(summary.amplitude == amplitude);
            CHECK(summary.cycles == cycles);
            CHECK(summary.largest == values.abs().maxCoeff());
        }
    Column wrong = Column::Zero(5);
    wrong[1] = std::nan("");
    wrong[3] = HUGE_VAL;
    CHECK_THROWS_AS(strain_summary("butt", wrong, 0.7), ValueError);
    CHECK(strain_summary("butt", Column::Constant(4, std::nan("")), 0.7).cycles == 0);
}
