// A bedding under its cap, against a dense integral of the same model that knows no groups and no grid.
#include "support/catch.hpp"

#include <cmath>

#include "forecast/basis.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/random.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {

const Date as_of = make_date(2026, 11, 25);

Coach trailer() {
    return libseal_test::standing(libseal_test::trailer_of(8.0, make_date(2016, 5, 1)), libseal_test::stay_since(make_date(2015, 1, 1)));
}

/// One joint with cap and bedding, and the dense integral beside it.
class Pair {
public:
    explicit Pair(const char* type) : fleet_(fleet_of(trailer())), clocks_(fleet_, fleet_, as_of, {}), model_(life_model(Catalogue::built_in())) {
        clocks_.store.evaluate(0, {});
        while (joint().type != type || layer(0) != "cap_bead" || layer(1) != "bedding") ++first_;
        tracks_ = std::make_unique<CoachTracks>(clocks_, 0, as_of);
        belief_ = std::make_unique<JointBelief>(clocks_, model_, Catalogue::built_in(), first_, first_ + 2, nullptr, *tracks_, as_of);
        belief_->settle({0, 0.09});
        from_ = joint().layers[0].installed_from;
        // Ten thousand equally likely thresholds of the cap, and s at 161 points of its normal.
        for (int k = -80; k <= 80; ++k) {
            effect_.push_back(0.30 * k / 13.0);
            weight_.push_back(std::exp(-0.5 * std::pow(k / 13.0, 2)) / 13.0 / std::sqrt(2 * M_PI));
        }
        Date day = from_;
        for (int d = 0; d < 80 * 365; ++d) {
            cap_age_.push_back(track(row().keys).age_between(from_, day));
            sheltered_.push_back(track(bedding_row().keys).age_between(from_, day));
            exposed_.push_back(track(bedding_row().exposed_keys).age_between(from_, day));
            day = day + 1;
        }
    }

    const JointBelief& belief() const { return *belief_; }

    /// P(bedding worn beyond `worn` of its life, and the cap open if asked) on a day.
    double dense(Date day, double worn, bool cap_open) const {
        constexpr int caps = 1500;
        const double cap_scale = scale_of(0), bedding_scale = scale_of(1);
        const auto d = static_cast<std::size_t>(day - from_);
        double sum = 0;
        for (std::size_t k = 0; k < effect_.size(); ++k)
            for (int c = 0; c < caps; ++c) {
                const double threshold = std::pow(-std::log1p(-(c + 0.5) / caps), 1 / 2.75);
                const double life = cap_scale * threshold * std::exp(-effect_[k]);
                if (cap_open && cap_age_[d] < 1.75 * life) continue;
                const auto failed = static_cast<std::size_t>(
                    std::lower_bound(cap_age_.begin(), cap_age_.end(), model_.cap_failed * life) - cap_age_.begin());
                const double age = failed >= d ? sheltered_[d] : sheltered_[failed] + exposed_[d] - exposed_[failed];
                sum += weight_[k] / caps * -std::expm1(-std::pow(age * std::exp(effect_[k]) / (bedding_scale * worn), 2.75));
            }
        return sum;
    }

private:
    const Joint& joint() const { return fleet_.coaches[0].joints[row().joint]; }
    const LayerRow& row() const { return clocks_.layers[first_]; }
    const LayerRow& bedding_row() const { return clocks_.layers[first_ + 1]; }
    std::string layer(std::size_t l) const { return joint().layers.size() == 2 ? joint().layers[l].kind : ""; }
    const AgeTrack& track(const std::vector<int>& keys) const { return tracks_->track(keys); }
    double scale_of(std::size_t l) const {
        return sealant(Catalogue::built_in(), joint().layers[l].family).median_life / std::exp(model_.prior.median_log);
    }

    Fleet fleet_;
    FleetClocks clocks_;
    LifeModel model_;
    std::size_t first_ = 0;
    std::unique_ptr<CoachTracks> tracks_;
    std::unique_ptr<JointBelief> belief_;
    Date from_{};
    std::vector<double> effect_, weight_, cap_age_, sheltered_, exposed_;
};

}  // namespace

TEST_CASE("a bedding under its cap comes due as the dense integral says, to the day", "[reference]") {
    const Pair pair(GENERATE("window_frame", "roof_vent_flange"));
    for (const int years : {3, 6, 10, 16, 25}) {
        const Date day = make_date(2016 + years, 8, 17);
        INFO(years << " years");
        CHECK(pair.belief().due(1, day) == Approx(pair.dense(day, 1.0, false)).margin(4e-4));
        CHECK(pair.belief().open(day) == Approx(pair.dense(day, 1.75, true)).margin(2e-3));
    }
    for (const double p : {0.1, 0.5, 0.9}) {
        const Date day = pair.belief().day_of(1, p);
        INFO(p << ": " << to_text(day));
        CHECK(pair.dense(day - 2, 1.0, false) < p);
        CHECK(pair.dense(day + 1, 1.0, false) >= p);
    }
}

TEST_CASE("a failed cap brings its bedding nearer, a sound one spares it", "[law]") {
    const Pair pair("roof_vent_flange");
    const Date day = make_date(2030, 6, 1);
    const LayerState& bedding = pair.belief().layer(1);
    std::vector<double> as_if_sound{bedding.track->age_between(bedding.installed[0], day)};
    CHECK(pair.belief().due(1, day) > bedding.belief.due(as_if_sound));
    CHECK(pair.belief().open(day) < pair.belief().due(0, day));
    CHECK(pair.belief().open(day) < pair.belief().due(1, day));
}
