#pragma once
// Published life data, typed from the named sources.

#include <initializer_list>
#include <limits>
#include <vector>

#include "libseal/life/fit.hpp"

namespace libseal_test {

constexpr double never = std::numeric_limits<double>::infinity();

/// Records as `fit_life` takes them.
struct LifeTable {
    std::vector<double> lower{}, upper{}, weights{};
    std::vector<std::vector<double>> covariates{};  ///< a row per record

    void add(double low, double high, double weight = 1, std::vector<double> x = {}) {
        lower.push_back(low);
        upper.push_back(high);
        weights.push_back(weight);
        covariates.push_back(std::move(x));
    }
    void failed(std::initializer_list<double> times, const std::vector<double>& x = {}) {
        for (const double t : times) add(t, t, 1, x);
    }
    void sound(std::initializer_list<double> times, const std::vector<double>& x = {}) {
        for (const double t : times) add(t, never, 1, x);
    }
};

libseal::LifeFit fit(const LifeTable& table, libseal::FitOptions options = {});
libseal::LifeFit fit(const LifeTable& table, const std::string& distribution);
/// A parameter by its name.
double parameter(const libseal::LifeFit& fit, const std::string& name);

/// Distance to failure of 38 shock absorbers, km. Meeker & Escobar 1998, Statistical Methods for Reliability Data, appendix C.
LifeTable shock_absorbers();
/// Cracks in 167 parts found at inspections, months. Nelson 1982, Applied Life Data Analysis, p. 415.
LifeTable part_cracks();
/// Heat exchanger tubes of three plants, yearly inspections. Meeker & Escobar 1998, chapters 1 and 3.
LifeTable exchanger_tubes();
/// 70 diesel fans, hours. Nelson 1982 (`genfan` of the R package survival).
LifeTable diesel_fans();
/// Remission of 42 patients, weeks; covariate: 1 for the drug. Freireich et al. 1963 (`gehan` of the R package MASS).
LifeTable leukaemia();
/// Motor insulation, hours; covariate: temperature in degrees C. Nelson & Hahn 1972 (`imotor` of the R package survival).
LifeTable motor_insulation();
/// Glass capacitors, hours; covariates: degrees C and volts. Zelen 1959 (`capacitor` of the R package survival).
LifeTable glass_capacitors();
/// Breast cosmesis, months between visits; covariate: 1 for chemotherapy. Finkelstein & Wolfe 1985 (R package interval).
LifeTable cosmesis();
/// Ovarian cancer, days; covariates: performance status and treatment. Edmunson et al. 1979 (`ovarian` of the R package survival).
LifeTable ovarian();
/// Four kinds of records at once, made for this project.
LifeTable four_kinds();

}  // namespace libseal_test
