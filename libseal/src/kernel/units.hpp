#pragma once
// Constants of nature that loops and their callers share.

namespace libseal::kernel {

constexpr double zero_celsius = 273.15;           ///< [K]
constexpr double gas_constant = 8.314462618e-3;   ///< [kJ/(mol K)], CODATA 2018
constexpr double reference_kelvin = 296.15;       ///< 23 degC, at which every rate is 1 [K]
constexpr double magnus_a = 17.625, magnus_b = 243.04;  ///< [-], [degC]. @source Alduchov & Eskridge 1996.

}  // namespace libseal::kernel
