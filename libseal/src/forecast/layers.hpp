#pragma once
// The two halves of a forecast: collecting the clocks of a fleet, and finishing a coach against them.

#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <vector>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/forecast/forecast.hpp"

namespace libseal::detail {

/// One layer of the fleet with the numbers of its clocks, one per stay of its coach.
struct LayerRow {
    std::size_t coach;
    std::size_t joint;
    std::size_t layer;
    std::vector<int> keys;
    bool dark_and_hot = false;
};

/// Sites, keys and layers of a fleet.
struct FleetClocks {
    FleetClocks(const Fleet& fleet, Date as_of, const ForecastOptions& options);

    const Fleet& fleet;
    ClockStore store;
    std::vector<LayerRow> layers;
    std::vector<std::size_t> first_layer;  ///< per coach, and the total at the end
    std::vector<std::string> coach_flag;   ///< "" or what is odd about where it stands

    /// Whether the mean air temperature where a key stands reaches `warm_year` [degC].
    bool warm_key(int key, double warm_year) const;

private:
    int site_of(const Stay& stay, const std::string& coach, const ForecastOptions& options, std::string& flag);
    void add_layer(std::size_t coach, std::size_t joint, std::size_t layer, const std::vector<int>& sites,
                   const Catalogue& catalogue);
    std::map<std::string, int> sites_;
    std::map<std::string, std::shared_ptr<const PlaceWeather>> own_;  ///< checked, by place
};

/// What all layers share.
struct LifeModel {
    LifePrior prior;
    LifeSpread spread;
    GradeScale scale;
    double target = 0.10;             ///< probability that calls for a look [-]
    int inspection_days = 365;
    double clean_look_detection = 0.8;  ///< chance that a look sees an early defect [-]
    double warm_year = 18;              ///< mean air temperature beyond which dark finishes are outside the evidence [degC]
};
LifeModel life_model(const Catalogue& catalogue);

/// Looks by (coach, joint, layer), in order of date.
using LooksByJoint = std::map<std::tuple<std::string, std::string, std::string>, std::vector<Look>>;
LooksByJoint looks_by_joint(const std::vector<Finding>& findings, const Fleet& fleet, const Catalogue& catalogue);

/// Fills the rows of one coach.
void finish_coach(const FleetClocks& clocks, std::size_t coach, const LooksByJoint& looks, const LifeModel& model,
                  const ForecastOptions& options, Forecast& result);

}  // namespace libseal::detail
