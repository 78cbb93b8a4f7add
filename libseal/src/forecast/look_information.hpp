#pragma once
// What a look at a joint is expected to tell about being due.

#include "forecast/joint_belief.hpp"

namespace libseal::detail {

/// What a look would tell.
struct LookInformation {
    double bits = 0;  ///< mutual information of the grades reported and of being due [bit]
    double open = 0;  ///< entropy of being due: what there is to be told [bit]
    double due = 0;   ///< probability that a layer that is seen is due [-]
};

/// Does a look at the joint see this layer?
bool is_seen(const JointBelief& joint, std::size_t l);

/// @param noise  Sd of the look [grades]; NaN: that of the model.
/// @param until  Day by which the layers are due or not.
LookInformation look_information(const JointBelief& joint, const LifeModel& model, Date day, Date until, double noise);

}  // namespace libseal::detail
