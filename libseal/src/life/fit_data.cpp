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
        const double entry = options.entry[i];
        if (!(entry >= 0) || std::isinf(entry)) require_not_negative(entry, at("entry", i));
        if (lower[i] > 0 ? lower[i] < entry : upper[i] <= entry)
            throw_value_error(at("entry", i), "an age not after lower, and before upper", number_text(entry),
                              "what had failed before it was watched is no record");
    }
    for (Index i = 0; i < options.weights.size(); ++i)
        if (!(options.weights[i] >= 0) || std::isinf(options.weights[i])) require_not_negative(options.weights[i], at("weights", i));
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

/// Records with weight that say something, one of each kind.
struct Kept {
    std::vector<int> record{};
    std::vector<double> weight{};
};

/// Finds kept records that equal others.
class Merger {
public:
    Merger(ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group, const Kept& kept,
           std::size_t most)
        : lower_(lower), upper_(upper), options_(options), group_(group), kept_(kept) {
        std::size_t size = 16;
        while (size < 2 * most) size *= 2;
        table_.assign(size, -1);
    }

    /// Place among the kept ones of the record that equals record i; the next place if none does.
    int place_of(int i) {
        std::size_t slot = hash(i) & (table_.size() - 1);
        while (table_[slot] >= 0 && !equal(kept_.record[static_cast<std::size_t>(table_[slot])], i)) slot = (slot + 1) & (table_.size() - 1);
        if (table_[slot] < 0) table_[slot] = static_cast<int>(kept_.record.size());
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
    const Kept& kept_;
    std::vector<int> table_;
};

Moment moment(double t) { return {t, t > 0 ? std::log(t) : 0}; }

FitRecordKind kind_of(double lower, double upper, double entry, bool looks) {
    if (lower < entry) lower = entry;
    if (lower == upper) return FitRecordKind::exact;
    if (looks) return FitRecordKind::looks;
    if (std::isinf(upper)) return FitRecordKind::right;
    return lower == 0 ? FitRecordKind::left : FitRecordKind::interval;
}

LifeRow row_of(double lower, double upper, double entry, bool looks) {
    LifeRow row;
    row.late = entry > 0;
    row.kind = kind_of(lower, upper, entry, looks);
    row.lower = moment(std::max(lower, entry));
    row.upper = row.kind == FitRecordKind::exact ? row.lower : moment(std::isinf(upper) ? 0 : upper);
    if (row.late) row.entry = moment(entry);
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

/// Whether it pays to look for equal records: a few thousand, spread evenly over all, hold at least one pair. Those without
/// any are spread over millions of values.
bool has_equals(ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group) {
    constexpr int few = 4096;
    const int count = static_cast<int>(lower.size()), stride = count / few;
    if (stride < 4) return true;
    Kept kept;
    Merger merger(lower, upper, options, group, kept, few);
    for (int k = 0; k < few; ++k) {
        if (merger.place_of(k * stride) < k) return true;
        kept.record.push_back(k * stride);
    }
    return false;
}

Kept merged_records(ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group, FitRecords& data) {
    Kept kept;
    const auto count = static_cast<std::size_t>(lower.size());
    kept.record.reserve(count);
    kept.weight.reserve(count);
    const bool alone = !options.visits.empty() || !has_equals(lower, upper, options, group);
    Merger merger(lower, upper, options, group, kept, alone ? 0 : count);
    for (Index i = 0; i < lower.size(); ++i) {
        const double weight = options.weights.size() ? options.weights[i] : 1;
        const double entry = options.entry.size() ? options.entry[i] : 0;
        data.fingerprint = mixed(mixed(mixed(mixed(data.fingerprint, lower[i]), upper[i]), entry), weight);
        if (weight == 0) continue;
        data.records += weight;
        if (!std::isinf(upper[i])) data.failures += weight;
        if (std::isinf(upper[i]) && lower[i] <= entry) continue;  // nothing was seen
        const auto place = alone ? kept.record.size() : static_cast<std::size_t>(merger.place_of(static_cast<int>(i)));
        if (place < kept.record.size()) {
            kept.weight[place] += weight;
            continue;
        }
        kept.record.push_back(static_cast<int>(i));
        kept.weight.push_back(weight);
    }
    return kept;
}

/// Order of the kept records: by group, and within a group by kind, as rows of one kind are worked out together.
std::vector<int> order_of(const Kept& kept, ConstColumn lower, ConstColumn upper, const FitOptions& options, const std::vector<int>& group) {
    constexpr int kinds = 10;
    std::vector<int> rank(kept.record.size());
    int last = 0;
    for (std::size_t k = 0; k < rank.size(); ++k) {
        const Index i = kept.record[k];
        const double entry = options.entry.size() ? options.entry[i] : 0;
        const int kind = static_cast<int>(kind_of(lower[i], upper[i], entry, !options.visits.empty()));
        rank[k] = kinds * (group.empty() ? 0 : group[static_cast<std::size_t>(i)]) + 2 * kind + (entry > 0);
        last = std::max(last, rank[k]);
    }
    std::vector<int> begin(static_cast<std::size_t>(last) + 2, 0), order(rank.size());
    for (const int r : rank) ++begin[static_cast<std::size_t>(r) + 1];
    std::partial_sum(begin.begin(), begin.end(), begin.begin());
    for (std::size_t k = 0; k < rank.size(); ++k) order[static_cast<std::size_t>(begin[static_cast<std::size_t>(rank[k])]++)] = static_cast<int>(k);
    return order;
}

/// Looks of a record that count, with the one that found the defect last.
void add_looks(LifeRow& row, const Column& visits, bool found, FitRecords& data) {
    row.found = found;
    row.first_look = data.looks.size();
    for (const double t : visits)
        if (t > row.entry.t) data.looks.push_back(moment(t));
    if (row.found) data.looks.push_back(row.upper);
    row.end_look = data.looks.size();
}

/// What tells apart fits whose parameters have the same names.
void take_fingerprints(const FitOptions& options, const std::vector<int>& group, FitRecords& data) {
    for (Index j = 0; j < options.covariates.cols(); ++j) {
        std::uint64_t hash = 1;
        for (Index i = 0; i < options.covariates.rows(); ++i) hash = mixed(hash, options.covariates(i, j));
        data.covariate_fingerprint.push_back(hash);
    }
    for (const int number : group) data.group_fingerprint = mixed(data.group_fingerprint, number + 1);
    for (const Column& looks : options.visits) {
        data.look_fingerprint = mixed(data.look_fingerprint, static_cast<double>(looks.size() + 1));
        for (const double t : looks) data.look_fingerprint = mixed(data.look_fingerprint, t);
    }
}

void standardise(const Kept& kept, const std::vector<int>& order, const Eigen::ArrayXXd& covariates, FitRecords& data) {
    const Index count = static_cast<Index>(order.size()), columns = covariates.cols();
    data.centre = Eigen::VectorXd::Zero(columns);
    data.spread = Eigen::VectorXd::Ones(columns);
    data.design = Eigen::MatrixXd::Ones(count, columns + 1);
    for (Index j = 0; j < columns; ++j) {
        auto column = data.design.col(j + 1);
        for (Index i = 0; i < count; ++i) column[i] = covariates(kept.record[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])], j);
        if (count == 0) continue;
        // Squares of numbers so far from 1 are none: those are worked out in units of the largest.
        const double largest = column.cwiseAbs().maxCoeff(), unit = largest > 1e150 || (largest > 0 && largest < 1e-150) ? largest : 1;
        column /= unit;
        data.centre[j] = column.mean();
        const double range = column.maxCoeff() - column.minCoeff();
        column.array() -= data.centre[j];
        // A range that is rounding alone is none.
        const bool constant = !(range > 1e-12 * (std::fabs(data.centre[j]) + 1e-290));
        if (constant) column.setZero();
        else data.spread[j] = std::sqrt(column.squaredNorm() / static_cast<double>(count));
        column /= data.spread[j];
        data.centre[j] *= unit;
        data.spread[j] *= unit;
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
    take_fingerprints(options, group, data);
    const Kept kept = merged_records(lower, upper, options, group, data);
    const std::vector<int> order = order_of(kept, lower, upper, options, group);
    standardise(kept, order, options.covariates, data);
    data.rows.reserve(order.size());
    int here = -1;
    for (const int k : order) {
        const int i = kept.record[static_cast<std::size_t>(k)];
        if (!group.empty() && group[static_cast<std::size_t>(i)] != here) {
            if (here >= 0) data.group_end.push_back(data.rows.size());
            here = group[static_cast<std::size_t>(i)];
        }
        LifeRow row = row_of(lower[i], upper[i], options.entry.size() ? options.entry[i] : 0, !options.visits.empty());
        row.weight = kept.weight[static_cast<std::size_t>(k)];
        if (row.kind == FitRecordKind::looks) add_looks(row, options.visits[static_cast<std::size_t>(i)], !std::isinf(upper[i]), data);
        data.rows.push_back(row);
    }
    if (!group.empty()) data.group_end.push_back(data.rows.size());
    return data;
}

std::string quoted_list(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + ("\"" + names[i] + "\"");
    return text;
}

}  // namespace libseal::detail
