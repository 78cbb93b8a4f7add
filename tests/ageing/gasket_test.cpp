// Gaskets and inserts of products that have no law of set or shrinkage of their own. Synthetic.
#include "support/catch.hpp"

#include <cmath>
#include <string>

#include "libseal/climate/station.hpp"
#include "libseal/forecast/layer_columns.hpp"

using namespace libseal;

namespace {

LayerForecast forecast_of(const std::string& layer, const std::string& family) {
    LayerColumns layers;
    layers.stations = {find_station("725350")};
    layers.keys.resize(1);
    layers.keys[0].family = family;
    layers.keys[0].layer = layer;
    layers.key = DateColumn::Zero(1);
    layers.installed = DateColumn::Constant(1, make_date(2018, 5, 1).days);
    return forecast_layers(layers, make_date(2026, 11, 25));
}

}  // namespace

TEST_CASE("a gasket of a product without a law of set ages as its bedding does, an insert as its bead", "[law]") {
    // Both lie half-way between surface and air, without light; both are stated at the surface.
    for (const std::string family : {"unknown", "butyl_tape", "polyurethane"}) {
        CAPTURE(family);
        const LayerForecast gasket = forecast_of("gasket", family), bedding = forecast_of("bedding", family);
        REQUIRE(std::isfinite(gasket.effective_age[0]));
        CHECK(gasket.effective_age[0] > 0);
        CHECK(gasket.effective_age[0] == Approx(bedding.effective_age[0]).epsilon(1e-12));
        CHECK(gasket.due_50[0] == bedding.due_50[0]);
        CHECK(forecast_of("insert", family).effective_age[0] == Approx(forecast_of("cap_bead", family).effective_age[0]).epsilon(1e-12));
    }
    // One with a law of its own ages by that.
    const double own = forecast_of("gasket", "epdm_gasket").effective_age[0];
    CHECK(own > 0);
    CHECK(std::abs(own / forecast_of("bedding", "epdm_gasket").effective_age[0] - 1) > 1e-6);
}
