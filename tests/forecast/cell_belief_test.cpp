// The belief of a layer in columns against every cell weighed one after the other.

#include "forecast/cell_belief.hpp"

#include <array>
#include <cmath>
#include <vector>

#include "forecast/layers.hpp"
#include "forecast/look_tables.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

struct SeenLook {
    int lowest = 0, highest = 0;
    double log_age = 0, early = 0, weight = 1;
};

/// Each cell times the chance of each look, read in `LookTable`; sums from the first cell on.
class PlainBelief {
public:
    PlainBelief(const detail::LifeModel& model, const std::vector<SeenLook>& looks) : cells_(model.prior.mass), running_(Column::Zero(cells_.size() + 1)) {
        for (const SeenLook& seen : looks) {
            Look look;
            look.lowest = seen.lowest;
            look.highest = seen.highest;
            Look spoiled = look;
            spoiled.early = 1;
            const LookTable wear(look, model.scale), workmanship(spoiled, model.scale);
            for (Eigen::Index i = 0; i < cells_.size(); ++i) {
                const double log_r = seen.log_age - LifePrior::life_node(i);
                cells_[i] *= std::pow((1 - seen.early) * wear(log_r) + seen.early * workmanship(log_r), seen.weight);
            }
        }
        cells_ /= cells_.sum();
        for (Eigen::Index i = 0; i < cells_.size(); ++i) running_[i + 1] = running_[i] + cells_[i];
    }
    double below(double log_life) const { return LifeTable(cells_).below(log_life); }
    double mean_grade(const detail::LifeModel& model, double log_age) const {
        double sum = 0;
        for (Eigen::Index i = 0; i < cells_.size(); ++i) sum += cells_[i] * grade(model, log_age - LifePrior::life_node(i));
        return sum;
    }

private:
    /// Straight between half cells, as the columns read it.
    static double grade(const detail::LifeModel& model, double log_r) {
        const double place = std::min(std::max((log_r + 6) / 0.005, 0.0), 1600.0), whole = std::floor(place);
        const auto at = [&](double k) { return std::min(5.0, grade_of_worn_share(model.scale, std::exp(-6 + 0.005 * std::min(k, 1600.0)))); };
        return at(whole) + (place - whole) * (at(whole + 1) - at(whole));
    }
    Column cells_, running_;
};

struct Columns {
    explicit Columns(const detail::LifeModel& model)
        : looks(model.scale), grade([&](double log_r) { return std::min(5.0, grade_of_worn_share(model.scale, std::exp(log_r))); }), belief(model.prior) {}
    void see(const detail::LifeModel& model, const std::vector<SeenLook>& seen) {
        belief.begin();
        for (const SeenLook& look : seen) belief.see(*looks.tables(look.lowest, look.highest, model.scale.look_noise), look.log_age, look.early, look.weight);
        belief.sum();
    }
    detail::CellLooks looks;
    detail::CellSlices grade;
    detail::CellBelief belief;
};

void check_same(const detail::LifeModel& model, Columns& columns, const std::vector<SeenLook>& looks, double log_age) {
    columns.see(model, looks);
    const PlainBelief plain(model, looks);
    for (double log_life = -5.2; log_life < 2.6; log_life += 0.0373)
        REQUIRE(columns.belief.below(log_life) == Approx(plain.below(log_life)).margin(1e-11));
    for (const double p : {1e-9, 1e-4, 0.1, 0.5, 0.9, 0.9999}) {
        const double log_life = columns.belief.quantile(p);
        CHECK(columns.belief.below(log_life) == Approx(p).epsilon(1e-9));
        CHECK(plain.below(log_life) == Approx(p).epsilon(1e-9));
    }
    CHECK(columns.belief.mean(columns.grade, log_age) == Approx(plain.mean_grade(model, log_age)).margin(1e-10));
}

}  // namespace

TEST_CASE("the belief of columns is that of each cell weighed by each look", "[forecast][columns][reference]") {
    // Synthetic: invented looks; that both ways agree is the check.
    const Catalogue catalogue = Catalogue::built_in();
    const detail::LifeModel model = detail::life_model(catalogue);
    Columns columns(model);
    RandomStream random(11);
    for (int trial = 0; trial < 60; ++trial) {
        std::vector<SeenLook> looks(1 + random.below(8));
        double log_age = -4 + 5 * random.uniform();
        for (SeenLook& look : looks) {
            look.highest = static_cast<int>(random.below(6));
            look.lowest = look.highest == 1 ? 0 : look.highest;
            look.log_age = log_age += 0.3 * random.uniform();
            look.early = look.highest >= 3 ? 0.3 * random.uniform() : 0;
            look.weight = random.below(4) == 0 ? 0.4 : 1;
        }
        INFO("trial " << trial << " of " << looks.size() << " looks");
        check_same(model, columns, looks, log_age + random.uniform());
        // A question about an age before the looks: the grades there still change where all looks say the same.
        CHECK(columns.belief.mean(columns.grade, log_age - 2) == Approx(PlainBelief(model, looks).mean_grade(model, log_age - 2)).margin(1e-10));
    }
}

TEST_CASE("looks of all kinds go through one pass in any number", "[forecast][columns][reference]") {
    // Synthetic, as above.
    const Catalogue catalogue = Catalogue::built_in();
    const detail::LifeModel model = detail::life_model(catalogue);
    Columns columns(model);
    for (int plain = 0; plain <= 4; ++plain)
        for (int early = 0; early <= 4; ++early)
            for (int power = 0; power <= 2; ++power) {
                std::vector<SeenLook> looks;
                for (int k = 0; k < early; ++k) looks.push_back({3, 3, -0.5 + 0.1 * k, 0.2, 1});
                for (int k = 0; k < plain; ++k) looks.push_back({1, 1, -0.9 + 0.1 * k, 0, 1});
                for (int k = 0; k < power; ++k) looks.push_back({4, 4, 0.1 * k, 0.1 * k, 0.5});
                INFO(plain << " plain, " << early << " early, " << power << " of a power");
                check_same(model, columns, looks, 0.2);
            }
}

TEST_CASE("a layer far older or younger than any life is believed at its ends", "[forecast][columns]") {
    // Synthetic, as above.
    const Catalogue catalogue = Catalogue::built_in();
    const detail::LifeModel model = detail::life_model(catalogue);
    Columns columns(model);
    for (const double log_age : {-30.0, -11.0, 3.2, 30.0}) {
        INFO("ln age " << log_age);
        check_same(model, columns, {{2, 2, log_age, 0, 1}, {4, 4, log_age, 0.1, 1}}, log_age);
    }
}
