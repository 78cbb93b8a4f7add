// Where a job fits between what people and ladders do already.

#include <algorithm>
#include <optional>

#include "schedule/generate.hpp"

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

/// What a place for a job must have, whichever way in time it is looked for.
struct ShopGenerator::Sought {
    const Windows& windows;
    const std::vector<int>& rows;  ///< of `taken_`, free throughout
    Minute work;
    bool whole;    ///< in one stretch
    bool one_day;  ///< in stretches of one day
};

/// Rows of a team and of what it stands on.
const std::vector<int>& ShopGenerator::rows_of(int team, int reach) const {
    const std::size_t number = at(team) * 3 + at(reach + 1);
    if (rows_.size() <= number) rows_.resize(number + 1);
    auto& rows = rows_[number];
    if (!rows.empty()) return rows;
    rows = hours_.people(team);
    if (reach >= 0) rows.push_back(static_cast<int>(hours_.shop().people.size()) + reach);
    return rows;
}

/// End of the first stretch in [from, to) in which somebody of the team or every ladder is taken; -1 if none.
Minute ShopGenerator::taken_until(const std::vector<int>& rows, Minute from, Minute to) const {
    const Minute base = hours_.from();
    const Minute end = taken_.first_taken(rows.data(), static_cast<int>(rows.size()), from - base, to - base);
    return end < 0 ? -1 : base + end;
}

/// Start of the last stretch in [from, to) in which somebody of the team or every ladder is taken; `never` if none.
Minute ShopGenerator::taken_since(const std::vector<int>& rows, Minute from, Minute to) const {
    const Minute base = hours_.from();
    const Minute begin = taken_.last_taken(rows.data(), static_cast<int>(rows.size()), from - base, to - base);
    return begin < 0 ? never : base + begin;
}

/// One more or one less set of ladders or platforms in use.
void ShopGenerator::use(int reach, Minute from, Minute to, int change) {
    auto& levels = reach_[reach];
    const auto cut = [&](Minute t) {
        auto after = std::upper_bound(levels.begin(), levels.end(), t, [](Minute x, const Level& l) { return x < l.time; });
        if ((after - 1)->time == t) return static_cast<std::size_t>(after - levels.begin()) - 1;
        const auto place = levels.insert(after, {t, (after - 1)->used});
        return static_cast<std::size_t>(place - levels.begin());
    };
    const std::size_t a = cut(from), b = cut(to);
    const int row = static_cast<int>(hours_.shop().people.size()) + reach;
    for (std::size_t i = a; i < b; ++i) {
        levels[i].used += change;
        const Minute begin = levels[i].time - hours_.from(), end = levels[i + 1].time - hours_.from();
        if (levels[i].used >= jobs_.reaches[reach]) taken_.set(row, begin, end);
        else if (change < 0) taken_.reset(row, begin, end);
    }
}

/// Nothing if there are no ladders that it could use.
std::optional<ShopGenerator::Sought> ShopGenerator::sought_by(int number, int team, int kind) const {
    const BookedStep& job = jobs_.jobs[at(number)];
    const Windows& windows = hours_.windows(team, job.gate, kind);
    if (job.reach >= 0 && jobs_.reaches[job.reach] <= 0) return std::nullopt;
    const bool whole = job.unbroken && job.work <= windows.longest;
    return Sought{windows, rows_of(team, job.reach), job.work, whole, job.unbroken && !whole && job.work <= windows.longest_day};
}

bool ShopGenerator::fit(int number, int team, int kind, Minute ready, Minute before, std::vector<TimeSpan>& pieces) const {
    const auto sought = sought_by(number, team, kind);
    if (!sought) return false;
    const auto& [windows, rows, work, whole, one_day] = *sought;
    const auto& spans = windows.spans;
    Minute from = ready;
    auto w = windows.first_after(from);
    while (w != spans.end()) {
        from = std::max(from, w->from);
        if (from + work >= before) return false;
        pieces.clear();
        Minute left = work, blocked = -1;
        for (auto piece = w; left > 0; ++piece) {
            if (piece == spans.end()) return false;
            const Minute position = std::max(from, piece->from), end = std::min(piece->to, position + left);
            if (whole && end - position < left) blocked = piece->to;
            else if (one_day && day_of(end - 1) != day_of(from)) blocked = minute_of(day_of(end - 1));
            else blocked = taken_until(rows, position, end);
            if (blocked >= 0) break;
            if (end >= before) return false;
            pieces.push_back({position, end});
            left -= end - position;
        }
        if (blocked < 0) return true;
        from = std::max(blocked, from + 1);
        while (w != spans.end() && w->to <= from) ++w;
    }
    return false;
}

bool ShopGenerator::fit_back(int number, int team, int kind, Minute latest, Minute after, std::vector<TimeSpan>& pieces) const {
    const auto sought = sought_by(number, team, kind);
    if (!sought) return false;
    const auto& [windows, rows, work, whole, one_day] = *sought;
    const auto& spans = windows.spans;
    Minute to = latest;
    auto w = static_cast<std::ptrdiff_t>(
                 std::lower_bound(spans.begin(), spans.end(), to, [](const TimeSpan& s, Minute t) { return s.from < t; }) - spans.begin()) - 1;
    while (w >= 0) {
        to = std::min(to, spans[static_cast<std::size_t>(w)].to);
        if (to - work <= after) return false;
        pieces.clear();
        Minute left = work, blocked = never;
        for (auto i = w; left > 0; --i) {
            if (i < 0) return false;
            const TimeSpan& span = spans[static_cast<std::size_t>(i)];
            const Minute end = std::min(to, span.to), from = std::max(span.from, end - left);
            if (whole && end - from < left) blocked = span.from;
            else if (one_day && day_of(from) != day_of(to - 1)) blocked = minute_of(day_of(to - 1));
            else blocked = taken_since(rows, from, end);
            if (blocked < never) break;
            pieces.push_back({from, end});
            left -= end - from;
        }
        if (blocked == never) {
            std::reverse(pieces.begin(), pieces.end());
            return pieces.front().from > after;
        }
        to = std::min(blocked, to - 1);
        while (w >= 0 && spans[static_cast<std::size_t>(w)].from >= to) --w;
    }
    return false;
}

void ShopGenerator::occupy(int number, const std::vector<int>& people, const std::vector<TimeSpan>& pieces) {
    const int reach = jobs_.jobs[at(number)].reach;
    for (const TimeSpan& piece : pieces) {
        for (const int person : people) taken_.set(person, piece.from - hours_.from(), piece.to - hours_.from());
        if (reach >= 0) use(reach, piece.from, piece.to, 1);
    }
}

void ShopGenerator::release(int number, const std::vector<int>& people, const std::vector<TimeSpan>& pieces) {
    const int reach = jobs_.jobs[at(number)].reach;
    for (const TimeSpan& piece : pieces) {
        for (const int person : people) taken_.reset(person, piece.from - hours_.from(), piece.to - hours_.from());
        if (reach >= 0) use(reach, piece.from, piece.to, -1);
    }
}

}  // namespace libseal::detail
