#pragma once
// The hours of a site in the order in which they are worked on: those with light first, then the dark ones, either half by
// calendar month. Then dark hours cost nothing where only light counts, months are runs that are summed without a look at
// the calendar, and what the night is like need not be found anew for each azimuth and finish.

#include <array>
#include <cstdint>
#include <vector>

#include "kernel/aligned_column.hpp"
#include "kernel/plane_light.hpp"
#include "libseal/exposure/exposure.hpp"

namespace libseal::detail {

using kernel::AlignedColumn;

/// One half. Every month is filled up to whole lanes with hours that weigh nothing.
struct HourSlots {
    /// Slots of the hours of which `wanted` is 1. @param month  Calendar month of each hour, 0 to 11.
    HourSlots(const std::vector<std::uint8_t>& month, const std::vector<std::uint8_t>& lit, std::uint8_t wanted);

    std::size_t size() const { return hour.size(); }
    AlignedColumn gathered(ConstColumn hours) const;
    /// Puts the values of slots to their hours.
    void scatter(const double* slots, double* hours) const;

    std::array<std::size_t, 13> begin{};  ///< of each month
    std::vector<std::uint32_t> hour;      ///< of each slot
    AlignedColumn weight;                 ///< 1; 0 of what fills up
};

/// What all surfaces of a site share.
struct SiteSlots {
    /// @param lit  Whether there is a sky to work out.
    SiteSlots(const Weather& weather, const PanelHours& panel, HourSlots order, bool lit);

    HourSlots order;
    AlignedColumn air;           ///< [degC]
    AlignedColumn dew_exponent;  ///< Magnus exponent of the dew point
    AlignedColumn air_kelvin, sky_radiant, film;  ///< of PanelHours
    bool two_sided;
    AlignedColumn up, east, north;  ///< of the sun; empty at night
    struct Sky {
        AlignedColumn beam, circumsolar, dome, horizon, horizontal;
    };
    Sky light, ultraviolet;  ///< of SkyHours; empty at night
};

/// What a plane receives by day [W/m2], worked out when first asked for.
class PlaneLight {
public:
    /// @param day  Stays alive.
    PlaneLight(const SiteSlots& day, const Plane& plane) : day_(&day), plane_(plane) {}
    const AlignedColumn& total();
    const AlignedColumn& ultraviolet();

private:
    const SiteSlots* day_;
    Plane plane_;
    AlignedColumn total_, ultraviolet_;
};

/// Day and night.
struct SiteHalves {
    /// @param month  Calendar month of each hour, 0 to 11.
    SiteHalves(const Weather& weather, const std::vector<std::uint8_t>& month);
    SiteSlots day, night;

private:
    SiteHalves(const Weather& weather, const PanelHours& panel, const std::vector<std::uint8_t>& month, const std::vector<std::uint8_t>& lit);
};

/// Surface and air in a half. [degC]
struct SlotTemperatures {
    AlignedColumn surface;
    AlignedColumn indoor_air;  ///< empty in the open: then the air is the site's
    const double* air(const SiteSlots& site) const { return indoor_air.size() > 0 ? indoor_air.data() : site.air.data(); }
};
/// @param light  Null: dark.
SlotTemperatures slot_temperatures(const SiteSlots& site, PlaneLight* light, const Plane& plane, double absorptance, double emittance,
                                   const CoverFactors& cover);

/// Share of the light that a cover lets through to a plane. [-]
double light_under(const CoverFactors& cover, const Plane& plane);

}  // namespace libseal::detail
