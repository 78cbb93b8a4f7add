#pragma once
// The first day on which a probability that never falls reaches p, in few questions.

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "libseal/core/date.hpp"

namespace libseal::detail {

/// Asks for several p of one probability: what one search has asked brackets the next. Plain bisection gives the same days.
class DaySearch {
public:
    /// Days of (low, high] are searched.
    DaySearch(Date low, Date high, std::function<double(Date)> chance) : low_(low), high_(high), chance_(std::move(chance)) {}

    /// The chance on any day.
    double ask(Date day) {
        const auto after = std::lower_bound(asked_.begin(), asked_.end(), day, [](const Asked& a, Date d) { return a.day < d; });
        if (after != asked_.end() && after->day == day) return after->chance;
        const Asked fresh{day, chance_(day)};
        asked_.insert(after, fresh);
        return fresh.chance;
    }

    /// First day whose chance reaches p; the last one if none before does.
    /// @param near_low, near_high  Between which days it is thought to lie; a wrong guess costs questions, no more.
    Date first_day(double p, Date near_low, Date near_high) {
        if (near_low > near_high) std::swap(near_low, near_high);
        const bool sure = near_high - near_low <= 1;
        Bracket bracket = known_bracket(p);
        if (!bracket.reached) {
            find_reached(p, near_high, bracket);
            if (bracket.after == high_ && ask(high_) < p) return high_;
        } else if (sure) {
            narrow(p, near_high, bracket);
        }
        if (!bracket.missed) find_missed(p, near_low - 1, bracket);
        else if (sure) narrow(p, near_low - 1, bracket);
        return between(p, bracket);
    }

private:
    struct Asked {
        Date day;
        double chance;
    };
    /// `before` has not reached p, `after` has, where they are known.
    struct Bracket {
        Date before, after;
        bool missed, reached;
    };

    Bracket known_bracket(double p) const {
        Bracket bracket{low_, high_, false, false};
        for (const Asked& asked : asked_) {
            if (asked.day <= low_ || asked.day > high_) continue;
            if (asked.chance < p) bracket = {asked.day, high_, true, false};
            else if (!bracket.reached) bracket.after = asked.day, bracket.reached = true;
        }
        return bracket;
    }

    void narrow(double p, Date day, Bracket& bracket) {
        if (day <= bracket.before || day >= bracket.after) return;
        if (ask(day) < p) bracket.before = day, bracket.missed = true;
        else bracket.after = day, bracket.reached = true;
    }

    void find_reached(double p, Date guess, Bracket& bracket) {
        bracket.after = std::min(std::max(guess, bracket.before + 1), high_);  // nothing lies behind the last day if that was missed
        for (int step = 2; ask(bracket.after) < p && bracket.after < high_; step *= 4) {
            bracket.before = bracket.after;
            bracket.missed = true;
            bracket.after = step < high_ - bracket.after ? bracket.after + step : high_;
        }
        bracket.reached = true;
    }

    void find_missed(double p, Date guess, Bracket& bracket) {
        for (int step = 2; (guess = std::min(guess, bracket.after - 1)) > low_; step *= 4) {
            if (ask(guess) < p) {
                bracket.before = guess;
                return;
            }
            bracket.after = guess;
            guess = step < guess - low_ ? guess - step : low_;
        }
    }

    /// False position on the log odds, which are nearly straight; the end that stays counts half (Illinois), and a bracket
    /// that is slow to shrink is halved.
    Date between(double p, Bracket bracket) {
        double before = bracket.missed || bracket.before > low_ ? missing(p, ask(bracket.before)) : missing(p, 0);
        double after = missing(p, ask(bracket.after));
        for (int same = 0, turn = 0; bracket.after - bracket.before > 1; ++turn) {
            const int width = bracket.after - bracket.before;
            const int part = turn % 4 == 3 ? width / 2 : static_cast<int>(std::lround(before / (before - after) * width));
            const Date day = bracket.before + std::clamp(part, 1, width - 1);
            const double chance = ask(day), end = missing(p, chance);
            if (chance < p) {
                if (same < 0) after /= 2;
                bracket.before = day;
                before = end;
                same = -1;
            } else {
                if (same > 0) before /= 2;
                bracket.after = day;
                after = end;
                same = 1;
            }
        }
        return bracket.after;
    }

    /// Log odds that are missing: above 0 exactly where the chance is below p.
    static double missing(double p, double chance) {
        static constexpr double least = 1e-12;
        const auto log_odds = [](double x) { return std::log(std::max(x, least) / std::max(1 - x, least)); };
        const double difference = log_odds(p) - log_odds(chance);
        return chance < p ? std::max(difference, least) : std::min(difference, 0.0);
    }

    Date low_, high_;
    std::function<double(Date)> chance_;
    std::vector<Asked> asked_;  ///< by day
};

}  // namespace libseal::detail
