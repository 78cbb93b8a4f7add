#include "libseal/life/survival.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/survival_parts.hpp"

namespace libseal {
namespace detail {
namespace {

std::string row(const char* name, Eigen::Index i) { return std::string(name) + "[" + std::to_string(i) + "]"; }

/// Limits of a survival with standard error; z is the normal quantile.
void add_limits(SurvivalCurve& curve, double confidence, const std::string& limits) {
    const double z = normal_quantile(0.5 + 0.5 * require_inside(confidence, 0, 1, "confidence"));
    if (limits != "log_log" && limits != "logit" && limits != "plain")
        throw_value_error("limits", "log_log, logit or plain", '"' + limits + '"');
    const Eigen::Index n = curve.time.size();
    curve.lower = curve.upper = Column::Zero(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const double s = curve.survival[i], se = curve.se[i];
        double low = s, high = s;
        if (s <= 0) {
            low = 0;
            high = i > 0 ? curve.upper[i - 1] : 1;
        } else if (s < 1 && limits == "plain") {
            low = std::max(0.0, s - z * se);
            high = std::min(1.0, s + z * se);
        } else if (s < 1 && limits == "log_log") {
            const double width = z * se / (s * std::log(s));
            low = std::pow(s, std::exp(-width));
            high = std::pow(s, std::exp(width));
        } else if (s < 1) {
            const double width = z * se / (s * (1 - s)), odds = std::log(s / (1 - s));
            low = 1 / (1 + std::exp(width - odds));
            high = 1 / (1 + std::exp(-width - odds));
        }
        curve.lower[i] = low;
        curve.upper[i] = high;
    }
}

}  // namespace

std::vector<Eigen::Index> by_time(ConstColumn time) {
    std::vector<Eigen::Index> order(static_cast<std::size_t>(time.size()));
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) { return time[a] < time[b]; });
    return order;
}

void check_lives(ConstColumn time, const std::vector<bool>& failed, ConstColumn entry) {
    if (time.size() == 0) throw_value_error("time", "at least one life", "none");
    if (static_cast<Eigen::Index>(failed.size()) != time.size())
        throw_value_error("failed", std::to_string(time.size()) + " values, as many as times", std::to_string(failed.size()));
    if (entry.size() != 0 && entry.size() != time.size())
        throw_value_error("entry", std::to_string(time.size()) + " values, as many as times", std::to_string(entry.size()));
    for (Eigen::Index i = 0; i < time.size(); ++i) {
        require_not_negative(time[i], row("time", i));
        if (entry.size() == 0) continue;
        if (require_not_negative(entry[i], row("entry", i)) >= time[i])
            throw_value_error(row("entry", i), "a time before " + row("time", i) + " = " + number_text(time[i]), number_text(entry[i]),
                              "what failed before it was watched is no part of these data");
    }
}

std::vector<RiskStep> risk_steps(ConstColumn time, const std::vector<bool>& failed, ConstColumn entry, const std::vector<int>& group, int groups) {
    const auto order = by_time(time);
    const auto entries = entry.size() > 0 ? by_time(entry) : std::vector<Eigen::Index>{};
    const auto of = [&](Eigen::Index i) { return group.empty() ? 0 : group[static_cast<std::size_t>(i)]; };
    Column at_risk = Column::Zero(groups);
    if (entry.size() == 0)
        for (Eigen::Index i = 0; i < time.size(); ++i) ++at_risk[of(i)];
    std::vector<RiskStep> steps;
    std::size_t come = 0;
    for (std::size_t k = 0; k < order.size();) {
        const double now = time[order[k]];
        for (; come < entries.size() && entry[entries[come]] < now; ++come) ++at_risk[of(entries[come])];
        RiskStep step{now, at_risk, Column::Zero(groups)};
        for (; k < order.size() && time[order[k]] == now; ++k) {
            if (failed[static_cast<std::size_t>(order[k])]) ++step.failed[of(order[k])];
            --at_risk[of(order[k])];
        }
        if (step.failed.sum() > 0) steps.push_back(std::move(step));
    }
    return steps;
}

}  // namespace detail

double SurvivalCurve::survival_at(double t) const {
    const auto above = std::upper_bound(time.data(), time.data() + time.size(), t) - time.data();
    return above == 0 ? 1 : survival[above - 1];
}

double SurvivalCurve::quantile(double p) const {
    require_inside(p, 0, 1, "p");
    for (Eigen::Index i = 0; i < time.size(); ++i)
        if (1 - survival[i] >= p - 1e-12) return time[i];
    return INFINITY;
}

double SurvivalCurve::mean_until(double t) const {
    require_not_negative(t, "t");
    double area = 0, last = 0, height = 1;
    for (Eigen::Index i = 0; i < time.size() && time[i] < t; ++i) {
        area += height * (time[i] - last);
        last = time[i];
        height = survival[i];
    }
    return area + height * (t - last);
}

SurvivalCurve kaplan_meier(ConstColumn time, const std::vector<bool>& failed, const KaplanMeierOptions& options) {
    detail::check_lives(time, failed, options.entry);
    const auto steps = detail::risk_steps(time, failed, options.entry, {}, 1);
    const auto n = static_cast<Eigen::Index>(steps.size());
    SurvivalCurve curve{Column(n), Column(n), Column(n), Column(n), Column(n), {}, {}};
    double survival = 1, sum = 0;
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& step = steps[static_cast<std::size_t>(i)];
        const double risk = step.at_risk[0], died = step.failed[0];
        curve.time[i] = step.time;
        curve.at_risk[i] = risk;
        curve.failed[i] = died;
        survival *= (risk - died) / risk;
        if (died < risk) sum += died / (risk * (risk - died));
        curve.survival[i] = survival;
        curve.se[i] = survival * std::sqrt(sum);
    }
    detail::add_limits(curve, options.confidence, options.limits);
    return curve;
}

SurvivalCurve life_table(ConstColumn edges, double at_start, ConstColumn failed, ConstColumn withdrawn, const ActuarialOptions& options) {
    const Eigen::Index n = failed.size();
    if (n == 0) throw_value_error("failed", "at least one interval", "none");
    if (edges.size() != n + 1)
        throw_value_error("edges", std::to_string(n + 1) + " times, one more than intervals", std::to_string(edges.size()));
    if (withdrawn.size() != n)
        throw_value_error("withdrawn", std::to_string(n) + " counts, as many as failed", std::to_string(withdrawn.size()));
    require_not_negative(edges[0], "edges[0]");
    for (Eigen::Index i = 1; i <= n; ++i)
        if (!(require_finite(edges[i], detail::row("edges", i)) > edges[i - 1]))
            throw_value_error(detail::row("edges", i), "a time above the one before", number_text(edges[i]));
    require_positive(at_start, "at_start");
    require_between(options.withdrawn_share, 0, 1, "withdrawn_share");
    std::vector<double> time, risk, died, left, error;
    double sound = at_start, survival = 1, sum = 0;
    for (Eigen::Index i = 0; i < n; ++i) {
        const double out = require_not_negative(withdrawn[i], detail::row("withdrawn", i));
        const double bad = require_not_negative(failed[i], detail::row("failed", i));
        if (bad + out > std::max(0.0, sound) * (1 + 1e-12))
            throw_value_error(detail::row("failed", i), "no more failed and withdrawn than the " + number_text(std::max(0.0, sound)) + " that were left",
                              number_text(bad + out));
        if (!(sound > 0)) continue;  // nobody is left
        const double exposed = std::max(sound - options.withdrawn_share * out, bad);
        if (exposed > 0) {
            survival *= (exposed - bad) / exposed;
            if (bad < exposed) sum += bad / (exposed * (exposed - bad));
        }
        time.push_back(edges[i + 1]);
        risk.push_back(exposed);
        died.push_back(bad);
        left.push_back(survival);
        error.push_back(survival * std::sqrt(sum));
        sound -= bad + out;
    }
    const auto column = [](const std::vector<double>& v) -> Column {
        return Eigen::Map<const Column>(v.data(), static_cast<Eigen::Index>(v.size()));
    };
    SurvivalCurve curve{column(time), column(risk), column(died), column(left), column(error), {}, {}};
    detail::add_limits(curve, options.confidence, options.limits);
    return curve;
}

}  // namespace libseal
