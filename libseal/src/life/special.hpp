#pragma once
// Incomplete gamma and beta functions and their inverses, as far as life distributions and beliefs need them.

namespace libseal::detail {

/// Share of the gamma distribution with shape a below x (rate 1). a > 0
double gamma_below(double a, double x);
/// Share above x, to its own digits where it is small. a > 0
double gamma_above(double a, double x);
/// e^x times the upper incomplete gamma function of a at x >= 0; does not overflow for large x. a > 0
double scaled_upper_gamma(double a, double x);
/// x with gamma_below(a, x) = p. p in (0, 1)
double gamma_quantile(double a, double p);
/// Share of the beta distribution below x. a, b > 0, x in [0, 1]
double beta_below(double a, double b, double x);
/// x with beta_below(a, b, x) = p. p in (0, 1)
double beta_quantile(double a, double b, double p);

}  // namespace libseal::detail
