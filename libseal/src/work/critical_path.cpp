#include "libseal/work/critical_path.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/plan.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void check_network(const std::vector<double>& durations, const std::vector<Edge>& edges) {
    for (std::size_t i = 0; i < durations.size(); ++i)
        if (!(durations[i] >= 0) || !std::isfinite(durations[i]))
            throw_value_error("durations[" + std::to_string(i) + "]", "a finite number >= 0", number_text(durations[i]));
    const int n = static_cast<int>(durations.size());
    for (std::size_t e = 0; e < edges.size(); ++e) {
        const std::string field = "edges[" + std::to_string(e) + "]";
        for (const int end : {edges[e].from, edges[e].to})
            if (end < 0 || end >= n) throw_value_error(field, "activities from 0 to " + std::to_string(n - 1), std::to_string(end));
        if (!(edges[e].lag >= 0) || !std::isfinite(edges[e].lag))
            throw_value_error(field + ".lag", "a finite number >= 0", number_text(edges[e].lag));
    }
}

/// Numbered marks, so that a loop can be told.
std::vector<Step> numbered(std::size_t count) {
    std::vector<Step> steps(count);
    for (std::size_t i = 0; i < count; ++i) steps[i].id = std::to_string(i);
    return steps;
}

/// From its end backwards along edges that leave no slack.
std::vector<int> longest_chain(const NetworkTimes& times, const std::vector<std::vector<const Edge*>>& before) {
    std::vector<int> chain;
    int last = -1;
    for (std::size_t i = 0; i < times.early_finish.size(); ++i)
        if (last < 0 || times.early_finish[i] > times.early_finish[at(last)]) last = static_cast<int>(i);
    while (last >= 0) {
        chain.push_back(last);
        const Edge* binding = nullptr;
        for (const Edge* edge : before[at(last)]) {
            const bool binds = times.early_finish[at(edge->from)] + edge->lag >= times.early_start[at(last)];
            if (binds && (!binding || edge->from < binding->from)) binding = edge;
        }
        last = binding ? binding->from : -1;
    }
    std::reverse(chain.begin(), chain.end());
    return chain;
}

NetworkTimes times_of(const std::vector<Step>& steps, const std::vector<double>& durations, const std::vector<Edge>& edges) {
    check_network(durations, edges);
    const std::vector<int> order = ordered_steps(steps, edges);
    const std::size_t n = durations.size();
    std::vector<std::vector<const Edge*>> before(n), after(n);
    for (const Edge& edge : edges) {
        before[at(edge.to)].push_back(&edge);
        after[at(edge.from)].push_back(&edge);
    }
    NetworkTimes times;
    times.early_start.assign(n, 0);
    times.early_finish.assign(n, 0);
    for (const int i : order) {
        for (const Edge* edge : before[at(i)])
            times.early_start[at(i)] = std::max(times.early_start[at(i)], times.early_finish[at(edge->from)] + edge->lag);
        times.early_finish[at(i)] = times.early_start[at(i)] + durations[at(i)];
        times.length = std::max(times.length, times.early_finish[at(i)]);
    }
    times.late_finish.assign(n, times.length);
    times.late_start.assign(n, times.length);
    times.free_float.assign(n, 0);
    times.total_float.assign(n, 0);
    for (auto i = order.rbegin(); i != order.rend(); ++i) {
        double next = times.length;
        for (const Edge* edge : after[at(*i)]) {
            times.late_finish[at(*i)] = std::min(times.late_finish[at(*i)], times.late_start[at(edge->to)] - edge->lag);
            next = std::min(next, times.early_start[at(edge->to)] - edge->lag);
        }
        times.late_start[at(*i)] = times.late_finish[at(*i)] - durations[at(*i)];
        times.total_float[at(*i)] = std::max(0.0, times.late_start[at(*i)] - times.early_start[at(*i)]);
        times.free_float[at(*i)] = std::max(0.0, next - times.early_finish[at(*i)]);
    }
    times.critical = longest_chain(times, before);
    return times;
}

}  // namespace

NetworkTimes critical_path(const std::vector<double>& durations, const std::vector<Edge>& edges) {
    return times_of(numbered(durations.size()), durations, edges);
}

NetworkTimes critical_path(const WorkPlan& plan) {
    std::vector<double> durations;
    for (const Step& step : plan.steps) durations.push_back(step.minutes.mode);
    return times_of(plan.steps, durations, plan.edges);
}

double LengthEstimate::chance_within(double limit) const {
    if (variance <= 0) return limit >= mean ? 1 : 0;
    return 0.5 * std::erfc((mean - limit) / std::sqrt(2 * variance));
}

LengthEstimate length_estimate(const std::vector<Minutes>& durations, const std::vector<Edge>& edges) {
    std::vector<double> means;
    for (std::size_t i = 0; i < durations.size(); ++i) {
        const Minutes& m = durations[i];
        if (!(m.low <= m.mode && m.mode <= m.high))
            throw_value_error("durations[" + std::to_string(i) + "]", "low <= mode <= high",
                              number_text(m.low) + ", " + number_text(m.mode) + ", " + number_text(m.high));
        means.push_back((m.low + 4 * m.mode + m.high) / 6);
    }
    const NetworkTimes times = critical_path(means, edges);
    LengthEstimate estimate;
    estimate.mean = times.length;
    estimate.critical = times.critical;
    for (const int i : times.critical) {
        const double sd = (durations[at(i)].high - durations[at(i)].low) / 6;
        estimate.variance += sd * sd;
    }
    return estimate;
}

}  // namespace libseal
