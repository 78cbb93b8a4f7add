// Days of visits by a dynamic program over the days, and the repair for visits that are too long.

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "libseal/calendar/visits.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

void check_works(const std::vector<VisitWork>& works, const std::vector<double>& set_up, double most_hours) {
    for (std::size_t d = 0; d < set_up.size(); ++d)
        if (!(set_up[d] >= 0)) throw_value_error("set_up[" + std::to_string(d) + "]", "not below zero", number_text(set_up[d]));
    if (!(most_hours >= 0)) throw_value_error("most_hours", "not below zero", number_text(most_hours));
    for (std::size_t i = 0; i < works.size(); ++i) {
        const std::string field = "works[" + std::to_string(i) + "]";
        if (works[i].penalty.size() != set_up.size())
            throw_value_error(field + ".penalty", std::to_string(set_up.size()) + " values", std::to_string(works[i].penalty.size()));
        if (!(works[i].hours >= 0 && works[i].hours < never))
            throw_value_error(field + ".hours", "not below zero", number_text(works[i].hours));
        for (const double price : works[i].penalty)
            if (!(price >= 0)) throw_value_error(field + ".penalty", "not below zero", number_text(price));
    }
}

/// Works on the open days alone, in order of their best day.
class Program {
public:
    Program(const std::vector<VisitWork>& works, const std::vector<double>& set_up) : set_up_(set_up) {
        for (std::size_t d = 0; d < set_up.size(); ++d)
            if (set_up[d] < never) open_.push_back(static_cast<int>(d));
        best_.assign(works.size(), -1);
        for (std::size_t i = 0; i < works.size(); ++i) take(works[i], i);
        std::stable_sort(rows_.begin(), rows_.end(), [](const Row& a, const Row& b) { return a.best < b.best; });
    }

    /// Days (indices of all days) of the cheapest plan for the valleys of the penalties.
    std::vector<int> solve(const Watch& watch) {
        const std::size_t m = open_.size();
        if (rows_.empty() || m == 0) return {};
        ProgressReporter reporter(watch, "visits");
        std::vector<double> cost(m, never), least(m, never);
        std::vector<int> before(m, -1);
        std::size_t up_to = 0;  // rows with best <= q
        for (std::size_t q = 0; q < m; ++q) {
            reporter.tick(static_cast<double>(q) / static_cast<double>(m));
            while (up_to < rows_.size() && rows_[up_to].best <= static_cast<int>(q)) ++up_to;
            double found = sum(0, up_to, q);
            std::size_t from = up_to;
            for (std::size_t p = q; p-- > 0;) {
                while (from > 0 && rows_[from - 1].best > static_cast<int>(p)) --from;
                const double between = nearer(from, up_to, p, q);
                // The sum rises towards earlier p: nothing further back can be cheaper.
                if (between + least[p] >= found) break;
                if (cost[p] + between < found) found = cost[p] + between, before[q] = static_cast<int>(p);
            }
            cost[q] = found + set_up_[static_cast<std::size_t>(open_[q])];
            least[q] = std::min(cost[q], q > 0 ? least[q - 1] : never);
        }
        return trace(cost, before);
    }

    double bound() const { return bound_; }
    const std::vector<int>& best_days() const { return best_; }

private:
    struct Row {
        int best = 0;                ///< position among the open days
        std::vector<double> price;   ///< on the open days, with one valley
    };

    void take(const VisitWork& work, std::size_t i) {
        Row row;
        row.price.reserve(open_.size());
        for (const int d : open_) row.price.push_back(work.penalty[static_cast<std::size_t>(d)]);
        const auto low = std::min_element(row.price.rbegin(), row.price.rend());
        if (low == row.price.rend() || *low == never) return;
        row.best = static_cast<int>(row.price.rend() - low) - 1;
        best_[i] = open_[static_cast<std::size_t>(row.best)];
        // The largest penalties with one valley that nowhere exceed the given ones.
        for (std::size_t d = 1; d <= static_cast<std::size_t>(row.best); ++d) row.price[d] = std::min(row.price[d], row.price[d - 1]);
        for (std::size_t d = row.price.size() - 1; d-- > static_cast<std::size_t>(row.best);)
            row.price[d] = std::min(row.price[d], row.price[d + 1]);
        rows_.push_back(std::move(row));
    }

    double sum(std::size_t from, std::size_t to, std::size_t day) const {
        double total = 0;
        for (std::size_t i = from; i < to; ++i) total += rows_[i].price[day];
        return total;
    }

    double nearer(std::size_t from, std::size_t to, std::size_t p, std::size_t q) const {
        double total = 0;
        for (std::size_t i = from; i < to; ++i) total += std::min(rows_[i].price[p], rows_[i].price[q]);
        return total;
    }

    std::vector<int> trace(const std::vector<double>& cost, const std::vector<int>& before) {
        bound_ = never;
        int last = -1;
        std::size_t from = 0;
        for (std::size_t q = 0; q < open_.size(); ++q) {
            while (from < rows_.size() && rows_[from].best <= static_cast<int>(q)) ++from;
            const double total = cost[q] + sum(from, rows_.size(), q);
            if (total <= bound_ && total < never) bound_ = total, last = static_cast<int>(q);
        }
        std::vector<int> days;
        for (; last >= 0; last = before[static_cast<std::size_t>(last)]) days.push_back(open_[static_cast<std::size_t>(last)]);
        return {days.rbegin(), days.rend()};
    }

    const std::vector<double>& set_up_;
    std::vector<int> open_;
    std::vector<Row> rows_;
    std::vector<int> best_;
    double bound_ = 0;
};

/// Works on visits, as they are changed by hand: limits of hours, penalties with several valleys.
class Assignment {
public:
    /// @param best  Own best day of each work, -1 for none.
    Assignment(const std::vector<VisitWork>& works, const std::vector<double>& set_up, std::vector<int> days, const std::vector<int>& best)
        : works_(works), set_up_(set_up), days_(std::move(days)), best_(best) {
        assign();
        // Between the valleys of a penalty it may be infinite on all visits.
        for (std::size_t i = 0; i < works.size(); ++i)
            if (best[i] >= 0 && day_of_[i] < 0) days_.push_back(best[i]);
        std::sort(days_.begin(), days_.end());
        days_.erase(std::unique(days_.begin(), days_.end()), days_.end());
        assign();
    }

    /// Every work to its cheapest visit, the later of equals; visits without work go.
    void assign() {
        day_of_.assign(works_.size(), -1);
        for (std::size_t i = 0; i < works_.size(); ++i) {
            double least = never;
            for (const int day : days_)
                if (price(i, day) < never && price(i, day) <= least) least = price(i, day), day_of_[i] = day;
        }
        drop_empty();
    }

    double cost() const { return cost_of(days_); }

    /// Shifts, drops and adds single visits while that helps.
    void improve() {
        for (bool better = true; better;) {
            better = false;
            std::vector<std::vector<int>> tries;
            for (std::size_t v = 0; v <= days_.size(); ++v)
                for (int day = -1; day < static_cast<int>(set_up_.size()); ++day) tries.push_back(changed(v, day));
            for (const auto& days : tries)
                if (cost_of(days) < cost() * (1 - 1e-12)) days_ = days, better = true;
        }
        assign();
    }

    /// Takes works out of visits that are longer than the limit.
    void shorten(double most) {
        for (std::size_t round = 0; round < 4 * works_.size() + 4; ++round) {
            int long_day = -1;
            for (const int day : days_)
                if (count(day) > 1 && hours(day) > most * (1 + 1e-12)) {
                    long_day = day;
                    break;
                }
            if (long_day < 0) return;
            relieve(long_day, most);
        }
    }

    VisitPlan plan() const {
        VisitPlan result;
        result.days = days_;
        for (const int day : day_of_)
            result.visit_of.push_back(
                day < 0 ? -1 : static_cast<int>(std::lower_bound(days_.begin(), days_.end(), day) - days_.begin()));
        for (const int day : days_) result.cost += set_up_[static_cast<std::size_t>(day)];
        for (std::size_t i = 0; i < works_.size(); ++i)
            if (day_of_[i] >= 0) result.cost += price(i, day_of_[i]);
        return result;
    }

private:
    struct Shift {
        double price = 0;
        std::size_t work = 0;
        int day = 0;
    };

    double price(std::size_t i, int day) const { return works_[i].penalty[static_cast<std::size_t>(day)]; }

    double cost_of(const std::vector<int>& days) const {
        double total = 0;
        for (const int day : days) total += set_up_[static_cast<std::size_t>(day)];
        for (std::size_t i = 0; i < works_.size(); ++i) {
            if (best_[i] < 0) continue;
            double least = never;
            for (const int day : days) least = std::min(least, price(i, day));
            total += least;
        }
        return total;
    }

    /// The days with visit v on another day, without it (day -1), or with one more (v behind the last).
    std::vector<int> changed(std::size_t v, int day) const {
        std::vector<int> days = days_;
        if (v < days.size()) days.erase(days.begin() + static_cast<std::ptrdiff_t>(v));
        if (day >= 0 && set_up_[static_cast<std::size_t>(day)] < never) days.push_back(day);
        std::sort(days.begin(), days.end());
        days.erase(std::unique(days.begin(), days.end()), days.end());
        return days;
    }

    double hours(int day) const {
        double total = 0;
        for (std::size_t i = 0; i < works_.size(); ++i)
            if (day_of_[i] == day) total += works_[i].hours;
        return total;
    }
    std::size_t count(int day) const { return static_cast<std::size_t>(std::count(day_of_.begin(), day_of_.end(), day)); }

    void drop_empty() {
        std::erase_if(days_, [&](int day) { return count(day) == 0; });
    }

    /// Works of a visit by what it costs an hour to take them elsewhere, cheapest first.
    std::vector<Shift> shifts(int from, const std::vector<int>& targets) const {
        std::vector<Shift> list;
        for (std::size_t i = 0; i < works_.size(); ++i) {
            if (day_of_[i] != from) continue;
            Shift shift{never, i, -1};
            for (const int day : targets)
                if (day != from && price(i, day) - price(i, from) < shift.price) shift.price = price(i, day) - price(i, from), shift.day = day;
            if (shift.day >= 0) list.push_back(shift);
        }
        std::stable_sort(list.begin(), list.end(), [&](const Shift& a, const Shift& b) {
            return a.price * std::max(works_[b.work].hours, 1e-9) < b.price * std::max(works_[a.work].hours, 1e-9);
        });
        return list;
    }

    /// Shifts that bring a visit down to the limit, as far as the targets have room; their price.
    double choose(int from, const std::vector<int>& targets, double most, std::vector<Shift>& chosen) const {
        double excess = hours(from) - most, total = 0;
        std::size_t left = count(from);
        std::vector<double> room(set_up_.size(), 0);
        for (const int day : targets) room[static_cast<std::size_t>(day)] = most - hours(day);
        for (const Shift& shift : shifts(from, targets)) {
            const double own = works_[shift.work].hours;
            if (excess <= most * 1e-12 || left <= 1) break;
            double& space = room[static_cast<std::size_t>(shift.day)];
            if (own > space * (1 + 1e-12) && !(own > most && space >= most)) continue;
            space -= own, excess -= own, total += shift.price, --left;
            chosen.push_back(shift);
        }
        return excess <= most * 1e-12 || left <= 1 ? total : never;
    }

    /// To visits with room, or to one more visit, whichever is cheaper.
    void relieve(int from, double most) {
        std::vector<Shift> best;
        double least = choose(from, days_, most, best);
        for (int day = 0; day < static_cast<int>(set_up_.size()); ++day) {
            if (set_up_[static_cast<std::size_t>(day)] == never || std::binary_search(days_.begin(), days_.end(), day)) continue;
            std::vector<Shift> chosen;
            const double reached = choose(from, {day}, most, chosen);
            // One more visit that does not take all of the excess is still better than none.
            const double total = reached < never ? reached + set_up_[static_cast<std::size_t>(day)] : never;
            if (chosen.empty()) continue;
            if (total < least || (least == never && best.size() < chosen.size())) least = total, best = chosen;
        }
        if (best.empty()) split(from);
        for (const Shift& shift : best) {
            day_of_[shift.work] = shift.day;
            if (!std::binary_search(days_.begin(), days_.end(), shift.day))
                days_.insert(std::lower_bound(days_.begin(), days_.end(), shift.day), shift.day);
        }
        drop_empty();
    }

    /// No day takes anything: the longest work stays on the visit, the cheapest other one finds no place.
    void split(int from) {
        std::size_t shortest = works_.size();
        for (std::size_t i = 0; i < works_.size(); ++i)
            if (day_of_[i] == from && (shortest == works_.size() || works_[i].hours < works_[shortest].hours)) shortest = i;
        if (shortest < works_.size()) day_of_[shortest] = -1;
    }

    const std::vector<VisitWork>& works_;
    const std::vector<double>& set_up_;
    std::vector<int> days_;
    const std::vector<int>& best_;
    std::vector<int> day_of_;
};

}  // namespace

VisitPlan best_visits(const std::vector<VisitWork>& works, const std::vector<double>& set_up, const VisitOptions& options) {
    check_works(works, set_up, options.most_hours);
    Program program(works, set_up);
    const std::vector<int> days = program.solve(options.watch);
    Assignment assignment(works, set_up, days, program.best_days());
    const double slack = 1e-9 * std::max(1.0, program.bound());
    if (assignment.cost() > program.bound() + slack) assignment.improve();
    if (options.most_hours > 0) assignment.shorten(options.most_hours);
    VisitPlan plan = assignment.plan();
    plan.best_day = program.best_days();
    plan.bound = std::min(program.bound(), plan.cost);
    plan.exact = plan.cost <= plan.bound + slack;
    return plan;
}

}  // namespace libseal
