// Questions to a forecast that are answered only when asked.

#include <algorithm>
#include <cmath>

#include "core/json.hpp"
#include "forecast/states.hpp"
#include "libseal/forecast/ahead.hpp"
#include "libseal/core/error.hpp"

namespace libseal {
namespace {

std::size_t checked_row(const Forecast& forecast, Eigen::Index row) {
    (void)detail::basis_of(forecast);
    if (row < 0 || row >= forecast.size())
        throw_value_error("row", "0 to " + std::to_string(forecast.size() - 1), std::to_string(row),
                          "rows are those of `row` and `rows_of`");
    return static_cast<std::size_t>(row);
}

/// Visits rows with the settled belief of their joint; joints of one coach share their tracks.
template <class Visit>
void each_row(const Forecast& forecast, const std::vector<Eigen::Index>& rows, const Visit& visit) {
    std::unique_ptr<detail::CoachTracks> tracks;
    std::unique_ptr<detail::JointBelief> belief;
    std::size_t coach = static_cast<std::size_t>(-1), first = 0;
    for (std::size_t n = 0; n < rows.size(); ++n) {
        const std::size_t row = checked_row(forecast, rows[n]);
        const detail::ForecastBasis& basis = *forecast.basis;
        const std::size_t here = basis.clocks.layers[row].coach;
        if (!tracks || here != coach) {
            belief.reset();
            tracks = std::make_unique<detail::CoachTracks>(basis.clocks, here, basis.as_of);
            coach = here;
        }
        if (!belief || row < first || row >= first + belief->size())
            belief = std::make_unique<detail::JointBelief>(basis.joint_of_row(row, first, *tracks));
        visit(n, *belief, row - first, *tracks);
    }
}

std::vector<Eigen::Index> all_rows(const Forecast& forecast) {
    std::vector<Eigen::Index> rows;
    for (Eigen::Index i = 0; i < forecast.size(); ++i) rows.push_back(i);
    return rows;
}

LayerPosterior posterior_of(const detail::JointBelief& belief, std::size_t l, const Forecast& forecast, Eigen::Index row) {
    const auto r = static_cast<std::size_t>(row);
    LayerPosterior result;
    result.coach = forecast.coach[r];
    result.joint = forecast.joint[r];
    result.layer = forecast.layer[r];
    result.probability = belief.life(l);
    result.life.resize(result.probability.size());
    for (Eigen::Index i = 0; i < result.life.size(); ++i) {
        const double log_life = std::log(belief.life_scale(l)) + LifePrior::life_node(i);
        result.life[i] = std::exp(log_life);
        result.mean_log += result.probability[i] * log_life;
        result.sd_log += result.probability[i] * log_life * log_life;
    }
    result.sd_log = std::sqrt(std::max(0.0, result.sd_log - result.mean_log * result.mean_log));
    result.effect_probability = belief.effect();
    const LifePrior& prior = forecast.basis->model.prior;
    result.effect.resize(prior.effect_count());
    for (int k = 0; k < prior.effect_count(); ++k) result.effect[k] = prior.effect_node(k);
    return result;
}

}  // namespace

ForecastCurves Forecast::monthly(const std::vector<Eigen::Index>& rows) const {
    const std::vector<Eigen::Index> asked = rows.empty() ? all_rows(*this) : rows;
    ForecastCurves curves;
    const int months = static_cast<int>(std::ceil(12 * years));
    for (int m = 0; m <= months; ++m) curves.day.push_back(add_months(as_of, m));
    for (auto* table : {&curves.due, &curves.condition, &curves.open})
        *table = Eigen::ArrayXXd::Zero(static_cast<Eigen::Index>(asked.size()), months + 1);
    each_row(*this, asked, [&](std::size_t n, const detail::JointBelief& belief, std::size_t l, detail::CoachTracks&) {
        const auto i = static_cast<Eigen::Index>(n);
        for (int m = 0; m <= months; ++m) {
            const Date day = curves.day[static_cast<std::size_t>(m)];
            curves.due(i, m) = belief.due(l, day);
            curves.condition(i, m) = belief.expected_grade(l, day);
            curves.open(i, m) = belief.open(day);
        }
    });
    return curves;
}

LayerStates Forecast::states(const std::vector<Eigen::Index>& rows) const {
    const std::vector<Eigen::Index> asked = rows.empty() ? all_rows(*this) : rows;
    LayerStates states;
    for (auto* column : {&states.crack_rating, &states.capability_left, &states.utilisation, &states.bond_left,
                         &states.compression_set, &states.shrinkage, &states.squeezed_out})
        *column = Column::Constant(static_cast<Eigen::Index>(asked.size()), std::nan(""));
    if (asked.empty()) return states;
    for (const Eigen::Index row : asked) checked_row(*this, row);
    const detail::StateClocks clocks(*basis, asked);
    each_row(*this, asked, [&](std::size_t n, const detail::JointBelief& belief, std::size_t l, detail::CoachTracks& tracks) {
        detail::state_of(*basis, belief, l, tracks, clocks, states, static_cast<Eigen::Index>(n));
    });
    return states;
}

ForecastAhead look_ahead(const Forecast& forecast, const std::vector<Eigen::Index>& rows, const std::vector<Date>& days,
                         bool spread) {
    for (const Date day : days)
        if (day < forecast.as_of)
            throw_value_error("days", "days not before " + to_text(forecast.as_of), to_text(day), "the past is in the findings");
    const std::vector<Eigen::Index> asked = rows.empty() ? all_rows(forecast) : rows;
    ForecastAhead ahead;
    ahead.day = days;
    const auto height = static_cast<Eigen::Index>(asked.size()), width = static_cast<Eigen::Index>(days.size());
    for (auto* table : {&ahead.due, &ahead.open}) *table = Eigen::ArrayXXd::Zero(height, width);
    for (auto* table : {&ahead.condition_10, &ahead.condition_50, &ahead.condition_90})
        *table = Eigen::ArrayXXd::Zero(spread ? height : 0, width);
    each_row(forecast, asked, [&](std::size_t n, const detail::JointBelief& belief, std::size_t l, detail::CoachTracks&) {
        const auto i = static_cast<Eigen::Index>(n);
        const auto grade = [&](Date day, double p) {
            return std::min(5.0, grade_of_worn_share(belief.scale(), belief.worn_share(l, day, p)));
        };
        for (Eigen::Index d = 0; d < ahead.due.cols(); ++d) {
            const Date day = days[static_cast<std::size_t>(d)];
            ahead.due(i, d) = belief.due(l, day);
            ahead.open(i, d) = belief.open(day);
            if (!spread) continue;
            ahead.condition_10(i, d) = grade(day, 0.1);
            ahead.condition_50(i, d) = grade(day, 0.5);
            ahead.condition_90(i, d) = grade(day, 0.9);
        }
    });
    return ahead;
}

LayerPosterior Forecast::posterior(Eigen::Index row_number) const {
    LayerPosterior result;
    each_row(*this, {row_number}, [&](std::size_t, const detail::JointBelief& belief, std::size_t l, detail::CoachTracks&) {
        result = posterior_of(belief, l, *this, row_number);
    });
    return result;
}

std::string Forecast::posteriors_json() const {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/posteriors/1");
    out.member("as_of", to_text(as_of));
    out.key("layers");
    out.begin_list();
    each_row(*this, all_rows(*this), [&](std::size_t n, const detail::JointBelief& belief, std::size_t l, detail::CoachTracks&) {
        const LayerPosterior posterior = posterior_of(belief, l, *this, static_cast<Eigen::Index>(n));
        const auto quantile = [&](double p) { return belief.life_scale(l) * std::exp(quantile_log(posterior.probability, p)); };
        out.begin_object();
        out.member("coach", posterior.coach);
        out.member("joint", posterior.joint);
        out.member("layer", posterior.layer);
        out.member("generation", generation[n]);
        out.member("family", family[n]);
        out.member("life_10_yr", quantile(0.1));
        out.member("life_50_yr", quantile(0.5));
        out.member("life_90_yr", quantile(0.9));
        out.member("mean_log_life", posterior.mean_log);
        out.member("sd_log_life", posterior.sd_log);
        out.member("mean_log_phi", belief.effect_mean());
        out.end_object();
    });
    out.end_list();
    out.end_object();
    return out.take();
}

const SharedEffects& Forecast::shared_effects() const {
    return detail::basis_of(*this).shared;
}

}  // namespace libseal
