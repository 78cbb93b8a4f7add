#include "forecast/look_tables.hpp"

#include <utility>

#include "libseal/core/random.hpp"

namespace libseal {
namespace detail {

double reading_chance(const Look& look, double grade, double noise) {
    const double above = look.highest >= 5 ? 1.0 : normal_probability((look.highest + 0.5 - grade) / noise);
    const double below = look.lowest <= 0 ? 0.0 : normal_probability((look.lowest - 0.5 - grade) / noise);
    return above - below;
}

double wear_chance(const Look& look, const GradeScale& scale, double grade, double noise) {
    constexpr double best_defect = 2.5, missed = 2.0;
    const double chance = reading_chance(look, grade, noise);
    if (!(grade > best_defect)) return chance;
    // A defect that is overlooked is reported as aged but bonded.
    return scale.detection * chance + (1 - scale.detection) * reading_chance(look, missed, noise);
}

LookTables::LookTables(const GradeScale& scale) : scale_(scale), grade_(LookTable::nodes()) {
    for (Eigen::Index i = 0; i < grade_.size(); ++i) grade_[i] = grade_of_worn_share(scale_, LookTable::worn_share(i));
}

LookTable LookTables::table(const Look& look) {
    const auto whole = [&](const Look& one, const Reading& reading) {
        auto chance = std::make_shared<Column>(grade_.size());
        for (Eigen::Index i = 0; i < grade_.size(); ++i)
            (*chance)[i] = whole_chance(one, scale_, grade_[i], reading.wear[i], reading.workmanship);
        return chance;
    };
    const double noise = error_of(look, scale_);
    const auto reading = readings_.get({look.lowest, look.highest, noise, look.weight}, [&] {
        Reading made{Column(grade_.size()), reading_chance(look, workmanship_grade, noise), nullptr};
        for (Eigen::Index i = 0; i < grade_.size(); ++i) made.wear[i] = wear_chance(look, scale_, grade_[i], noise);
        Look plain = look;
        plain.early = 0;
        made.plain = whole(plain, made);
        return made;
    });
    return LookTable(look.early > 0 ? whole(look, *reading) : reading->plain);
}

}  // namespace detail

double look_chance(const Look& look, const GradeScale& scale, double grade) {
    using namespace detail;
    const double noise = error_of(look, scale);
    const double workmanship = look.early > 0 ? reading_chance(look, workmanship_grade, noise) : 0.0;
    return whole_chance(look, scale, grade, wear_chance(look, scale, grade, noise), workmanship);
}

LookTable::LookTable(const Look& look, const GradeScale& scale) {
    Column chance(nodes());
    for (Eigen::Index i = 0; i < chance.size(); ++i) chance[i] = look_chance(look, scale, grade_of_worn_share(scale, worn_share(i)));
    chance_ = std::make_shared<const Column>(std::move(chance));
}

double LookTable::worn_share(Eigen::Index node) { return std::exp(lowest + static_cast<double>(node) * step); }

}  // namespace libseal
