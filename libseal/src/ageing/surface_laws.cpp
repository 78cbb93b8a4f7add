#include "libseal/ageing/surface_laws.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "ageing/column_checks.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

constexpr double highest_rating = 25;

void check_law(const CrackLaw& law) {
    require_not_negative(law.a, "a");
    require_positive(law.b, "b");
    require_not_negative(law.c, "c");
    require_not_negative(law.d, "d");
}

CrackLaw read_law(const Catalogue& catalogue, const std::string& product) {
    const std::string base = "crack_law/" + product + "/";
    return {catalogue.number(base + "a"), catalogue.number(base + "b"), catalogue.number(base + "c"),
            catalogue.number(base + "d"), catalogue.word(base + "site_matters") == "yes"};
}

}  // namespace

std::vector<std::string> crack_law_names(const Catalogue& catalogue) { return catalogue.names("crack_law"); }

CrackLaw crack_law(const Catalogue& catalogue, const std::string& name) {
    if (catalogue.has("crack_law/" + name + "/a")) return read_law(catalogue, name);
    const std::string family = "sealant/" + name + "/crack_law";
    if (!catalogue.has(family)) {
        std::vector<std::string> known = crack_law_names(catalogue);
        for (const auto& other : catalogue.names("sealant")) known.push_back(other);
        const std::string near = nearest_name(name, known);
        throw_value_error("name", "a product with a crack law or a sealant family", "\"" + name + "\"",
                          near.empty() ? "" : "did you mean \"" + near + "\"?");
    }
    const std::string& product = catalogue.word(family);
    return product == "none" ? CrackLaw{} : read_law(catalogue, product);
}

double crack_multiplier(const CrackLaw& law, double amplitude) {
    check_law(law);
    require_between(amplitude, 0, 100, "amplitude");
    return 1 + (amplitude > 0 ? law.c * std::pow(amplitude, law.d) : 0);
}

double crack_rating_published(const CrackLaw& law, double age, double amplitude, double site) {
    const double multiplier = crack_multiplier(law, amplitude);
    require_not_negative(age, "age");
    require_positive(site, "site");
    return (law.site_matters ? site : 1) * law.a * std::pow(age, law.b) * multiplier;
}

double crack_rating(const CrackLaw& law, double age, double amplitude, double site) {
    return -highest_rating * std::expm1(-crack_rating_published(law, age, amplitude, site) / highest_rating);
}

double crack_age(const CrackLaw& law, double rating, double amplitude, double site) {
    const double first_year = crack_rating_published(law, 1, amplitude, site);
    require_not_negative(rating, "rating");
    if (rating >= highest_rating) throw_value_error("rating", "a rating below 25", number_text(rating));
    if (rating == 0) return 0;
    if (first_year == 0) return std::numeric_limits<double>::infinity();
    return std::pow(-highest_rating * std::log1p(-rating / highest_rating) / first_year, 1 / law.b);
}

CrackLaw crack_law_after_looks(const CrackLaw& law, ConstColumn ages, ConstColumn amplitudes, ConstColumn ratings) {
    check_law(law);
    require_positive(law.a, "a");
    detail::require_length(amplitudes, ages.size(), "amplitudes", "ages");
    detail::require_length(ratings, ages.size(), "ratings", "ages");
    detail::require_column(ages, 0, std::numeric_limits<double>::infinity(), "ages");
    detail::require_column(ratings, 0, highest_rating, "ratings");
    if (ages.size() == 0) return law;
    constexpr double half_step = 0.5;
    double sum = 0;
    for (Eigen::Index i = 0; i < ages.size(); ++i) {
        if (!(ages[i] > 0)) throw_value_error("ages[" + std::to_string(i) + "]", "an age > 0", number_text(ages[i]));
        const double published = std::pow(ages[i], law.b) * crack_multiplier(law, amplitudes[i]);
        sum += std::log(std::max(ratings[i], half_step) / published);
    }
    const double n = static_cast<double>(ages.size()), weight = n / (n + 2);
    CrackLaw moved = law;
    moved.a = std::exp((1 - weight) * std::log(law.a) + weight * sum / n);
    return moved;
}

double crack_rating_of_look(double quantity, double size) {
    return require_between(quantity, 0, 5, "quantity") * require_between(size, 0, 5, "size");
}

double yellowness_index(double x, double y, double z, const std::string& observer) {
    require_not_negative(x, "x");
    require_positive(y, "y");
    require_not_negative(z, "z");
    struct Row {
        const char* observer;
        double x, z;
    };
    // ASTM E313, table of coefficients.
    for (const Row& row : {Row{"c_2", 1.2769, 1.0592}, Row{"d65_2", 1.2985, 1.1335}, Row{"d65_10", 1.3013, 1.1498}})
        if (observer == row.observer) return 100 * (row.x * x - row.z * z) / y;
    throw_value_error("observer", "one of c_2, d65_2, d65_10", "\"" + observer + "\"");
}

}  // namespace libseal
