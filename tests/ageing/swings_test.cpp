#include "support/catch.hpp"

#include <cmath>

#include "ageing/swings.hpp"
#include "libseal/core/random.hpp"

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
