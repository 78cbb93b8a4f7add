#include "schedule/crew_time.hpp"

#include <algorithm>
#include <limits>

#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

constexpr int longest_search_days = 3 * 366;
constexpr std::size_t most_teams = 200;

void add_teams(int people, int of, int from, std::vector<int>& chosen, std::vector<std::vector<int>>& teams) {
    if (static_cast<int>(chosen.size()) == people) {
        teams.push_back(chosen);
        return;
    }
    for (int p = from; p < of && teams.size() < most_teams; ++p) {
        chosen.push_back(p);
        add_teams(people, of, p + 1, chosen, teams);
        chosen.pop_back();
    }
}

}  // namespace

const std::vector<TimeSpan>& CrewTime::common(const std::vector<int>& people, Date day) {
    const auto [place, fresh] = common_.try_emplace({people, day.days});
    if (!fresh) return place->second;
    std::vector<TimeSpan> spans = working_spans(shop_, shop_.people[static_cast<std::size_t>(people.front())], day);
    for (std::size_t i = 1; i < people.size(); ++i) {
        std::vector<TimeSpan> both;
        for (const TimeSpan& a : spans)
            for (const TimeSpan& b : working_spans(shop_, shop_.people[static_cast<std::size_t>(people[i])], day)) {
                const TimeSpan cut{std::max(a.from, b.from), std::min(a.to, b.to)};
                if (cut.to > cut.from) both.push_back(cut);
            }
        spans = std::move(both);
    }
    return place->second = std::move(spans);
}

bool CrewTime::free(const std::vector<int>& people, TimeSpan span, Minute& until) const {
    for (const int p : people)
        for (const Booking& booking : busy_[static_cast<std::size_t>(p)])
            if (booking.span.from < span.to && span.from < booking.span.to) {
                until = booking.span.to;
                return false;
            }
    return true;
}

Slot CrewTime::find_for(const std::vector<int>& people, Minute t, std::int64_t work, bool unbroken, bool heed_bookings) {
    std::int64_t longest = 0;
    for (int d = 0; d < 14; ++d)
        for (const TimeSpan& span : common(people, day_of(t) + d)) longest = std::max(longest, span.to - span.from);
    const bool whole = unbroken && work <= longest;
    const Date last = day_of(t) + longest_search_days;
    Slot slot;
    slot.people = people;
    std::int64_t left = work;
    for (Date day = day_of(t); day < last; day = day + 1)
        for (const TimeSpan& span : common(people, day)) {
            Minute at = std::max(span.from, t);
            while (at < span.to) {
                const TimeSpan piece{at, std::min(span.to, at + left)};
                Minute until = 0;
                if ((whole && piece.to - piece.from < left) || (heed_bookings && !free(people, piece, until))) {
                    // Begin again after what is in the way; work is only laid down at breaks, never for another step.
                    slot.pieces.clear();
                    left = work;
                    at = until > at ? until : span.to;
                    continue;
                }
                slot.pieces.push_back(piece);
                left -= piece.to - piece.from;
                at = piece.to;
                if (left > 0) continue;
                slot.start = slot.pieces.front().from;
                slot.end = slot.pieces.back().to;
                return slot;
            }
        }
    throw_value_error("shop", "working time within three years", "none",
                      "check working days, shifts and holidays; people who work together need hours in common");
}

Slot CrewTime::best_of(Minute t, std::int64_t work, int people, bool unbroken, bool heed_bookings) {
    auto& teams = teams_[people];
    if (teams.empty()) {
        std::vector<int> chosen;
        add_teams(people, static_cast<int>(shop_.people.size()), 0, chosen, teams);
    }
    Slot best;
    best.end = std::numeric_limits<Minute>::max();
    for (const auto& team : teams) {
        Slot slot = find_for(team, t, work, unbroken, heed_bookings);
        if (slot.end < best.end || (slot.end == best.end && slot.start < best.start)) best = std::move(slot);
    }
    return best;
}

Slot CrewTime::find(Minute t, std::int64_t work, int people, bool unbroken) { return best_of(t, work, people, unbroken, true); }

Slot CrewTime::find_free(Minute t, std::int64_t work, int people, bool unbroken) {
    return best_of(t, work, people, unbroken, false);
}

void CrewTime::book(const Slot& slot, int step) {
    for (const int p : slot.people) {
        auto& list = busy_[static_cast<std::size_t>(p)];
        for (const TimeSpan& piece : slot.pieces) {
            const auto place = std::lower_bound(list.begin(), list.end(), piece.from,
                                                [](const Booking& b, Minute from) { return b.span.from < from; });
            list.insert(place, {piece, step});
        }
    }
}

int CrewTime::last_step(int p, Minute t) const {
    int step = -1;
    for (const Booking& booking : busy_[static_cast<std::size_t>(p)])
        if (booking.span.to <= t) step = booking.step;
    return step;
}

}  // namespace libseal::detail
