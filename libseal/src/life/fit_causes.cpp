// What data lack, told from the records before anything is computed.

#include <Eigen/QR>
#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "libseal/core/text.hpp"
#include "life/fit_data.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double infinity = std::numeric_limits<double>::infinity();

bool failed(const LifeRow& row) { return row.kind == FitRecordKind::looks ? row.found : row.kind != FitRecordKind::right; }

/// Sound at some age after it was first watched.
bool seen_sound(const LifeRow& row) {
    return row.kind == FitRecordKind::right || row.kind == FitRecordKind::exact ||
           (row.kind == FitRecordKind::interval && row.lower.t > row.entry.t) ||
           (row.kind == FitRecordKind::looks && row.end_look - row.first_look > (row.found ? 1u : 0u));
}

/// Looks that may miss a defect exclude nothing before them, and the likelihood is no product of log-concave terms.
bool misses(const FitRecords& data) { return !data.looks.empty() && (data.detection < 1 || data.layout.detection >= 0); }

double covariate(const FitRecords& data, Index row, Index j) { return data.centre[j] + data.spread[j] * data.design(row, j + 1); }

FitDiagnosis bad_covariates(const FitRecords& data) {
    const Index rows = data.design.rows(), columns = data.design.cols() - 1;
    for (Index j = 0; j < columns; ++j) {
        const auto column = data.design.col(j + 1);
        if (column.maxCoeff() > column.minCoeff()) continue;
        return {"constant_covariate", "covariate " + quoted_list({data.names[static_cast<std::size_t>(j)]}) + " is " +
                                          number_text(covariate(data, 0, j)) +
                                          " in all records that count: its coefficient cannot be told from the scale"};
    }
    if (columns == 0) return {};
    const MatrixXd square = data.design.transpose() * data.design / static_cast<double>(rows);
    Eigen::ColPivHouseholderQR<MatrixXd> factor(square);
    factor.setThreshold(1e-12);
    if (factor.rank() == square.cols()) return {};
    // The direction that the covariates do not span: those with weight in it depend on each other.
    const Eigen::ColPivHouseholderQR<MatrixXd> exact(square + 1e-14 * MatrixXd::Identity(square.rows(), square.cols()));
    VectorXd none = VectorXd::Ones(square.cols()) + 0.1 * VectorXd::LinSpaced(square.cols(), 0, 1);
    for (int k = 0; k < 4; ++k) none = exact.solve(none).normalized();
    std::vector<std::string> names;
    for (Index j = 0; j < columns; ++j)
        if (std::fabs(none[j + 1]) > 1e-4) names.push_back(data.names[static_cast<std::size_t>(j)]);
    return {"collinear_covariates",
            "covariates " + quoted_list(names) + " follow from each other in all records that count: leave one out"};
}

/// One covariate that all failures share at an end of its range, which some survivors do not.
FitDiagnosis shared_covariate(const FitRecords& data) {
    for (Index j = 0; j + 1 < data.design.cols(); ++j) {
        double low = infinity, high = -infinity;
        for (std::size_t i = 0; i < data.rows.size(); ++i) {
            if (!failed(data.rows[i])) continue;
            low = std::min(low, data.design(static_cast<Index>(i), j + 1));
            high = std::max(high, data.design(static_cast<Index>(i), j + 1));
        }
        const auto column = data.design.col(j + 1);
        if (low == high && (low == column.minCoeff() || low == column.maxCoeff()))
            return {"separated_covariate",
                    "all failures share the value " + number_text(data.centre[j] + data.spread[j] * low) + " of covariate " +
                        quoted_list({data.names[static_cast<std::size_t>(j)]}) +
                        ", no failure has another: its coefficient has no limit"};
    }
    return {};
}

/// An age at which all failures can have happened, none of the survivors being younger.
FitDiagnosis one_time(const FitRecords& data) {
    if (data.family == LifeFamily::exponential || misses(data)) return {};
    double low = 0, high = infinity;
    for (const LifeRow& row : data.rows) {
        low = std::max(low, row.lower.t);
        if (failed(row)) high = std::min(high, row.kind == FitRecordKind::exact ? row.lower.t : row.upper.t);
    }
    if (!(low <= high)) return {};
    return {"one_time", "all failures can have happened at the age of " + number_text(high) +
                            " and nothing was seen sound at a greater one: the shape has no upper limit"};
}

/// Conditions on a direction (coefficients, then 1/sigma): rows * direction >= 0 keeps the likelihood from falling.
class Conditions {
public:
    /// Of every `stride`th record.
    Conditions(const FitRecords& data, std::size_t stride)
        : data_(data), n_(data.design.cols() + 1), rows_(static_cast<Index>(2 * ((data.rows.size() + stride - 1) / stride)) + 2, n_),
          gain_(VectorXd::Zero(n_)) {
        // Logarithms of times about their middle, so that coefficients are of one size.
        double sum = 0, count = 0;
        for (std::size_t i = 0; i < data.rows.size(); i += stride) {
            const LifeRow& row = data.rows[i];
            sum += row.lower.t > 0 ? row.lower.log_t : row.upper.log_t;
            ++count;
        }
        middle_ = count > 0 ? sum / count : 0;
        VectorXd steeper = VectorXd::Zero(n_);
        steeper[n_ - 1] = 1;
        add(steeper);
        if (data.family == LifeFamily::exponential) rows_.row(used_++) = -steeper;  // sigma is 1
        for (std::size_t i = 0; i < data.rows.size(); i += stride) add_record(static_cast<Index>(i), data.rows[i]);
    }
    VectorXd direction() const { return free_direction(rows_.topRows(used_), gain_); }
    /// Whether only 0 is at right angles to all of them.
    bool span() const {
        const auto rows = rows_.topRows(used_);
        Eigen::ColPivHouseholderQR<MatrixXd> factor(MatrixXd(rows.transpose() * rows) / static_cast<double>(used_));
        factor.setThreshold(1e-6);
        return factor.rank() == n_;
    }

private:
    /// Slope of z at a time along a direction.
    VectorXd z(Index i, const Moment& m) const {
        VectorXd row(n_);
        row.head(n_ - 1) = -data_.design.row(i).transpose();
        row[n_ - 1] = m.log_t - middle_;
        return row.normalized();
    }
    void add(const VectorXd& row) {
        rows_.row(used_++) = row;
        gain_ += row;
    }
    void add_record(Index i, const LifeRow& row) {
        const bool looks = row.kind == FitRecordKind::looks;
        const bool ends = looks ? row.found : row.kind == FitRecordKind::left || row.kind == FitRecordKind::interval;
        if (row.kind == FitRecordKind::exact) {
            const VectorXd here = z(i, row.lower);
            rows_.row(used_++) = here;
            rows_.row(used_++) = -here;
            return;
        }
        if (row.lower.t > row.entry.t) add(-z(i, row.lower));
        if (ends) add(z(i, row.upper));
    }

    const FitRecords& data_;
    Index n_;
    MatrixXd rows_;
    VectorXd gain_;
    Index used_ = 0;
    double middle_ = 0;
};

}  // namespace

FitDiagnosis cause_in_records(const FitRecords& data) {
    if (data.rows.empty()) return {"no_record", "no record says anything of a life"};
    const std::string count = number_text(data.records);
    if (std::none_of(data.rows.begin(), data.rows.end(), failed))
        return {"no_failure", "no failure among " + count + " records: the scale has no upper limit"};
    if (std::none_of(data.rows.begin(), data.rows.end(), seen_sound))
        return {"all_failed_before", "all of " + number_text(data.failures) + " records had failed when they were first looked at: the scale has no lower limit"};
    if (FitDiagnosis found = bad_covariates(data); !found.cause.empty()) return found;
    if (FitDiagnosis found = one_time(data); !found.cause.empty()) return found;
    return shared_covariate(data);
}

FitDiagnosis cause_by_direction(const FitRecords& data) {
    if (misses(data)) return {};
    const Index columns = data.design.cols();
    // A direction that is open for all is open for a few: if these close every one, the others need not be asked.
    constexpr std::size_t few = 2000;
    if (data.rows.size() > 4 * few) {
        const Conditions some(data, data.rows.size() / few);
        if (some.span() && some.direction().size() == 0) return {};
    }
    const VectorXd d = Conditions(data, 1).direction();
    if (d.size() == 0) return {};
    const double steeper = d[columns];
    if (steeper > 1e-6) {
        std::set<std::vector<double>> distinct;
        for (std::size_t i = 0; i < data.rows.size(); ++i) {
            if (!failed(data.rows[i])) continue;
            std::vector<double> key{data.rows[i].lower.t, data.rows[i].upper.t};
            for (Index j = 1; j < columns; ++j) key.push_back(data.design(static_cast<Index>(i), j));
            distinct.insert(key);
        }
        const std::string count = std::to_string(distinct.size());
        if (static_cast<int>(distinct.size()) < data.layout.size)
            return {"too_few_times", count + " different failures cannot hold " + std::to_string(data.layout.size) +
                                         " parameters: the shape has no upper limit"};
        return {"no_spread", "the covariates explain all of " + count +
                                 " different failures without any spread: the shape has no upper limit"};
    }
    std::vector<std::string> names;
    for (Index j = 1; j < columns; ++j)
        if (std::fabs(d[j]) > 1e-6) names.push_back(data.names[static_cast<std::size_t>(j - 1)]);
    if (names.empty())
        return d[0] > 0 ? FitDiagnosis{"no_failure", "no record sets an upper limit to the scale"}
                        : FitDiagnosis{"all_failed_before", "no record sets a lower limit to the scale"};
    return {"separated_covariate", std::string(names.size() > 1 ? "covariates " : "covariate ") + quoted_list(names) +
                                       " separate the failures from the survivors: " +
                                       (names.size() > 1 ? "their coefficients have no limit" : "its coefficient has no limit")};
}

}  // namespace libseal::detail
