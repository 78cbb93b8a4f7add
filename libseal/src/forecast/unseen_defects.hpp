#pragma once
// Defects of workmanship that the looks at a layer have left unseen.

#include <algorithm>
#include <cmath>

#include "forecast/layers.hpp"

namespace libseal::detail {

/// Follows the looks at one layer in order of time: clean looks would have found most of its early defects.
class UnseenDefects {
public:
    UnseenDefects(const LifeModel& model, double joint_length)
        : model_(model), fresh_(1 - std::exp(-model.spread.early_defects_per_m * joint_length)) {}

    /// Takes in a look at a grade in [lowest, highest] at a calendar age [yr].
    /// @return  Chance that, if it found a defect, one of workmanship was there to be seen, beside the wear. [-]
    double take(int lowest, int highest, double age) {
        if (lowest >= 3) {
            const double left = missed_ * fresh_ * std::exp(-std::max(0.0, age) / model_.spread.early_time);
            return left / (1 - fresh_ + left);
        }
        if (highest < 3) missed_ *= 1 - model_.clean_look_detection;
        return 0;
    }

private:
    const LifeModel& model_;
    double fresh_;       ///< chance that the layer had one when it was new
    double missed_ = 1;  ///< share of them that the looks so far have left unseen
};

}  // namespace libseal::detail
