#include "calendar/fleet_work.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <map>
#include <numeric>
#include <set>
#include <string_view>
#include <utility>

#include "calendar/forecast_rows.hpp"
#include "forecast/basis.hpp"
#include "forecast/dates.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/forecast/evidence.hpp"
#include "libseal/forecast/shared_effects.hpp"
#include "libseal/survey/read.hpp"

namespace libseal::detail {
namespace {

/// Coaches that are forecast at a time, so that a large fleet needs little memory.
constexpr std::size_t coaches_at_a_time = 125;

template <class Thing>
void move_behind(std::vector<Thing>& all, std::vector<Thing>& more) {
    all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

Making joined(std::vector<Making>& each) {
    Making all;
    for (Making& one : each) {
        move_behind(all.drafts, one.drafts);
        move_behind(all.facts, one.facts);
        move_behind(all.unplaced, one.unplaced);
    }
    return all;
}

/// Drafts of some coaches, made side by side. @param done  As `parallel_for`, with the share that is done.
std::vector<Making> drafts_of(const std::vector<Coach>& coaches, const Forecast& forecast, const YearFrame& frame, int threads,
                              const std::function<void(double)>& done) {
    const ForecastRows rows(forecast);
    const std::size_t n = coaches.size();
    std::vector<Making> each(n);
    parallel_for(
        n, threads,
        [&](std::size_t i) {
            const Forecast own = rows.of(coaches[i].id);
            each[i].drafts = work_drafts(coaches[i], own, frame, each[i].unplaced);
            each[i].facts.push_back(facts_of(coaches[i], own, frame));
        },
        [&](std::size_t count) { done(static_cast<double>(count) / static_cast<double>(std::max<std::size_t>(n, 1))); });
    return each;
}

ForecastOptions forecast_options(const CalendarOptions& options) {
    ForecastOptions ask;
    ask.weather = options.weather;
    ask.catalogue = options.catalogue;
    ask.warranty_days = options.warranty_days;
    ask.session = options.session;
    ask.seed = options.seed;
    ask.threads = options.threads;
    ask.watch = options.watch;
    return ask;
}

/// Adds a coach to a part, with its findings and work.
void add_coach(const Coach& coach, const YearFrame& frame, Fleet& part, ForecastOptions& ask) {
    part.coaches.push_back(coach);
    if (const auto own = frame.findings.find(coach.id); own != frame.findings.end())
        ask.findings.insert(ask.findings.end(), own->second.begin(), own->second.end());
    if (const auto own = frame.work_done.find(coach.id); own != frame.work_done.end())
        ask.work_done.insert(ask.work_done.end(), own->second.begin(), own->second.end());
}

/// Forecast and drafts of a part.
std::vector<Making> made(Fleet part, const YearFrame& frame, const ForecastOptions& ask, int threads, const std::function<void(double)>& done) {
    const double years = std::min(50.0, std::max(1.0, years_between(frame.as_of, frame.last) + 1));
    const Forecast expected = forecast_of(std::move(part), frame.as_of, years, ask, Columns::dates);
    return drafts_of(expected.basis->standing.coaches, expected, frame, threads, done);
}

/// Ids tell coaches apart, also those that are forecast at different times.
void check_ids(const Fleet& fleet) {
    std::set<std::string> ids;
    for (const Coach& coach : fleet.coaches)
        if (!ids.insert(coach.id).second) throw_value_error("fleet", "ids of their own", "\"" + coach.id + "\" twice");
}

/// Some coaches of a fleet in parts to be forecast side by side. Those of one place stand together, so that two parts seldom
/// need the weather of the same one.
std::vector<std::vector<std::size_t>> parts_by_place(const Fleet& fleet, std::vector<std::size_t> coaches) {
    constexpr std::size_t least = 16;  // below, what a part costs by itself shows
    const auto place = [&](std::size_t i) {
        const Itinerary& stays = fleet.coaches[i].stays;
        return stays.empty() ? std::pair<std::string_view, std::string_view>() : std::pair<std::string_view, std::string_view>(stays.front().station, stays.front().place);
    };
    std::stable_sort(coaches.begin(), coaches.end(), [&](std::size_t a, std::size_t b) { return place(a) < place(b); });
    std::vector<std::vector<std::size_t>> parts;
    for (const std::size_t i : coaches) {
        const bool full = parts.empty() || parts.back().size() == coaches_at_a_time ||
                          (parts.back().size() >= least && place(parts.back().back()) != place(i));
        if (full) parts.emplace_back();
        parts.back().push_back(i);
    }
    return parts;
}

/// Calls work(part's number, its coaches, options with their findings and work) for each part, side by side, and tells how far it is.
template <class Work>
void for_parts(const Fleet& fleet, const YearFrame& frame, const ForecastOptions& options, const std::vector<std::vector<std::size_t>>& parts,
               const char* stage, const Work& work) {
    ProgressReporter reporter(frame.options.watch, stage);
    parallel_for(
        parts.size(), frame.options.threads,
        [&](std::size_t p) {
            Fleet part;
            ForecastOptions ask = options;
            for (const std::size_t i : parts[p]) add_coach(fleet.coaches[i], frame, part, ask);
            work(p, std::move(part), ask);
        },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(parts.size())); });
}

/// What a fleet teaches, from the coaches that were looked at alone, in parts side by side. The evidence is combined in the
/// order of the fleet.
std::shared_ptr<const SharedEffects> learnt(const Fleet& fleet, const YearFrame& frame, const ForecastOptions& options) {
    std::vector<std::size_t> looked_at;
    for (std::size_t i = 0; i < fleet.coaches.size(); ++i)
        if (frame.findings.count(fleet.coaches[i].id)) looked_at.push_back(i);
    const auto parts = parts_by_place(fleet, std::move(looked_at));
    std::vector<Evidence> evidence(parts.size());
    for_parts(fleet, frame, options, parts, "findings",
              [&](std::size_t p, Fleet seen, const ForecastOptions& ask) { evidence[p] = collect_evidence(seen, frame.as_of, ask); });
    std::map<std::string_view, std::vector<const JointEvidence*>> by_coach;
    for (const Evidence& part : evidence)
        for (const JointEvidence& joint : part.joints()) by_coach[joint.key.coach].push_back(&joint);
    std::vector<JointEvidence> all;
    for (const Coach& coach : fleet.coaches)
        if (const auto own = by_coach.find(coach.id); own != by_coach.end())
            for (const JointEvidence* joint : own->second) all.push_back(*joint);
    return std::make_shared<const SharedEffects>(combine_evidence({Evidence(std::move(all))}, options.catalogue));
}

/// Whole parts run side by side: nothing of a large fleet waits for one thread.
Making work_by_parts(const Fleet& fleet, const YearFrame& frame, ForecastOptions ask) {
    check_ids(fleet);
    if (!ask.session) ask.session = std::make_shared<Session>(ask.catalogue);
    ask.threads = 1;
    ask.watch.progress = nullptr;
    ask.shared = learnt(fleet, frame, ask);
    std::vector<std::size_t> everyone(fleet.coaches.size());
    std::iota(everyone.begin(), everyone.end(), std::size_t{0});
    const auto parts = parts_by_place(fleet, std::move(everyone));
    std::vector<Making> each(fleet.coaches.size());
    for_parts(fleet, frame, ask, parts, "work of the year", [&](std::size_t p, Fleet part, const ForecastOptions& own) {
        std::vector<Making> made_here = made(std::move(part), frame, own, 1, [](double) {});
        for (std::size_t k = 0; k < parts[p].size(); ++k) each[parts[p][k]] = std::move(made_here[k]);
    });
    return joined(each);
}

}  // namespace

Making work_of_fleet(const Fleet& fleet, const YearFrame& frame) {
    ForecastOptions ask = forecast_options(frame.options);
    if (fleet.coaches.size() > coaches_at_a_time) return work_by_parts(fleet, frame, std::move(ask));
    ask.findings = frame.options.findings;
    ask.work_done = frame.options.work_done;
    ProgressReporter reporter(frame.options.watch, "work of the year");
    std::vector<Making> each = made(fleet, frame, ask, ask.threads, [&](double share) { reporter.tick(share); });
    return joined(each);
}

Making work_of_fleet(const Fleet& fleet, const YearFrame& frame, const Forecast& forecast) {
    ProgressReporter reporter(frame.options.watch, "work of the year");
    const auto tick = [&](double share) { reporter.tick(share); };
    const CalendarOptions& options = frame.options;
    std::vector<Making> each = options.work_done.empty()
                                   ? drafts_of(fleet.coaches, forecast, frame, options.threads, tick)
                                   : drafts_of(with_work_done(fleet, options.work_done, forecast.as_of).coaches, forecast, frame, options.threads, tick);
    return joined(each);
}

}  // namespace libseal::detail
