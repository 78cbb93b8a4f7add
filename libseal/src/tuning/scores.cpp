#include "tuning/scores.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "libseal/core/text.hpp"

namespace libseal {
namespace detail {
namespace {

constexpr double least_chance = 1e-12;

Column found_due(const BackTest& test) {
    Column due(test.size());
    for (Eigen::Index i = 0; i < due.size(); ++i) due[i] = test.lowest[static_cast<std::size_t>(i)] >= 3 ? 1.0 : 0.0;
    return due;
}

Column squares(const BackTest& test, Eigen::Index column) { return (test.chance_due.col(column) - found_due(test)).square(); }

Column logs(const BackTest& test, Eigen::Index column) { return -test.chance_of_grade.col(column).max(least_chance).log(); }

void fill_bins(const BackTest& test, Eigen::Index column, int bins, CatalogueScore& score) {
    const Column due = found_due(test);
    score.bin_looks.assign(static_cast<std::size_t>(bins), 0);
    score.bin_chance = score.bin_share = Column::Zero(bins);
    for (Eigen::Index i = 0; i < due.size(); ++i) {
        const double p = test.chance_due(i, column);
        const int bin = std::clamp(static_cast<int>(p * bins), 0, bins - 1);
        ++score.bin_looks[static_cast<std::size_t>(bin)];
        score.bin_chance[bin] += p;
        score.bin_share[bin] += due[i];
    }
    for (int b = 0; b < bins; ++b) {
        const int looks = score.bin_looks[static_cast<std::size_t>(b)];
        score.bin_chance[b] = looks > 0 ? score.bin_chance[b] / looks : std::numeric_limits<double>::quiet_NaN();
        score.bin_share[b] = looks > 0 ? score.bin_share[b] / looks : std::numeric_limits<double>::quiet_NaN();
    }
}

/// Share of the ranks in each bin: a look lies evenly between the chance below its grade and that up to it.
Column rank_shares(const Column& below, const Column& on, int bins) {
    Column shares = Column::Zero(bins);
    for (Eigen::Index i = 0; i < below.size(); ++i) {
        const double low = below[i], width = std::max(least_chance, on[i]);
        for (int b = 0; b < bins; ++b) {
            const double from = static_cast<double>(b) / bins, to = static_cast<double>(b + 1) / bins;
            shares[b] += std::max(0.0, std::min(to, low + width) - std::max(from, low)) / width;
        }
    }
    return below.size() > 0 ? (shares / shares.sum()).eval() : shares;
}

}  // namespace

ClusteredMean clustered_mean(const Column& values, const std::vector<std::string>& cluster) {
    ClusteredMean result;
    if (values.size() == 0) return result;
    result.mean = values.mean();
    std::map<std::string, double> sums;
    for (Eigen::Index i = 0; i < values.size(); ++i) sums[cluster[static_cast<std::size_t>(i)]] += values[i] - result.mean;
    double square = 0;
    for (const auto& [name, sum] : sums) square += sum * sum;
    const auto clusters = static_cast<double>(sums.size());
    if (clusters > 1) result.error = std::sqrt(square * clusters / (clusters - 1)) / static_cast<double>(values.size());
    return result;
}

CatalogueScore score_of(const BackTest& test, const Column& below, Eigen::Index column, int bins) {
    CatalogueScore score;
    score.catalogue = test.catalogues[static_cast<std::size_t>(column)];
    if (test.size() > 0) {
        const Column p = test.chance_due.col(column);
        score.brier = squares(test, column).mean();
        score.log_score = logs(test, column).mean();
        score.sharpness = (p * (1 - p)).mean();
        score.expected_due = p.sum();
        const ClusteredMean log_gain = clustered_mean(logs(test, 0) - logs(test, column), test.coach);
        const ClusteredMean brier_gain = clustered_mean(squares(test, 0) - squares(test, column), test.coach);
        score.log_gain = log_gain.mean;
        score.log_gain_error = log_gain.error;
        score.brier_gain = brier_gain.mean;
        score.brier_gain_error = brier_gain.error;
    } else {
        score.brier = score.log_score = score.sharpness = std::numeric_limits<double>::quiet_NaN();
        score.log_gain = score.log_gain_error = score.brier_gain = score.brier_gain_error = score.brier;
    }
    fill_bins(test, column, bins, score);
    score.ranks = rank_shares(below, test.chance_of_grade.col(column), bins);
    return score;
}

}  // namespace detail

std::string back_test_text(const BackTest& test) {
    int due = 0;
    for (const int lowest : test.lowest) due += lowest >= 3;
    std::string text = "Looks from " + to_text(test.as_of + 1) + " to " + to_text(test.until) + ": " + std::to_string(test.size()) + ", " + std::to_string(due) +
                       " found due; forecast from what was known on " + to_text(test.as_of) + "\n\n";
    if (test.size() == 0) return text + "No look by which to judge.\n";
    for (const CatalogueScore& s : test.scores) {
        text += s.catalogue + "\n  expected to be found due " + number_text(s.expected_due, 1) + "\n  Brier score " + number_text(s.brier, 4) +
                " (if calibrated " + number_text(s.sharpness, 4) + "), log score " + number_text(s.log_score, 4) + "\n";
        if (s.catalogue != test.scores.front().catalogue)
            text += "  against " + test.scores.front().catalogue + ": log score better by " + number_text(s.log_gain, 4) + " +- " +
                    number_text(s.log_gain_error, 4) + ", Brier score by " + number_text(s.brier_gain, 4) + " +- " + number_text(s.brier_gain_error, 4) + "\n";
        text += "  chance said  found due  looks\n";
        for (std::size_t b = 0; b < s.bin_looks.size(); ++b) {
            if (s.bin_looks[b] == 0) continue;
            const auto i = static_cast<Eigen::Index>(b);
            text += "  " + number_text(s.bin_chance[i], 3) + "        " + number_text(s.bin_share[i], 3) + "      " + std::to_string(s.bin_looks[b]) + "\n";
        }
        text += "  ranks";
        for (Eigen::Index b = 0; b < s.ranks.size(); ++b) text += " " + number_text(s.ranks[b], 3);
        text += "\n\n";
    }
    return text;
}

}  // namespace libseal
