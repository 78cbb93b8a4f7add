#pragma once
// Synthetic coaches, shops, forecasts and findings for tests of consistency. Invented, seeded; no data of the
// world.

#include <string>
#include <vector>

#include "libseal/coach/layouts.hpp"
#include "libseal/core/random.hpp"
#include "libseal/work/plan.hpp"

namespace libseal_test {

inline libseal::Date sample_day() { return libseal::make_date(2026, 11, 25); }

inline libseal::Coach sample_trailer(std::uint64_t seed, const std::string& id = "synthetic") {
    libseal::RandomStream random(seed, 1);
    libseal::LayoutOptions options;
    options.id = id;
    options.roof_vents = static_cast<int>(random.below(4));
    options.windows = static_cast<int>(2 + random.below(5));
    options.slide_outs = static_cast<int>(random.below(2));
    options.marker_lights = static_cast<int>(4 + random.below(7));
    options.skylight = random.below(2) == 1;
    options.ladder = random.below(2) == 1;
    options.awning = random.below(2) == 1;
    options.installed_from = options.installed_to = libseal::make_date(2020, 5, 1);
    return libseal::travel_trailer(7.5 + 2.5 * random.uniform(), options);
}

inline libseal::Shop sample_shop(int people = 3, int bays = 2) {
    libseal::Shop shop;
    shop.name = "synthetic";
    shop.labour_rate_per_h = 15000;
    for (int i = 0; i < people; ++i) shop.people.push_back({"p" + std::to_string(i), {}, 480, 1020});
    shop.bays = bays;
    shop.package_price = {{"self_levelling_lap", 1350}, {"non_sag_lap", 1200}, {"butyl_tape", 1100}};
    return shop;
}

/// Rows for all layers; due dates are drawn, or `due` for all of them.
inline void add_forecast(libseal::Forecast& forecast, const libseal::Coach& coach, std::uint64_t seed) {
    libseal::RandomStream random(seed, 2);
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers) {
            forecast.coach.push_back(coach.id);
            forecast.joint.push_back(joint.id);
            forecast.layer.push_back(layer.kind);
            forecast.family.push_back(layer.family);
            forecast.flag.emplace_back();
            const Eigen::Index n = static_cast<Eigen::Index>(forecast.joint.size());
            forecast.age.conservativeResize(n);
            forecast.due_50.conservativeResize(n);
            forecast.inspect_by.conservativeResize(n);
            forecast.age(n - 1) = 6;
            forecast.due_50(n - 1) =
                forecast.as_of.days - 200 + static_cast<std::int32_t>(random.below(2400));
            forecast.inspect_by(n - 1) =
                forecast.as_of.days + 20 + static_cast<std::int32_t>(random.below(280));
        }
}

inline libseal::Forecast sample_forecast(const libseal::Coach& coach, std::uint64_t seed,
                                         libseal::Date as_of = sample_day()) {
    libseal::Forecast forecast;
    forecast.as_of = as_of;
    forecast.years = 2;
    add_forecast(forecast, coach, seed);
    return forecast;
}

inline libseal::Finding finding_at(const libseal::Coach& coach, const std::string& joint,
                                   const std::string& sign, const std::string& size = "", double share = 0.2,
                                   libseal::Date date = sample_day() - 10) {
    libseal::Finding finding;
    finding.coach = coach.id;
    finding.joint = joint;
    finding.sign = sign;
    finding.size = size;
    finding.share = share;
    finding.date = date;
    return finding;
}

/// Nothing due for years: only what is seen calls for work.
inline libseal::Forecast quiet_forecast(const libseal::Coach& coach) {
    libseal::Forecast forecast = sample_forecast(coach, 1);
    forecast.due_50.setConstant(sample_day().days + 5000);
    return forecast;
}

inline std::vector<libseal::Finding> sample_findings(const libseal::Coach& coach, std::uint64_t seed,
                                                     int count) {
    static const std::vector<std::string> signs{"skin_cracks",
                                                "deep_crack",
                                                "void",
                                                "edge_lift",
                                                "gap",
                                                "corner_loose",
                                                "worn_thin",
                                                "missing",
                                                "soft_or_reverted",
                                                "bedding_squeezed_out",
                                                "bedding_shrunk",
                                                "fastener_loose",
                                                "part_cracked",
                                                "stain",
                                                "soft_substrate",
                                                "clean_look",
                                                "hardened",
                                                "silicone_residue",
                                                "insert_short",
                                                "chalking"};
    static const std::vector<std::string> sizes{"slight", "clear", "severe"};
    libseal::RandomStream random(seed, 3);
    std::vector<libseal::Finding> findings;
    for (int i = 0; i < count; ++i) {
        const auto& joint = coach.joints[random.below(coach.joints.size())];
        auto finding =
            finding_at(coach, joint.id, signs[random.below(signs.size())], sizes[random.below(3)],
                       0.01 + 0.9 * random.uniform(), sample_day() - static_cast<int>(1 + random.below(60)));
        finding.reaches_fastener = random.below(8) == 0;
        findings.push_back(finding);
    }
    return findings;
}

}  // namespace libseal_test
