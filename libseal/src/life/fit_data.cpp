#include "life/fit_data.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <map>
#include <numeric>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;

std::string at(const char* name, Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

void require_as_many(Index size, Index count, const char* name) {
    if (size != 0 && size != count)
        throw_value_error(name, std::to_string(count) + " values, one per record, or none", std::to_string(size));
}

LifeFamily family_of(const std::string& word) {
    static const std::map<std::string, LifeFamily> known{{"exponential", LifeFamily::exponential},
                                                         {"weibull", LifeFamily::weibull},
                                                         {"lognormal", LifeFamily::lognormal},
                                                         {"loglogistic", LifeFamily::loglogistic},
                                                         {"early_and_wear_out", LifeFamily::early_and_wear_out}};
    const auto found = known.find(word);
    if (found == known.end())
        throw_value_error("distribution", "exponential, weibull, lognormal, loglogistic or early_and_wear_out", "\"" + word + "\"");
    return found->second;
}

void check_times(ConstColumn lower, ConstColumn upper, const FitOptions& options) {
    if (upper.size() != lower.size())
        throw_value_error("upper", std::to_string(lower.size()) + " values, as many as lower", std::to_string(upper.size()));
    for (Index i = 0; i < lower.size(); ++i) {
        if (!(lower[i] >= 0) || std::isinf(lower[i])) require_not_negative(lower[i], at("lower", i));
        if (!(upper[i] >= lower[i]) || !(upper[i] > 0))
            throw_value_error(at("upper", i), "a time > 0, not before lower (" + number_text(lower[i]) + ")", number_text(upper[i]),
                              "infinity for what has not failed yet");
        if (options.entry.size() == 0) continue;
        const double entry = require_not_negative(options.entry[i], at("entry", i));
        if (lower[i] > 0 ? lower[i] < entry : upper[i] <= entry)
            throw_value_error(at("entry", i), "an age not after lower, and before upper", number_text(entry),
                              "what had failed before it was watched is no record");
    }
    for (Index i = 0; i < options.weights.size(); ++i) require_not_negative(options.weights[i], at("weights", i));
}

void check_looks(ConstColumn lower, ConstColumn upper, const FitOptions& options) {
    if (!(options.detection > 0 && options.detection <= 1))
        throw_value_error("detection", "a chance above 0 to 1", number_text(options.detection));
    if (options.visits.empty()) {
        if (options.detection < 1 || options.estimate_detection)
            throw_value_error("visits", "the looks of each record, as looks may miss a defect", "none");
        return;
    }
    for (Index i = 0; i < lower.size(); ++i) {
        const Column& looks = options.visits[static_cast<std::size_t>(i)];
        double last = options.entry.size() ? options.entry[i] : 0;
        for (Index k = 0; k < looks.size(); ++k) {
            const std::string place = at(at("visits", i).c_str(), k);
            require_positive(looks[k], place);
            if (k == 0 ? looks[k] < last : !(looks[k] > last))
                throw_value_error(place, "ages that ascend, not before entry", number_text(looks[k]));
            last = looks[k];
        }
        if (lower[i] == upper[i]) continue;
        if (looks.size() == 0 ? lower[i] > 0 : last != lower[i])
            throw_value_error(at("visits", i), "looks of which the last is lower (" + number_text(lower[i]) + ")",
                              looks.size() ? "a last look at " + number_text(last) : "no look");
    }
}

std::vector<std::string> names_of(const FitOptions& options) {
    static const char* taken[] = {"scale", "shape", "median", "sigma", "early_share", "early_life", "detection", "group_sd",
                                  "log_scale", "log_sigma", "early_log_odds", "log_early_life", "detection_log_odds"};
    const Index count = options.covariates.cols();
    std::vector<std::string> names = options.names;
    if (names.empty())
        for (Index j = 1; j <= count; ++j) names.push_back("x" + std::to_string(j));
    if (static_cast<Index>(names.size()) != count)
        throw_value_error("names", std::to_string(count) + " names, one per covariate", std::to_string(names.size()));
    for (std::size_t j = 0; j < names.size(); ++j) {
        if (names[j].empty() || std::find(std::begin(taken), std::end(taken), names[j]) != std::end(taken) ||
            std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(j), names[j]) !=
                names.begin() + static_cast<std::ptrdiff_t>(j))
            throw_value_error(at("names", static_cast<Index>(j)), "a name that no other parameter has", "\"" + names[j] + "\"");
    }
    return names;
}

void check_covariates(Index count, const Eigen::ArrayXXd& covariates) {
    if (covariates.cols() == 0) return;
    if (covariates.rows() != count)
        throw_value_error("covariates", std::to_string(count) + " rows, one per record", std::to_string(covariates.rows()));
    for (Index i = 0; i < count; ++i)
        for (Index j = 0; j < covariates.cols(); ++j)
            if (!std::isfinite(covariates(i, j)))
                throw_value_error("covariates[" + std::to_string(i) + "][" + std::to_string(j) + "]", "a finite number",
                                  number_text(covariates(i, j)));
}

std::uint64_t mixed(std::uint64_t hash, double value) {
    if (value == 0) value = 0;  // -0
    std::uint64_t bits = 0;
    std::memcpy(&bits, &value, sizeof bits);
    hash = (hash ^ bits) * 0x9E3779B97F4A7C15ull;
    return hash ^ (hash >> 29);
}

/// Group number of each record, by first appearance.
std::vector<int> group_numbers(const std::vector<std::string>& labels) {
    std::map<std::string, int> known;
    std::vector<int> numbers;
    for (const std::string& label : labels) numbers.push_back(known.emplace(label, static_cast<int>(known.size())).first->second);
    return numbers;
}

/// Sorts records into rows of equal ones.
class Merger {
public:
    Merger(ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group)
        : lower_(lower), upper_(upper), options_(options), group_(group) {
        std::size_t size = 16;
        while (size < 2 * static_cast<std::size_t>(lower.size())) size *= 2;
        table_.assign(size, -1);
    }

    /// The first record that equals record i: i itself if it is new.
    Index first_like(Index i) {
        std::size_t slot = hash(i) & (table_.size() - 1);
        while (table_[slot] >= 0 && !equal(table_[slot], i)) slot = (slot + 1) & (table_.size() - 1);
        if (table_[slot] < 0) table_[slot] = i;
        return table_[slot];
    }

private:
    double entry(Index i) const { return options_.entry.size() ? options_.entry[i] : 0; }
    std::size_t hash(Index i) const {
        std::uint64_t h = mixed(mixed(mixed(1, lower_[i]), upper_[i]), entry(i));
        for (Index j = 0; j < options_.covariates.cols(); ++j) h = mixed(h, options_.covariates(i, j));
        if (!group_.empty()) h = mixed(h, group_[static_cast<std::size_t>(i)]);
        return static_cast<std::size_t>(h ^ (h >> 32));
    }
    bool equal(Index a, Index b) const {
        if (lower_[a] != lower_[b] || upper_[a] != upper_[b] || entry(a) != entry(b)) return false;
        if (!group_.empty() && group_[static_cast<std::size_t>(a)] != group_[static_cast<std::size_t>(b)]) return false;
        for (Index j = 0; j < options_.covariates.cols(); ++j)
            if (options_.covariates(a, j) != options_.covariates(b, j)) return false;
        return true;
    }

    ConstColumn lower_, upper_;
    const FitOptions& options_;
    const std::vector<int>& group_;
    std::vector<Index> table_;
};

Moment moment(double t) { return {t, t > 0 ? std::log(t) : 0}; }

LifeRow row_of(double lower, double upper, double entry) {
    LifeRow row;
    row.late = entry > 0;
    if (lower < entry) lower = entry;
    row.lower = moment(lower);
    row.upper = moment(std::isinf(upper) ? 0 : upper);
    row.entry = moment(entry);
    row.kind = lower == upper      ? FitRecordKind::exact
               : std::isinf(upper) ? FitRecordKind::right
               : lower == 0        ? FitRecordKind::left
                                   : FitRecordKind::interval;
    return row;
}

FitLayout layout_of(const FitOptions& options, LifeFamily family, int covariates) {
    FitLayout layout;
    layout.covariates = covariates;
    layout.size = 1 + covariates;
    if (family != LifeFamily::exponential) layout.log_sigma = layout.size++;
    if (family == LifeFamily::early_and_wear_out) {
        layout.log_odds = layout.size++;
        layout.log_early = layout.size++;
    }
    if (options.estimate_detection) layout.detection = layout.size++;
    if (!options.groups.empty()) layout.group_sd = layout.size++;
    return layout;
}

/// Records with weight that say something, one of each kind, with the group they belong to.
struct Kept {
    std::vector<Index> record;
    std::vector<LifeRow> row;
};

Kept merged_rows(ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group, FitRecords& data) {
    Kept kept;
    std::vector<std::size_t> place(static_cast<std::size_t>(lower.size()));
    Merger merger(lower, upper, options, group);
    const bool looks = !options.visits.empty();
    kept.record.reserve(place.size());
    kept.row.reserve(place.size());
    for (Index i = 0; i < lower.size(); ++i) {
        const double weight = options.weights.size() ? options.weights[i] : 1;
        const double entry = options.entry.size() ? options.entry[i] : 0;
        data.fingerprint = mixed(mixed(mixed(mixed(data.fingerprint, lower[i]), upper[i]), entry), weight);
        if (weight == 0) continue;
        data.records += weight;
        if (!std::isinf(upper[i])) data.failures += weight;
        if (std::isinf(upper[i]) && lower[i] <= entry) continue;  // nothing was seen
        const Index first = looks ? i : merger.first_like(i);
        if (first != i) {
            kept.row[place[static_cast<std::size_t>(first)]].weight += weight;
            continue;
        }
        place[static_cast<std::size_t>(i)] = kept.row.size();
        LifeRow row = row_of(lower[i], upper[i], entry);
        row.weight = weight;
        if (looks && row.kind != FitRecordKind::exact) {
            row.kind = FitRecordKind::looks;
            row.found = !std::isinf(upper[i]);
            row.first_look = data.looks.size();
            for (const double t : options.visits[static_cast<std::size_t>(i)])
                if (t > entry) data.looks.push_back(moment(t));
            if (row.found) data.looks.push_back(row.upper);
            row.end_look = data.looks.size();
        }
        kept.record.push_back(i);
        kept.row.push_back(row);
    }
    return kept;
}

void standardise(const Kept& kept, const std::vector<std::size_t>& order, const Eigen::ArrayXXd& covariates, FitRecords& data) {
    const Index count = static_cast<Index>(order.size()), columns = covariates.cols();
    data.centre = Eigen::VectorXd::Zero(columns);
    data.spread = Eigen::VectorXd::Ones(columns);
    data.design = Eigen::MatrixXd::Ones(count, columns + 1);
    for (Index j = 0; j < columns; ++j) {
        auto column = data.design.col(j + 1);
        for (Index i = 0; i < count; ++i) column[i] = covariates(kept.record[order[static_cast<std::size_t>(i)]], j);
        if (count == 0) continue;
        data.centre[j] = column.mean();
        const double range = column.maxCoeff() - column.minCoeff();
        column.array() -= data.centre[j];
        // A range that is rounding alone is none.
        const bool constant = !(range > 1e-12 * (std::fabs(data.centre[j]) + 1e-290));
        if (constant) column.setZero();
        else data.spread[j] = std::sqrt(column.squaredNorm() / static_cast<double>(count));
        column /= data.spread[j];
    }
}

}  // namespace

FitRecords fit_records(ConstColumn lower, ConstColumn upper, const FitOptions& options) {
    const Index count = lower.size();
    FitRecords data;
    data.family = family_of(options.distribution);
    require_as_many(options.entry.size(), count, "entry");
    require_as_many(options.weights.size(), count, "weights");
    require_as_many(static_cast<Index>(options.groups.size()), count, "groups");
    require_as_many(static_cast<Index>(options.visits.size()), count, "visits");
    require_between(options.nodes, 8, 64, "nodes");
    check_times(lower, upper, options);
    check_looks(lower, upper, options);
    check_covariates(count, options.covariates);
    data.names = names_of(options);
    data.detection = options.detection;
    data.layout = layout_of(options, data.family, static_cast<int>(options.covariates.cols()));

    const std::vector<int> group = group_numbers(options.groups);
    Kept kept = merged_rows(lower, upper, options, group, data);
    std::vector<std::size_t> order(kept.row.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto group_of = [&](std::size_t k) { return group[static_cast<std::size_t>(kept.record[k])]; };
    if (!group.empty()) std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return group_of(a) < group_of(b); });
    standardise(kept, order, options.covariates, data);
    if (group.empty()) {
        data.rows = std::move(kept.row);
        return data;
    }
    data.rows.reserve(order.size());
    for (const std::size_t k : order) {
        if (!data.rows.empty() && group_of(k) != group_of(order[data.rows.size() - 1])) data.group_end.push_back(data.rows.size());
        data.rows.push_back(kept.row[k]);
    }
    data.group_end.push_back(data.rows.size());
    return data;
}

std::string quoted_list(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + ("\"" + names[i] + "\"");
    return text;
}

}  // namespace libseal::detail
