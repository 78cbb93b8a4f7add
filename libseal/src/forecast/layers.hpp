#pragma once
// The two halves of a forecast: collecting the clocks of a fleet, and finishing a coach against them.

#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <vector>

#include "forecast/appearance.hpp"
#include "forecast/look_tables.hpp"
#include "forecast/looks.hpp"
#include "forecast/records.hpp"
#include "forecast/unseen.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/forecast/belief.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"

namespace libseal::detail {

/// What the catalogue says of a family, read once for a fleet.
struct FamilyFacts {
    Sealant itself;
    MovementLaw movement;           ///< of beads; else as the default
    double capability_decay = 0;    ///< time of the loss of movement capability [effective yr]
};

/// A generation that work has ended, with the numbers of its clocks.
struct PastGeneration {
    Layer layer;
    Date ended{};
    std::vector<int> keys;
};

/// One layer of the fleet with the numbers of its clocks, one per stay of its coach.
struct LayerRow {
    std::size_t coach = 0;
    std::size_t joint = 0;
    std::size_t layer = 0;
    const FamilyFacts* family = nullptr;
    std::vector<int> keys;
    std::vector<int> exposed_keys;     ///< of a bedding, as it ages without a cap
    std::vector<int> appearance_keys;  ///< of the outermost layer, if its family has an appearance
    std::vector<int> movement_keys;    ///< of a bead, one per stay
    int usual_movement = -1;           ///< of the usual joint of its type at the reference
    std::vector<PastGeneration> past;
    bool dark_and_hot = false;
};

/// Which layers of a fleet are asked for their age.
struct WantedClocks {
    JointMarks joints = {};             ///< empty: all
    const FleetLooks* looks = nullptr;  ///< if given, layers with looks alone, and all of a joint whose bedding was graded under its cap
};

/// Sites, keys and layers of a fleet.
struct FleetClocks {
    /// @param standing  With the work done until `as_of`; must outlive this.
    /// @param as_fitted  The same coaches before that work.
    /// @param wanted  Layers that get clocks; the others have rows without.
    FleetClocks(const Fleet& standing, const Fleet& as_fitted, Date as_of, const ForecastOptions& options, const WantedClocks& wanted = {});

    const Fleet& fleet;
    ClockStore store;
    std::vector<LayerRow> layers;
    std::vector<std::size_t> first_layer;  ///< per coach, and the total at the end
    std::vector<std::string> coach_flag;   ///< "" or what is odd about where it stands
    std::vector<std::size_t> stay_now;     ///< per coach: stay that holds on the day of the forecast

    /// How much faster a layer ages for its movement, per stay; empty if it is the usual one everywhere.
    std::vector<double> movement_factors(const LayerRow& row) const { return movement_factors(row, row.family->movement); }
    /// The same of another family in its place.
    std::vector<double> movement_factors(const LayerRow& row, const MovementLaw& law) const;
    /// Largest strain of a layer in a stay [-]; NaN if it does not count.
    double largest_strain(const LayerRow& row, std::size_t stay) const;
    /// Whether the mean air temperature where a key stands reaches `warm_year` [degC].
    bool warm_key(int key, double warm_year) const;

private:
    int site_of(const Stay& stay, const std::string& coach, const ForecastOptions& options, std::string& flag);
    void add_clocks(LayerRow& row, const std::vector<int>& sites, const ForecastOptions& options);
    void add_movement(LayerRow& row, const std::vector<int>& sites, const ForecastOptions& options);
    std::vector<int> keys_of(const LayerRow& row, const std::vector<int>& sites, const Finish& coat,
                             const std::string& family, Law law, Depth depth);
    const FamilyFacts& facts_of(const std::string& family, bool bead, const Catalogue& catalogue);
    const Finish& finish_named(const std::string& name, const Catalogue& catalogue);
    const JointMovement& usual_movement_of(const std::string& type, const std::string& layer, const Catalogue& catalogue);
    std::map<std::string, int> sites_;
    std::map<std::pair<std::string, bool>, FamilyFacts> families_;  ///< by name, and whether as a bead
    std::map<std::string, Finish> finishes_;
    std::map<std::pair<std::string, std::string>, JointMovement> usual_movements_;  ///< by joint type and layer
    std::map<std::string, double> spacing_;  ///< of the coach at work, by joint: as the screws were found [m]
    int reference_site_ = -1;
    std::map<std::string, std::shared_ptr<const PlaceWeather>> own_;  ///< checked, by place
};

/// How a reading of moisture follows from water behind the joint. [% wood scale]
struct MoistureModel {
    double open_mean = 12;
    double open_sd = 8;
    double closed_sd = 3;
    double elsewhere = 0.2;  ///< chance that a wet reading at a tight joint has its water from elsewhere [-]
    /// Chances of a reading of the difference to a dry spot, up to a common factor.
    struct Chances {
        double open, closed;  ///< the larger one is 1 [-]
    };
    Chances chances(double difference) const;
};

/// What all layers share.
struct LifeModel {
    LifePrior prior;
    LifeSpread spread;
    EffectSpread effects;
    GradeScale scale;
    std::shared_ptr<LookTables> look_tables;  ///< of that scale; filled as they are asked for
    MoistureModel moisture;
    AppearanceModel appearance;
    std::shared_ptr<UnseenBeliefs> unseen;  ///< of layers that nobody looked at; filled as they are asked for
    double cap_failed = 1.35;         ///< worn share of a cap from which its bedding is exposed [-]
    double target = 0.10;             ///< probability that calls for a look [-]
    int inspection_days = 365;
    double clean_look_detection = 0.8;  ///< chance that a look sees an early defect [-]
    double warm_year = 18;              ///< mean air temperature beyond which dark finishes are outside the evidence [degC]
};
LifeModel life_model(const Catalogue& catalogue);

}  // namespace libseal::detail
