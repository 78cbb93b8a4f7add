#pragma once
// A fleet forecast in pieces: collect each batch of coaches, combine what all of them teach, finish each batch.

#include <string>
#include <string_view>
#include <vector>

#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/shared_effects.hpp"

namespace libseal {

/// What the looks of some coaches say before coaches teach each other: a likelihood for each joint that was looked at.
class Evidence {
public:
    Evidence() = default;
    explicit Evidence(std::vector<JointEvidence> joints) : joints_(std::move(joints)) {}

    const std::vector<JointEvidence>& joints() const { return joints_; }
    /// Joints with looks.
    std::size_t size() const { return joints_.size(); }
    /// As text that reads back equal, to the bit: schema `libseal/evidence/1`.
    std::string to_json() const;
    /// @throws ValueError  with line, column and field.
    static Evidence from_json(std::string_view text, const std::string& name = "evidence");

private:
    std::vector<JointEvidence> joints_;
};

/// First phase of a forecast for a batch of coaches. Only joints with looks are worked out.
///
/// @param fleet    The batch.
/// @param as_of    Day of the forecast.
/// @param options  As of `forecast`, with the findings and the work of these coaches; `shared` and `warranty_days` do not matter.
/// @throws ValueError  as `forecast`.
/// @threads pure.
Evidence collect_evidence(const Fleet& fleet, Date as_of, const ForecastOptions& options = {});

/// Second phase: what all batches teach together; `forecast` with it as `shared` is the third.
///
/// Forecasts of batches made so have the same bits as one forecast of the whole fleet. The order of batches does not matter.
/// @param batches    Disjoint. @param catalogue  The one that the batches were collected with.
/// @throws ValueError  if a joint comes twice, or a likelihood was made with another catalogue's grid.
/// @threads pure.
SharedEffects combine_evidence(const std::vector<Evidence>& batches, const Catalogue& catalogue = Catalogue::built_in());

}  // namespace libseal
