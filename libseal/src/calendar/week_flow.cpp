#include "calendar/week_flow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
/// Hours below which nothing is left [h].
constexpr double nothing = 1e-9;

void check_work(const WeekWork& work, std::size_t weeks, const std::string& field) {
    if (!(work.hours > 0 && work.hours < never)) throw_value_error(field + ".hours", "above zero", number_text(work.hours));
    if (work.first < 0 || static_cast<std::size_t>(work.first) + work.cost.size() > weeks)
        throw_value_error(field + ".cost", "weeks within the " + std::to_string(weeks) + " that are given",
                          "from " + std::to_string(work.first) + ", " + std::to_string(work.cost.size()) + " values");
    for (const double price : work.cost)
        if (!(price >= 0)) throw_value_error(field + ".cost", "not below zero", number_text(price));
}

}  // namespace

WeekPrices::WeekPrices(const std::vector<WeekWork>& list, std::size_t number, const LevellingOptions& options)
    : works(list.size()), weeks(number), price(list.size() * number, never) {
    if (!options.keep.empty() && options.keep.size() != works)
        throw_value_error("keep", std::to_string(works) + " values or none", std::to_string(options.keep.size()));
    for (std::size_t i = 0; i < works; ++i) {
        check_work(list[i], weeks, "works[" + std::to_string(i) + "]");
        hours.push_back(list[i].hours);
        const int kept = options.keep.empty() ? -1 : options.keep[i];
        for (std::size_t k = 0; k < list[i].cost.size(); ++k) {
            const int week = list[i].first + static_cast<int>(k);
            price[i * weeks + static_cast<std::size_t>(week)] = list[i].cost[k] + (kept >= 0 && kept != week ? options.move_cost : 0);
        }
    }
}

WeekFlow::WeekFlow(const WeekPrices& prices, const std::vector<WeekCapacity>& weeks, double overtime_cost)
    : prices_(prices), capacity_(weeks), overtime_cost_(overtime_cost), weeks_(weeks.size()), flow_(prices.price.size(), 0.0),
      load_(weeks.size(), 0.0), offers_(weeks.size() * weeks.size()), best_(weeks.size() * weeks.size(), never) {
    for (std::size_t i = 0; i < prices.works; ++i) {
        double left = prices.hours[i];
        while (left > nothing)
            if (!push(i, left)) {
                fits_ = false;
                break;
            }
    }
}

void WeekFlow::refresh(std::size_t from) {
    for (std::size_t to = 0; to < weeks_; ++to) {
        Offers& list = offers_[from * weeks_ + to];
        while (!list.empty() && flow_[list.top().work * weeks_ + from] <= nothing) list.pop();
        best_[from * weeks_ + to] = list.empty() ? never : list.top().price;
    }
}

/// Of an hour in the room that a week has left.
double WeekFlow::room_price(std::size_t w) const {
    if (load_[w] < capacity_[w].normal - nothing) return 0;
    return load_[w] < capacity_[w].normal + capacity_[w].overtime - nothing ? overtime_cost_ : never;
}

void WeekFlow::move(std::size_t work, std::size_t to, double amount) {
    double& there = flow(work, to);
    const bool fresh = there <= nothing;
    there += amount;
    if (!fresh) return;
    for (std::size_t w = 0; w < weeks_; ++w)
        if (w != to && prices_.at(work, w) < never) offers_[to * weeks_ + w].push({rate(work, w) - rate(work, to), work});
}

/// Sends hours of a work along a shortest path to a week with room.
bool WeekFlow::push(std::size_t work, double& left) {
    std::vector<double> distance(weeks_, never);
    std::vector<int> before(weeks_, -1);
    for (std::size_t w = 0; w < weeks_; ++w)
        if (prices_.at(work, w) < never) distance[w] = rate(work, w);
    for (bool shorter = true; shorter;) {
        shorter = false;
        for (std::size_t v = 0; v < weeks_; ++v) {
            if (distance[v] == never) continue;
            const double* offers = &best_[v * weeks_];
            for (std::size_t w = 0; w < weeks_; ++w) {
                const double now = distance[w], through = distance[v] + offers[w];
                if (!(through < now)) continue;
                const double tiny = now == never ? 0 : 1e-12 * (1 + overtime_cost_ + std::abs(now));
                if (through < now - tiny) distance[w] = through, before[w] = static_cast<int>(v), shorter = true;
            }
        }
    }
    std::size_t end = weeks_;
    double least = never;
    for (std::size_t w = 0; w < weeks_; ++w)
        if (distance[w] + room_price(w) < least) least = distance[w] + room_price(w), end = w;
    if (end == weeks_) return false;
    std::vector<std::pair<std::size_t, std::size_t>> path;  // from the new work outwards: week, work that leaves it
    double amount = std::min(left, load_[end] < capacity_[end].normal - nothing
                                       ? capacity_[end].normal - load_[end]
                                       : capacity_[end].normal + capacity_[end].overtime - load_[end]);
    std::size_t start = end;
    for (std::size_t steps = 0; before[start] >= 0 && steps <= weeks_; ++steps) {
        const auto v = static_cast<std::size_t>(before[start]);
        const std::size_t mover = offers_[v * weeks_ + start].top().work;
        path.push_back({v, mover});
        amount = std::min(amount, flow(mover, v));
        start = v;
    }
    std::size_t to = end;
    for (const auto& [v, mover] : path) {
        flow(mover, v) -= amount;
        move(mover, to, amount);
        to = v;
    }
    move(work, start, amount);
    refresh(end);
    for (const auto& [v, mover] : path) refresh(v);
    load_[end] += amount;
    left -= amount;
    return true;
}

double WeekFlow::cost() const {
    double total = 0;
    for (std::size_t i = 0; i < prices_.works; ++i)
        for (std::size_t w = 0; w < weeks_; ++w)
            if (flow_[i * weeks_ + w] > 0) total += flow_[i * weeks_ + w] * rate(i, w);
    for (std::size_t w = 0; w < weeks_; ++w) total += overtime_cost_ * std::max(0.0, load_[w] - capacity_[w].normal);
    return total;
}

std::vector<double> WeekFlow::hour_prices() const {
    std::vector<double> price(weeks_);
    for (std::size_t w = 0; w < weeks_; ++w) price[w] = room_price(w);
    for (std::size_t round = 0; round < weeks_; ++round) {
        bool shorter = false;
        for (std::size_t v = 0; v < weeks_; ++v)
            for (std::size_t w = 0; w < weeks_; ++w)
                if (const double through = best_[v * weeks_ + w] + price[w]; through < price[v] - 1e-12)
                    price[v] = through, shorter = true;
        if (!shorter) break;
    }
    for (double& one : price) one = std::max(one, 0.0);
    return price;
}

}  // namespace libseal::detail
