#include "exposure/site_slots.hpp"

#include <algorithm>

#include "climate/magnus.hpp"
#include "climate/plane_factors.hpp"
#include "exposure/ground.hpp"
#include "exposure/panel_factors.hpp"
#include "kernel/kernels.hpp"
#include "libseal/climate/ultraviolet.hpp"

namespace libseal::detail {
namespace {

/// Hours with any light. What is not known is no night.
std::vector<std::uint8_t> lit_hours(const Weather& weather) {
    std::vector<std::uint8_t> lit(static_cast<std::size_t>(weather.size()), 0);
    for (const Column* part : {&weather.ghi, &weather.dni, &weather.dhi})
        for (std::size_t i = 0; i < lit.size(); ++i) lit[i] |= (*part)[static_cast<Eigen::Index>(i)] != 0;
    return lit;
}

/// What the sun and the two skies are made of, in the order of slots.
Weather light_in(const Weather& weather, const HourSlots& order) {
    Weather part;
    part.site = weather.site;
    part.sun_offset = weather.sun_offset;
    const Eigen::Map<const Eigen::Array<std::uint32_t, Eigen::Dynamic, 1>> hour(order.hour.data(), static_cast<Eigen::Index>(order.size()));
    part.time_utc = weather.time_utc(hour);
    part.ghi = weather.ghi(hour);
    part.dni = weather.dni(hour);
    part.dhi = weather.dhi(hour);
    return part;
}

AlignedColumn aligned(const Column& column) {
    AlignedColumn copy(static_cast<std::size_t>(column.size()));
    std::copy(column.begin(), column.end(), copy.data());
    return copy;
}

SiteSlots::Sky aligned(const SkyHours& sky) {
    return {aligned(sky.beam), aligned(sky.circumsolar), aligned(sky.dome), aligned(sky.horizon), aligned(sky.horizontal)};
}

AlignedColumn total_on(const SiteSlots& site, const SiteSlots::Sky& sky, const kernel::PlaneFactors& plane) {
    AlignedColumn total(site.order.size());
    const kernel::SkyColumns columns{total.size(),           site.up.data(),  site.east.data(),   site.north.data(),    sky.beam.data(),
                                     sky.circumsolar.data(), sky.dome.data(), sky.horizon.data(), sky.horizontal.data()};
    kernel::kernels().plane_total(columns, plane, total.data());
    return total;
}

AlignedColumn copy_of(const AlignedColumn& column) {
    AlignedColumn copy(column.size());
    for (std::size_t i = 0; i < column.size(); ++i) copy[i] = column[i];
    return copy;
}

}  // namespace

HourSlots::HourSlots(const std::vector<std::uint8_t>& month, const std::vector<std::uint8_t>& lit, std::uint8_t wanted) {
    std::array<std::vector<std::uint32_t>, 12> hours;
    for (std::size_t i = 0; i < month.size(); ++i)
        if (lit[i] == wanted) hours[month[i]].push_back(static_cast<std::uint32_t>(i));
    std::vector<std::size_t> counted;
    for (std::size_t m = 0; m < 12; ++m) {
        begin[m] = hour.size();
        hour.insert(hour.end(), hours[m].begin(), hours[m].end());
        counted.push_back(hour.size());
        while (hour.size() % kernel::lane_count != 0) hour.push_back(hours[m].back());
    }
    begin[12] = hour.size();
    weight = AlignedColumn(hour.size());
    for (std::size_t m = 0; m < 12; ++m)
        for (std::size_t i = begin[m]; i < begin[m + 1]; ++i) weight[i] = i < counted[m] ? 1 : 0;
}

AlignedColumn HourSlots::gathered(ConstColumn hours) const {
    AlignedColumn slots(hour.size());
    for (std::size_t i = 0; i < hour.size(); ++i) slots[i] = hours[hour[i]];
    return slots;
}

void HourSlots::scatter(const double* slots, double* hours) const {
    for (std::size_t i = 0; i < hour.size(); ++i) hours[hour[i]] = slots[i];  // what fills up is equal to what it repeats
}

SiteSlots::SiteSlots(const Weather& weather, const PanelHours& panel, HourSlots hours, bool lit)
    : order(std::move(hours)),
      air(order.gathered(weather.air_temperature)),
      dew_exponent(order.gathered(magnus_exponent(weather.dew_point))),
      air_kelvin(order.gathered(panel.air)),
      sky_radiant(order.gathered(panel.sky_radiant)),
      film(order.gathered(panel.film)),
      two_sided(panel.two_sided) {
    if (!lit) return;
    const Weather part = light_in(weather, order);
    const SunHours sun = sun_hours(part);
    up = aligned(sun.cos_zenith);
    east = aligned(sun.east);
    north = aligned(sun.north);
    light = aligned(sky_hours(part, sun));
    ultraviolet = aligned(ultraviolet_hours(part, sun));
}

const AlignedColumn& PlaneLight::total() {
    if (total_.size() == 0) total_ = total_on(*day_, day_->light, plane_factors(plane_.tilt, plane_.azimuth, ground_albedo));
    return total_;
}

const AlignedColumn& PlaneLight::ultraviolet() {
    if (ultraviolet_.size() == 0)
        ultraviolet_ = total_on(*day_, day_->ultraviolet, plane_factors(plane_.tilt, plane_.azimuth, ground_uv_albedo));
    return ultraviolet_;
}

SiteHalves::SiteHalves(const Weather& weather, const std::vector<std::uint8_t>& month)
    : SiteHalves(weather, panel_hours(weather), month, lit_hours(weather)) {}

SiteHalves::SiteHalves(const Weather& weather, const PanelHours& panel, const std::vector<std::uint8_t>& month,
                       const std::vector<std::uint8_t>& lit)
    : day(weather, panel, HourSlots(month, lit, 1), true), night(weather, panel, HourSlots(month, lit, 0), false) {}

SlotTemperatures slot_temperatures(const SiteSlots& site, PlaneLight* light, const Plane& plane, double absorptance, double emittance,
                                   const CoverFactors& cover) {
    SlotTemperatures result;
    if (!cover.open_air) {
        result.indoor_air = copy_of(site.air);
        for (std::size_t i = 0; i < site.air.size(); ++i)
            if (site.air[i] < indoor_minimum) result.indoor_air[i] = indoor_minimum;
    }
    const double share = light_under(cover, plane);
    if (share <= 0) {
        result.surface = copy_of(cover.open_air ? site.air : result.indoor_air);
        return result;
    }
    kernel::PanelFactors factors = panel_factors(plane.tilt, absorptance, emittance, site.two_sided);
    factors.absorptance *= share;
    result.surface = AlignedColumn(site.order.size());
    const kernel::PanelColumns panel{result.surface.size(), site.air_kelvin.data(), site.sky_radiant.data(), site.film.data(),
                                     light ? light->total().data() : nullptr};
    kernel::kernels().panel_temperature(panel, factors, result.surface.data());
    return result;
}

double light_under(const CoverFactors& cover, const Plane& plane) { return plane.tilt < 45 ? cover.roof : cover.wall; }

}  // namespace libseal::detail
