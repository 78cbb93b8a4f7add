#include "life/special.hpp"

#include <cmath>
#include <initializer_list>

namespace libseal::detail {
namespace {

constexpr double tiny = 1e-300, precise = 1e-16;
constexpr int most_terms = 100000;

/// Sum of x^k / (a (a+1) ... (a+k)): the lower incomplete gamma function without x^a e^-x.
double lower_series(double a, double x) {
    double term = 1 / a, sum = term;
    for (int k = 1; k < most_terms && term > sum * precise; ++k) sum += term *= x / (a + k);
    return sum;
}

/// Continued fraction of the upper incomplete gamma function without x^a e^-x, by Lentz. x > a + 1
double upper_fraction(double a, double x) {
    double b = x + 1 - a, c = 1 / tiny, d = 1 / b, value = d;
    for (int k = 1; k < most_terms; ++k) {
        const double numerator = -k * (k - a);
        b += 2;
        d = numerator * d + b;
        if (std::fabs(d) < tiny) d = tiny;
        c = b + numerator / c;
        if (std::fabs(c) < tiny) c = tiny;
        d = 1 / d;
        value *= d * c;
        if (std::fabs(d * c - 1) < 2 * precise) break;
    }
    return value;
}

/// Continued fraction of the incomplete beta function, by Lentz. x < (a + 1)/(a + b + 2)
double beta_fraction(double a, double b, double x) {
    double c = 1, d = 1 - (a + b) * x / (a + 1);
    if (std::fabs(d) < tiny) d = tiny;
    d = 1 / d;
    double value = d;
    for (int k = 1; k < most_terms; ++k) {
        const double even = k * (b - k) * x / ((a + 2 * k - 1) * (a + 2 * k));
        const double odd = -(a + k) * (a + b + k) * x / ((a + 2 * k) * (a + 2 * k + 1));
        for (const double numerator : {even, odd}) {
            d = 1 + numerator * d;
            if (std::fabs(d) < tiny) d = tiny;
            c = 1 + numerator / c;
            if (std::fabs(c) < tiny) c = tiny;
            d = 1 / d;
            value *= d * c;
        }
        if (std::fabs(d * c - 1) < 2 * precise) break;
    }
    return value;
}

/// Zero of a rising function between two ends, to the last bit of the argument.
template <class Function>
double rising_zero(double low, double high, Function&& function) {
    for (int k = 0; k < 200; ++k) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (function(middle) < 0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace

double gamma_below(double a, double x) {
    if (x <= 0) return 0;
    const double front = std::exp(a * std::log(x) - x - std::lgamma(a));
    return x < a + 1 ? front * lower_series(a, x) : 1 - front * upper_fraction(a, x);
}

double gamma_above(double a, double x) {
    if (x < a + 1) return 1 - gamma_below(a, x);
    return std::exp(a * std::log(x) - x - std::lgamma(a)) * upper_fraction(a, x);
}

double scaled_upper_gamma(double a, double x) {
    if (x <= 0) return std::tgamma(a);
    if (x >= a + 1) return std::exp(a * std::log(x)) * upper_fraction(a, x);
    return std::exp(x) * std::tgamma(a) - std::exp(a * std::log(x)) * lower_series(a, x);
}

double gamma_quantile(double a, double p) {
    // In ln x, so that small quantiles of small shapes keep their digits.
    return std::exp(rising_zero(-745, 700, [&](double u) { return gamma_below(a, std::exp(u)) - p; }));
}

double beta_below(double a, double b, double x) {
    if (x <= 0) return 0;
    if (x >= 1) return 1;
    const double front =
        std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) + a * std::log(x) + b * std::log1p(-x));
    return x < (a + 1) / (a + b + 2) ? front * beta_fraction(a, b, x) / a : 1 - front * beta_fraction(b, a, 1 - x) / b;
}

double beta_quantile(double a, double b, double p) {
    const auto share = [](double u) { return 1 / (1 + std::exp(-u)); };
    return share(rising_zero(-700, 700, [&](double u) { return beta_below(a, b, share(u)) - p; }));
}

}  // namespace libseal::detail
