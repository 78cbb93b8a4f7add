#pragma once
// Open swings of a movement: counted once, they serve every joint that moves in proportion.

#include <compare>
#include <string>
#include <vector>

#include "libseal/ageing/evaluate.hpp"

namespace libseal::detail {

class ContractedHistory;

/// The half cycles that rainflow leaves of a series, and its largest value.
class Swings {
public:
    /// @param movement  Hours that are NaN are left out.
    explicit Swings(ConstColumn movement);
    /// Of the series times a factor, which scales all ranges and changes no cycle.
    StrainSummary strain(const std::string& form, double factor, double exponent) const;

private:
    /// @param hour  Of each value; none: the series holds every hour.
    void take(const ContractedHistory& history, ConstColumn series, const std::vector<Eigen::Index>& hour = {});

    double largest_ = 0;
    double cycles_ = 0;
    Column half_range_, hours_;
};

/// Two adherends that move over the same length: where they are, how they take the sun and how they grow. Their joint moves
/// by u = expansion_b (T_b - T_set) - expansion_a (T_a - T_set), times a factor for its size.
struct SwingKey {
    explicit SwingKey(const MovementKey& key);
    auto operator<=>(const SwingKey&) const = default;

    int site;
    double tilt, azimuth;
    std::string cover;
    double absorptance_a, emittance_a, expansion_a;
    double absorptance_b, emittance_b, expansion_b;
};

/// Whether a movement is in proportion to that u.
inline bool moves_in_proportion(const JointMovement& movement) { return movement.a.restraint == movement.b.restraint; }
/// u per degree of both temperatures [1/K times degC].
Swings swings_of(const SwingKey& key, ConstColumn temperature_a, ConstColumn temperature_b, double set_temperature);
/// Strain of a joint that moves in proportion: restraint over width times u; on a corner the resultant of both restraints.
StrainSummary strain_of(const Swings& swings, const MovementKey& key);

}  // namespace libseal::detail
