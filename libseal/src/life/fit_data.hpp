#pragma once
// Records of lives as the likelihood wants them: checked, equal ones merged, covariates on one scale, sorted by group.

#include <cstdint>
#include <string>
#include <vector>

#include "libseal/life/fit.hpp"
#include "life/families.hpp"

namespace libseal::detail {

enum class LifeFamily { exponential, weibull, lognormal, loglogistic, early_and_wear_out };
enum class FitRecordKind { exact, right, left, interval, looks };

/// Lives that are all alike.
struct LifeRow {
    FitRecordKind kind = FitRecordKind::right;
    bool late = false;  ///< watched only since `entry`
    bool found = false; ///< of looks: the last one found a defect
    Moment lower{};
    Moment upper{};
    Moment entry{};
    double weight = 1;
    std::size_t first_look = 0, end_look = 0;  ///< of `looks`
};

/// Where each parameter stands in the vector that is estimated; -1 if it is not there.
struct FitLayout {
    int covariates = 0;  ///< ln scale stands first, then their coefficients
    int log_sigma = -1, log_odds = -1, log_early = -1, detection = -1, group_sd = -1;
    int size = 1;
};

struct FitRecords {
    LifeFamily family = LifeFamily::weibull;
    FitLayout layout{};
    std::vector<LifeRow> rows{};
    std::vector<Moment> looks{};
    Eigen::MatrixXd design{};  ///< a row per row: 1, then covariates less their centre, over their spread
    Eigen::VectorXd centre{}, spread{};
    std::vector<std::string> names{};
    std::vector<std::size_t> group_end{};  ///< rows of group g end here; empty without groups
    double detection = 1;
    double records = 0, failures = 0;
    std::uint64_t fingerprint = 0;  ///< of lower, upper, entry and weights
    std::vector<std::uint64_t> covariate_fingerprint{};  ///< of the values of each covariate
    std::uint64_t group_fingerprint = 0, look_fingerprint = 0;  ///< of which records are together, and of all looks
};

/// @throws ValueError  naming the argument and row.
FitRecords fit_records(ConstColumn lower, ConstColumn upper, const FitOptions& options);

/// A reason why the likelihood has no maximum.
struct FitDiagnosis {
    std::string cause{};  ///< "" if there is none
    std::string sentence{};
};
/// What can be told from the records before anything is computed.
FitDiagnosis cause_in_records(const FitRecords& data);
/// Whether the likelihood rises for ever along some direction, which is then named.
FitDiagnosis cause_by_direction(const FitRecords& data);

/// A direction d within the unit box with rows * d >= 0 that makes their sum as large as possible; empty if only d = 0 does.
/// With log-concave densities this is the direction along which a likelihood never falls.
Eigen::VectorXd free_direction(const Eigen::MatrixXd& rows, const Eigen::VectorXd& gain);

std::string quoted_list(const std::vector<std::string>& names);

}  // namespace libseal::detail
