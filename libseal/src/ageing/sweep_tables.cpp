#include "ageing/sweep_tables.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr int most_rounds = 4;  // each with a node more an axis

constexpr double ClockTerms::*part_of[] = {&ClockTerms::light, &ClockTerms::heat, &ClockTerms::moisture};

/// An end of a range that was worked out may be a rounding beyond it.
bool holds(const SweptParameter& range, double value) {
    const double rounding = 1e-12 * (range.high - range.low);
    return value >= range.low - rounding && value <= range.high + rounding;
}

int weight_of(SweepRole role) {
    return role == SweepRole::weight_light ? 0 : role == SweepRole::weight_heat ? 1 : role == SweepRole::weight_moisture ? 2 : -1;
}

}  // namespace

SweepTables::SweepTables(std::shared_ptr<const SweptLayer> layer, const std::vector<SweepRange>& ranges)
    : layer_(std::move(layer)), ranges_(checked_ranges(ranges, layer_->options())) {
    const Sealant& family = layer_->family();
    base_weights_ = {family.weight_light, family.weight_heat, family.weight_moisture};
    for (std::size_t p = 0; p < ranges_.size(); ++p)
        if (const int part = weight_of(ranges_[p].entry.role); part >= 0) weight_parameter_[static_cast<std::size_t>(part)] = static_cast<int>(p);
    const double tolerance = layer_->options().tolerance;
    for (int round = 0; round < most_rounds; ++round) {
        make(round);
        if (error_.stated <= tolerance) return;
    }
    throw_value_error("tolerance", "what series of " + std::to_string(most_nodes) + " nodes reach for these ranges: " + number_text(error_.stated),
                      number_text(tolerance), "narrow the ranges, or ask for a tolerance above that");
}

void SweepTables::make(int more_nodes) {
    terms_.clear();
    parameters_.clear();
    for (const SweptRange& range : ranges_) parameters_.push_back(range.parameter);
    const RateTerms own = layer_->terms(), all = rate_terms(layer_->family(), false);
    const RateTerm* const weighted[] = {&own.light, &own.heat, &own.moisture};
    const RateTerm* const any[] = {&all.light, &all.heat, &all.moisture};
    for (std::size_t part = 0; part < 3; ++part) {
        const bool has = weighted[part]->kind != RateTerm::Kind::none;
        if (!has && weight_parameter_[part] < 0) continue;
        terms_.push_back({part, SweepTerm(*layer_, has ? *weighted[part] : *any[part], ranges_, layer_->options().tolerance, more_nodes)});
        const SweepTerm& term = terms_.back().series;
        for (std::size_t d = 0; d < term.axes().size(); ++d) {
            int& nodes = parameters_[term.axes()[d].parameter].nodes;
            nodes = std::max(nodes, term.nodes()[d]);
        }
    }
    check_series();
}

void SweepTables::check_series() {
    error_ = {};
    for (const Term& term : terms_) error_.series = std::max(error_.series, term.series.error());
    const RateSweepOptions& options = layer_->options();
    RandomStream random(options.seed, 0x5eed);
    SweptSurfaces surfaces(*layer_);
    SweepWork room = work();
    std::vector<double> point(ranges_.size());
    for (error_.points = 0; error_.points < options.check_points; ++error_.points) {
        for (std::size_t p = 0; p < point.size(); ++p) {
            const SweptParameter& range = parameters_[p];
            point[p] = range.low + (range.high - range.low) * random.uniform();
        }
        for (const Term& term : terms_) {
            const auto [rate, finish] = term.series.at(point.data(), layer_->finish());
            const MonthSums exact = surfaces.means(rate, finish);
            const double reference = layer_->reference(rate);
            double months[12], year = 0;
            term.series.months(point.data(), room, months, year);
            for (std::size_t m = 0; m < 12; ++m)
                if (exact[m] > 0) error_.checked = std::max(error_.checked, std::fabs(months[m] * reference / exact[m] - 1));
            double sum = 0;
            for (std::size_t m = 0; m < 12; ++m) sum += exact[m] * (month_days[m] / 365.25);
            if (sum > 0) error_.checked = std::max(error_.checked, std::fabs(year * reference / sum - 1));
        }
    }
    error_.stated = std::max(error_.series, 2 * error_.checked);
}

std::size_t SweepTables::room() const {
    std::size_t room = 1;
    for (const Term& term : terms_) room = std::max(room, term.series.room());
    return room;
}

SweepWork SweepTables::work() const {
    SweepWork work{};
    work.products.resize(room());
    return work;
}

std::unique_ptr<SweepBlock> SweepTables::block() const {
    std::unique_ptr<SweepBlock> block(new SweepBlock);  // not filled with zeros: each call sets what it reads
    block->products = AlignedColumn(room() * points_at_once);
    return block;
}

bool SweepTables::within(const double* point) const {
    for (std::size_t p = 0; p < parameters_.size(); ++p)
        if (!holds(parameters_[p], point[p])) return false;
    return true;
}

void SweepTables::check(const double* point, const std::string& place) const {
    for (std::size_t p = 0; p < parameters_.size(); ++p) {
        const SweptParameter& range = parameters_[p];
        if (holds(range, point[p])) continue;
        throw_value_error(place + "." + range.name, number_text(range.low) + " to " + number_text(range.high) + " " + range.unit,
                          number_text(point[p]), "the series holds within its range alone: make a sweep over a wider one");
    }
}

SweepTables::Parts SweepTables::weights(const double* point) const {
    Parts weights = base_weights_;
    double left = 1, others = 0;
    bool any = false;
    for (std::size_t part = 0; part < 3; ++part) {
        if (const int p = weight_parameter_[part]; p >= 0) {
            weights[part] = point[p];
            left -= weights[part];
            any = true;
        } else {
            others += weights[part];
        }
    }
    if (!any) return weights;
    constexpr double rounding = 1e-12;
    if (left < -rounding || (others <= 0 && left > rounding))
        throw_value_error("point", others > 0 ? "weights that sum to at most 1" : "weights that sum to 1: nothing else has one", number_text(1 - left));
    for (std::size_t part = 0; part < 3; ++part)
        if (weight_parameter_[part] < 0 && others > 0) weights[part] *= std::max(0.0, left) / others;
    return weights;
}

std::array<SweepTables::Parts, points_at_once> SweepTables::weights_of(const double* points) const {
    std::array<Parts, points_at_once> all;
    all.fill(base_weights_);
    if (weight_parameter_ == std::array<int, 3>{-1, -1, -1}) return all;
    std::vector<double> point(parameters_.size());
    for (std::size_t i = 0; i < points_at_once; ++i) {
        for (std::size_t p = 0; p < point.size(); ++p) point[p] = points[p * points_at_once + i];
        all[i] = weights(point.data());
    }
    return all;
}

std::array<ClockTerms, 12> SweepTables::months(const double* point, SweepWork& work) const {
    const Parts weight = weights(point);
    std::array<ClockTerms, 12> months{};
    for (const Term& term : terms_) {
        double values[12], year = 0;
        term.series.months(point, work, values, year);
        for (std::size_t m = 0; m < 12; ++m) months[m].*part_of[term.part] = weight[term.part] * values[m];
    }
    return months;
}

double SweepTables::rate(const double* point, SweepWork& work) const {
    const Parts weight = weights(point);
    double rate = 0;
    for (const Term& term : terms_) {
        double values[12], year = 0;
        term.series.months(point, work, values, year);
        rate += weight[term.part] * year;
    }
    return rate;
}

std::array<ClockTerms, 12> SweepTables::exact_months(const double* point) const {
    const Parts weight = weights(point);
    std::array<ClockTerms, 12> months{};
    SweptSurfaces surfaces(*layer_);
    for (const Term& term : terms_) {
        const auto [rate, finish] = term.series.at(point, layer_->finish());
        const MonthSums means = surfaces.means(rate, finish);
        const double reference = layer_->reference(rate);
        for (std::size_t m = 0; m < 12; ++m)
            if (weight[term.part] > 0) months[m].*part_of[term.part] = weight[term.part] * means[m] / reference;
    }
    return months;
}

void SweepTables::rates(const double* points, SweepBlock& block, double* years) const {
    const auto weight = weights_of(points);
    std::fill_n(years, points_at_once, 0.0);
    for (const Term& term : terms_) {
        double year[points_at_once];
        term.series.months(points, block, nullptr, year);
        for (std::size_t i = 0; i < points_at_once; ++i) years[i] += weight[i][term.part] * year[i];
    }
}

void SweepTables::month_rates(const double* points, SweepBlock& block, double* months) const {
    const auto weight = weights_of(points);
    std::fill_n(months, 12 * points_at_once, 0.0);
    for (const Term& term : terms_) {
        term.series.months(points, block, block.values, nullptr);
        for (std::size_t at = 0; at < 12 * points_at_once; ++at) months[at] += weight[at % points_at_once][term.part] * block.values[at];
    }
}

void SweepTables::slopes(const double* points, SweepBlock& block, double* slopes) const {
    const auto weight = weights_of(points);
    const std::size_t count = parameters_.size() * points_at_once;
    std::vector<double> by_term(count);
    double years[3][points_at_once] = {}, rate[points_at_once] = {};
    std::fill_n(slopes, count, 0.0);
    for (const Term& term : terms_) {
        std::fill(by_term.begin(), by_term.end(), 0.0);
        term.series.slopes(points, block, years[term.part], by_term.data());
        for (std::size_t at = 0; at < count; ++at) slopes[at] += weight[at % points_at_once][term.part] * by_term[at];
        for (std::size_t i = 0; i < points_at_once; ++i) rate[i] += weight[i][term.part] * years[term.part][i];
    }
    for (std::size_t part = 0; part < 3; ++part) {
        if (weight_parameter_[part] < 0) continue;
        double* const to = slopes + static_cast<std::size_t>(weight_parameter_[part]) * points_at_once;
        for (std::size_t i = 0; i < points_at_once; ++i) to[i] = years[part][i] - years_of_others(years, i);
    }
    for (std::size_t at = 0; at < count; ++at) slopes[at] /= rate[at % points_at_once];
}

double SweepTables::years_of_others(const double (&years)[3][points_at_once], std::size_t lane) const {
    double sum = 0, weights = 0;
    for (std::size_t part = 0; part < 3; ++part)
        if (weight_parameter_[part] < 0) sum += base_weights_[part] * years[part][lane], weights += base_weights_[part];
    return weights > 0 ? sum / weights : 0;
}

}  // namespace libseal::detail
