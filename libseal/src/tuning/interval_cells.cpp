#include "tuning/interval_cells.hpp"

#include <algorithm>
#include <cmath>

#include "forecast/calibration_parts.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/life/intervals.hpp"

namespace libseal::detail {
namespace {

constexpr const char* cap = "cap_bead";

/// Types as asked for, else all that have a cap.
std::vector<std::string> types_of(const IntervalTableOptions& options) {
    std::vector<std::string> types;
    for (const std::string& name : options.joint_types.empty() ? joint_type_names(options.catalogue) : options.joint_types) {
        const JointType& type = joint_type(options.catalogue, name);
        if (!type.cap.empty()) types.push_back(name);
        else if (!options.joint_types.empty()) throw_value_error("joint_types", "types with a cap bead", "\"" + name + "\"");
    }
    return types;
}

/// Clocks and movements of all cells, in one store.
class CellClocks {
public:
    explicit CellClocks(const IntervalTableOptions& options)
        : options_(options), store_(options.catalogue, options.session),
          reference_(store_.add_site(find_station(options.catalogue.word("model/reference_station")), options.seed)) {}

    void add(const Station& station, IntervalCell cell) {
        const Catalogue& c = options_.catalogue;
        if (site_id_ != station.id) site_ = store_.add_site(station, options_.seed);
        site_id_ = station.id;
        cell.surface = c.word("joint_type/" + cell.joint_type + "/usual_surface");
        const Plane plane = plane_of_usual(cell.surface, options_.heading), unknown = plane_of_usual(cell.surface, std::nan(""));
        Keys keys;
        keys.clock = store_.add_key(clock_key(plane, cell));
        keys.law = movement_law(c, cell.family);
        if (keys.law.c > 0) {
            keys.movement = store_.add_movement(movement_key(site_, plane, options_.cover, cell.joint_type, keys.law.d));
            keys.usual = store_.add_movement(movement_key(reference_, unknown, "open", cell.joint_type, keys.law.d));
        }
        cells_.push_back(std::move(cell));
        keys_.push_back(keys);
    }

    std::vector<IntervalCell> take() {
        store_.evaluate(options_.threads, options_.watch);
        for (std::size_t i = 0; i < cells_.size(); ++i) {
            cells_[i].rate = year_mean(store_.clock(keys_[i].clock)).total();
            if (keys_[i].movement >= 0)
                cells_[i].rate *= movement_factor(keys_[i].law, store_.movement(keys_[i].movement).amplitude, store_.movement(keys_[i].usual).amplitude);
        }
        return std::move(cells_);
    }

private:
    struct Keys {
        int clock = 0, movement = -1, usual = -1;
        MovementLaw law;
    };
    static double azimuth_of(const Plane& plane) {
        return plane.tilt == 0 || plane.tilt == 180 ? 180 : std::isnan(plane.azimuth) ? -1 : plane.azimuth;
    }
    ClockKey clock_key(const Plane& plane, const IntervalCell& cell) const {
        const Catalogue& c = options_.catalogue;
        const std::string& skin = c.word("joint_type/" + cell.joint_type + "/usual_skin");
        const Finish coat = finish(c, options_.finish.empty() ? c.word("substrate/" + skin + "/usual_finish") : options_.finish);
        return {site_, plane.tilt, azimuth_of(plane), coat.absorptance, coat.emittance, options_.cover, cell.family, law_of_layer(cap), depth_of_layer(cap)};
    }
    MovementKey movement_key(int site, const Plane& plane, const std::string& cover, const std::string& type, double exponent) const {
        const JointMovement movement = usual_movement(type, options_.catalogue, cap);
        return {site, plane.tilt, azimuth_of(plane), cover, movement, movement.across > 0 ? Corner::corner : Corner::side, exponent};
    }

    const IntervalTableOptions& options_;
    ClockStore store_;
    int reference_, site_ = 0;
    std::string site_id_;
    std::vector<IntervalCell> cells_;
    std::vector<Keys> keys_;
};

/// Marginal life until due as a table, where the Weibull scale is 1.
LifeLaw marginal_life(const LifePrior& prior, const LifeSpread& spread) {
    constexpr int points = 3000;
    const Column age = Column::LinSpaced(points, std::log(1e-3), std::log(12.0)).exp();
    Column survival = Column::Zero(points);
    for (int k = 0; k < prior.effect_count(); ++k)
        survival += prior.effect[k] * (-(age * std::exp(prior.effect_node(k))).pow(spread.shape)).exp();
    Eigen::Index used = points;
    while (used > 2 && survival[used - 1] < 1e-12) --used;
    return LifeLaw::table(age.head(used), survival.head(used).min(1));
}

/// Mean time from visible until a look finds it or it is open, looks every `interval` from a random first one.
double mean_wait(const LifeLaw& delay, double detection, double interval) {
    if (!std::isfinite(interval)) return delay.mean();
    const double far = delay.quantile(1 - 1e-6), step = std::max(std::min(interval, far) / 32, far / 20000);
    double sum = 0;
    for (double y = step / 2; y < far; y += step) {
        const double whole = std::floor(y / interval), rest = y / interval - whole;
        sum += std::pow(1 - detection, whole) * (1 - detection * rest) * delay.survival(y) * step;
    }
    return sum;
}

}  // namespace

std::vector<IntervalCell> interval_cells(const IntervalTableOptions& options) {
    const std::vector<std::string> types = types_of(options);
    CellClocks clocks(options);
    for (const std::string& name : options.stations.empty() ? calibration_places() : options.stations) {
        const Station station = find_station(name);
        const std::string words = climate_words(station, options.catalogue);
        for (const std::string& type : types) {
            const JointType& joint = joint_type(options.catalogue, type);
            const JointCosts costs = joint_costs(options, type);
            for (const std::string& family : options.families.empty() ? std::vector<std::string>{joint.cap} : options.families)
                clocks.add(station, {station.site.name, words, type, family, "", joint.consequence, 1,
                                     sealant(options.catalogue, family).median_life, costs});
        }
    }
    return clocks.take();
}

UnitLife::UnitLife(const IntervalTableOptions& options)
    : spread(life_spread(options.catalogue)), due(LifeLaw::exponential(1)) {
    const GradeScale scale = grade_scale(options.catalogue);
    const LifePrior prior = life_prior(spread);
    median = std::exp(prior.median_log);
    visible = scale.cuts[static_cast<std::size_t>(options.found_grade) - 1];
    open = scale.cuts[4];
    detection = std::isnan(options.detection) ? scale.detection : options.detection;
    due = marginal_life(prior, spread);
}

FormulaBest formula_best(const UnitLife& life, double scale, const JointCosts& costs) {
    const double window = (life.open - life.visible) * scale;
    FormulaBest best;
    const ReplacementAge age = best_replacement_age(life.due, costs.reseal, costs.failure);
    best.age = age.finite ? age.age * life.open * scale : INFINITY;
    best.age_cost = age.cost_rate / (life.open * scale);
    // Time in units of the window, so that the delay is the life itself. How often defects come hangs on how long they wait.
    best.interval = INFINITY;
    for (int round = 0; round < 4; ++round) {
        const double sound = life.visible * scale * life.due.mean() / window;
        const double defects = 1 / (sound + mean_wait(life.due, life.detection, best.interval));
        const InspectionInterval looks = best_inspection_interval(defects, life.due, life.detection, costs.look, costs.reseal, costs.failure);
        best.interval = looks.interval;
        best.interval_cost = looks.cost_rate / window;
    }
    best.interval *= window;
    return best;
}

}  // namespace libseal::detail
