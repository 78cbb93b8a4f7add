#pragma once
// When may a team work on a step: shifts, sealing days and weather cut to one list of windows.

#include <algorithm>
#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "libseal/schedule/schedule.hpp"

namespace libseal::detail {

/// Later than any time there is, with room for more minutes on top.
constexpr Minute never = std::numeric_limits<Minute>::max() / 4;

/// Stretches of time in order, with what a step without an exact fit must know.
struct Windows {
    std::vector<TimeSpan> spans;
    std::vector<std::uint32_t> of_day;  ///< by day from `base` on, the first span that ends after its beginning
    Minute base = 0;
    Minute longest = 0;      ///< stretch of the plain shifts [min]
    Minute longest_day = 0;  ///< working minutes on one day of the plain shifts

    /// First span that ends after t.
    std::vector<TimeSpan>::const_iterator first_after(Minute t) const {
        const auto day = static_cast<std::size_t>(std::clamp<Minute>((t - base) / 1440, 0, static_cast<Minute>(of_day.size()) - 1));
        auto span = spans.begin() + of_day[day];
        while (span != spans.end() && span->to <= t) ++span;
        return span;
    }
};

/// What of a bay counts for the weather.
struct BayKind {
    bool roofed = false, heated = false;
    auto operator<=>(const BayKind&) const = default;
};

/// People who work together, and their windows, made when first asked for. Not shared between threads.
class ShopHours {
public:
    /// @param days  horizon from `start` on.
    ShopHours(const Shop& shop, Date start, int days, const ScheduleOptions& options);
    ~ShopHours();
    ShopHours(const ShopHours&) = delete;
    ShopHours& operator=(const ShopHours&) = delete;

    /// Teams of `count` people who hold the skills between them, as numbers of `people`; fewest skills to spare first. At most 200.
    const std::vector<int>& teams(int count, const std::vector<std::string>& skills);
    const std::vector<int>& people(int team) const { return teams_[static_cast<std::size_t>(team)]; }

    /// Number of a gate and family, for `windows`; 0 stands for none.
    int gate(const std::string& name, const std::string& family, bool aloft);
    /// Number of a kind of bay.
    int kind(const BayKind& bay);

    const Windows& windows(int team, int gate, int kind);

    /// Does the weather decide how fast a bead cures there?
    bool cures_by_weather(int kind) const { return !kinds_[static_cast<std::size_t>(kind)].heated && !options_.weather.empty(); }

    /// A wait of `lag` minutes of a clock that begins at `from`: its end.
    Minute ready(Minute from, Minute lag, LagClock clock, int kind);

    Minute from() const { return minute_of(start_); }
    Minute to() const { return minute_of(start_ + days_); }
    /// Minutes of all people together up to a time, for bounds.
    Minute staffed(Minute to) const;
    /// First minute by which so many person-minutes can have been worked from `from`; the horizon's end if never.
    Minute staffed_by(Minute from, Minute work) const;
    const Shop& shop() const { return shop_; }

private:
    struct Clocks;
    const std::vector<TimeSpan>& open(int gate, int kind);
    const std::vector<TimeSpan>& shift(int person);

    const Shop& shop_;
    Date start_;
    int days_;
    const ScheduleOptions& options_;
    std::vector<std::vector<int>> teams_;
    std::map<std::vector<int>, int> team_number_;
    std::map<std::pair<int, std::vector<std::string>>, std::vector<int>> choices_;
    std::vector<std::tuple<std::string, std::string, bool>> gates_;  ///< name, family, on a ladder or roof
    std::vector<BayKind> kinds_;
    std::vector<std::vector<TimeSpan>> shifts_;
    std::map<std::pair<int, int>, std::vector<TimeSpan>> open_;
    std::vector<std::vector<std::vector<std::unique_ptr<Windows>>>> windows_;  ///< [team][gate][kind]
    std::vector<Minute> change_at_, done_by_;  ///< staffed minutes at each change of staff
    std::vector<int> staff_;
    std::unique_ptr<Clocks> clocks_;
};

}  // namespace libseal::detail
