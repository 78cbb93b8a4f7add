#pragma once
// The clocks behind a calibration table, and the reasons for what does not hold.

#include <array>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/forecast/calibration.hpp"

namespace libseal::detail {

inline const std::array<const char*, 5> calibration_surfaces = {"roof_light", "roof_dark", "south_wall", "mean_of_walls",
                                                                "covered"};

/// A layer as it is commonly built.
struct CalibrationLayer {
    std::string family;
    std::string layer;
    bool bead() const { return layer == "cap_bead"; }
};
const std::vector<CalibrationLayer>& calibration_layers();

/// Joint types with corners: a floating dome and a screwed cap.
inline const std::array<const char*, 2> calibration_corners = {"skylight_flange", "front_cap_to_roof"};

/// The usual places: the reference, then from the desert to the far north.
const std::vector<std::string>& calibration_places();

/// Clocks of all layers on all surfaces in all places, evaluated together.
class CalibrationClocks {
public:
    explicit CalibrationClocks(const CalibrationOptions& options);

    /// Years of the clock in a calendar year. Place -1: the reference.
    double rate(int place, const std::string& surface, const CalibrationLayer& layer) const;
    /// The same of the appearance of a family.
    double appearance_rate(int place, const std::string& surface, const std::string& family) const;
    /// Amplitude of the strain of the cap bead of the usual joint of a type, lying on the roof. [-]
    double strain_amplitude(int place, const std::string& type, Corner corner) const;
    /// Light that a family takes to be its own: no other term weighs more.
    bool light_driven(const CalibrationLayer& layer) const;
    /// Surface on which a life is stated: "roof_light" or "mean_of_walls".
    std::string home(const std::string& family) const;

    const Catalogue& catalogue() const { return catalogue_; }
    const std::vector<std::string>& places() const { return places_; }
    const Weather& weather(int place) const { return *weather_[static_cast<std::size_t>(place + 1)]; }
    /// Number of a place by its name, -1 if it is not in the table.
    int place(const std::string& name) const;
    bool warm(int place) const;  ///< mean air temperature reaches model/warm_year
    std::string reference_name() const { return reference_name_; }

private:
    struct Sky {
        std::vector<int> keys;  ///< one per plane that is averaged
    };
    void add_place(const Station& station);
    Sky add(int site, const std::string& surface, const std::string& family, Law law, Depth depth);
    double mean_rate(const Sky& sky) const;
    std::size_t index(int place, std::size_t surface) const;

    Catalogue catalogue_;
    std::vector<std::string> places_;
    std::string reference_name_;
    ClockStore store_;
    std::vector<std::shared_ptr<const Weather>> weather_;  ///< the reference first
    std::vector<int> sites_;                               ///< the same
    std::vector<std::vector<Sky>> layers_;           ///< per layer, by place and surface
    std::map<std::pair<std::string, Corner>, std::vector<int>> movements_;  ///< of a joint type, by place
    std::map<std::string, std::vector<Sky>> looks_;  ///< per family that has an appearance
};

/// Collects check rows.
class CheckRows {
public:
    /// @param entry  Catalogue entry with the wanted range.
    void add(const Catalogue& catalogue, const std::string& rule, const std::string& subject, double value,
             const std::string& entry, const std::string& reason = "");
    /// @param high    Infinite: the value must lie above `low`, not on it.
    /// @param reason  Why the value may lie outside, where no other reason is known.
    void add(const std::string& rule, const std::string& subject, double value, double low, double high, const std::string& unit,
             const std::string& source, const std::string& reason = "");
    CalibrationChecks take();

private:
    CalibrationChecks rows_;
    std::vector<double> value_, low_, high_;
};

/// "" or the known reason why a check is not met.
std::string known_miss(const std::string& rule, const std::string& subject);

/// The lives, in order of layer, place and surface.
CalibrationLives calibration_lives(const CalibrationClocks& clocks);
/// All checks.
CalibrationChecks calibration_checks(const CalibrationClocks& clocks, const CalibrationLives& lives);
/// Checks of the building preset against surveys: no weather is needed.
void add_survey_checks(CheckRows& rows);
/// Marginal share due at t [yr] for a median life at the reference [yr].
double marginal_due(const Catalogue& catalogue, double median, double t);

/// Reason for what a dark finish in a hot place does.
inline constexpr const char* dark_and_hot = "dark finish in a hot place: outside what the lives were set on, see model/warm_year";
inline constexpr const char* inside = "inside";
inline constexpr const char* not_explained = "not explained: ";

}  // namespace libseal::detail
