#include "schedule/project_population.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "libseal/core/random.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::vector<double> loads_of(const ProjectModel& model) {
    std::vector<double> load(at(model.tasks), 0.0);
    for (std::size_t k = 0; k < model.need.size(); ++k)
        for (std::size_t i = 0; i < load.size(); ++i)
            load[i] += static_cast<double>(model.need[k][i]) / model.capacity[k];
    return load;
}

std::uint64_t mark_of(const std::vector<int>& start) {
    std::uint64_t mark = 0;
    for (const int t : start)
        mark = (mark ^ static_cast<std::uint64_t>(t)) * 0x9E3779B97F4A7C15u + (mark >> 29);
    return mark;
}

}  // namespace

Draws::Draws(std::uint64_t seed, std::uint64_t task) {
    RandomStream stream(seed, task);
    for (auto& word : s_) word = stream.next();
}

Population::Population(const ProjectModel& model, std::unique_ptr<Decoder> decoder,
                       const SearchSettings& settings, int bound, int work_limit, std::uint64_t seed,
                       std::uint64_t stream)
    : model_(model),
      settings_(settings),
      bound_(bound),
      work_limit_(work_limit),
      draws_(seed, stream),
      decoder_(std::move(decoder)),
      first_left_(std::max(1, static_cast<int>(settings.population * settings.start_factor))),
      load_(loads_of(model)),
      keys_(at(model.tasks)),
      open_(at(model.tasks)) {
    best_.makespan = std::numeric_limits<int>::max();
    for (auto& draft : child_.draft) draft = Draft(at(model.tasks));
}

void Population::advance(int schedules, const StopToken& stop) {
    until_ = schedules;
    // The very first member is made whatever the token says: a caller who stops early still gets a schedule.
    while (first_left_ > 0 && (members_.empty() || (!over() && !stop.stop_requested()))) add_first_member();
    while (!over() && !stop.stop_requested()) {
        breed(next_);
        next_ = (next_ + 1) % static_cast<int>(members_.size());
    }
}

const Member& Population::best_member() const {
    return *std::min_element(members_.begin(), members_.end(),
                             [](const Member& a, const Member& b) { return a.makespan() < b.makespan(); });
}

void Population::take_in(const Member& guest) {
    auto longest = std::max_element(members_.begin(), members_.end(), [](const Member& a, const Member& b) {
        return a.makespan() < b.makespan();
    });
    if (guest.makespan() <= longest->makespan() && !holds(guest.mark)) *longest = guest;
}

void Population::decode(Draft& draft, Way way, bool parallel) {
    if (parallel)
        decoder_->parallel(draft, way);
    else
        decoder_->serial(draft, way);
    if (draft.makespan >= best_.makespan || (way == Way::backward && !decoder_->reversible())) return;
    if (way == Way::forward)
        best_ = draft;
    else
        mirror(draft, best_, space_);
}

/// The schedule of `member.in(way)` seen in both times, both lists by start.
void Population::complete(Member& member, Way way) {
    member.built = way;
    mirror(member.in(way), member.in(opposite(way)), space_);
    if (!std::is_sorted(member.in(way).list.begin(), member.in(way).list.end(), [&](int a, int b) {
            return member.in(way).start[at(a)] < member.in(way).start[at(b)];
        }))
        sort_by_start(member.in(way), space_);
    member.mark = mark_of(member.in(Way::forward).start);
}

/// Least remaining way first (latest finish), blurred by noise; the first of all without noise.
void Population::start_schedule(int number, Draft& draft) {
    const double noise = number < 2 ? 0.0 : settings_.start_noise * model_.path;
    for (int i = 0; i < model_.tasks; ++i) keys_[at(i)] = -(model_.tail[at(i)] + noise * draws_.uniform());
    std::iota(draft.list.begin(), draft.list.end(), 0);
    std::stable_sort(draft.list.begin(), draft.list.end(),
                     [&](int a, int b) { return keys_[at(a)] < keys_[at(b)]; });
    // Tails fall along arcs, noisy ones need not: the serial scheme keeps to the plain order of arcs then.
    const bool parallel = number == 0 || (number > 1 && draws_.chance(0.9));
    if (!parallel) order_by_keys(Way::forward, draft);
    decode(draft, Way::forward, parallel);
}

/// Backward, then forward again.
void Population::justify(Draft& forward) {
    Draft& backward = child_.in(Way::backward);
    mirror(forward, backward, space_);
    decode(backward, Way::backward, false);
    if (over()) return;
    mirror(backward, forward, space_);
    decode(forward, Way::forward, false);
}

void Population::add_first_member() {
    Member member;
    for (auto& draft : member.draft) draft = Draft(at(model_.tasks));
    start_schedule(static_cast<int>(members_.size()), member.in(Way::forward));
    if (!over()) justify(member.in(Way::forward));
    complete(member, Way::forward);
    members_.push_back(std::move(member));
    if (--first_left_ == 0) select_first_members();
}

void Population::select_first_members() {
    std::stable_sort(members_.begin(), members_.end(),
                     [](const Member& a, const Member& b) { return a.makespan() < b.makespan(); });
    if (members_.size() > at(settings_.population)) members_.resize(at(settings_.population));
    first_part_ = decoder_->schedules();
}

/// The shorter of two members drawn at random.
int Population::rival() {
    const int count = static_cast<int>(members_.size());
    const int a = draws_.below(count);
    const int b = draws_.below(count);
    return members_[at(b)].makespan() < members_[at(a)].makespan() ? b : a;
}

bool Population::holds(std::uint64_t mark) const {
    return std::any_of(members_.begin(), members_.end(), [&](const Member& m) { return m.mark == mark; });
}

/// One child of a member; it takes the member's place if it is not longer, or a little longer while there is
/// heat, and if no other member is the same schedule.
void Population::breed(int number) {
    Member& member = members_[at(number)];
    const bool turn = decoder_->reversible() && draws_.chance(settings_.turn_share);
    Way way = turn ? opposite(member.built) : member.built;
    Draft& child = child_.in(way);
    const int other = rival();
    if (other == number || draws_.chance(settings_.redraw_share)) {
        redraw(member.in(way), way, child);
    } else {
        const bool outer = draws_.chance(settings_.outer_share);
        const Draft& around = members_[at(outer ? number : other)].in(way);
        const Draft& middle = members_[at(outer ? other : number)].in(way);
        cross(middle, around, child);
        exchange_neighbours(child, way);
    }
    child.makespan = member.makespan();
    decode(child, way, draws_.chance(settings_.parallel_share));
    if (!over() && child.makespan <= settings_.second_pass * member.makespan()) way = improve(way);
    if (child_.in(way).makespan > longest_taken(member.makespan())) return;
    complete(child_, way);
    if (!holds(child_.mark)) std::swap(member, child_);
}

/// The child decoded once more in the other direction, or both. Says in which way its schedule is now.
Way Population::improve(Way way) {
    if (!decoder_->reversible()) {
        justify(child_.in(Way::forward));
        return Way::forward;
    }
    mirror(child_.in(way), child_.in(opposite(way)), space_);
    decode(child_.in(opposite(way)), opposite(way), false);
    return opposite(way);
}

/// The heat falls linearly over the work that is left after the first members.
double Population::longest_taken(int makespan) {
    const double done =
        static_cast<double>(decoder_->schedules() - first_part_) / std::max(1, work_limit_ - first_part_);
    const double heat =
        settings_.first_heat + (settings_.last_heat - settings_.first_heat) * std::min(1.0, done);
    return makespan * (1 - heat * std::log(1 - draws_.uniform()));
}

/// What starts in the window keeps the order of `middle`, what starts before or after it the order of
/// `around`.
void Population::cross(const Draft& middle, const Draft& around, Draft& child) {
    const Window w = window(middle, settings_.window_low, settings_.window_high);
    const int* start = middle.start.data();
    child.list.clear();
    for (const int task : around.list)
        if (start[task] < w.from) child.list.push_back(task);
    for (const int task : middle.list)
        if (start[task] >= w.from && start[task] < w.to) child.list.push_back(task);
    for (const int task : around.list)
        if (start[task] >= w.to) child.list.push_back(task);
}

/// Tasks that touch a window get new places in it at random.
void Population::redraw(const Draft& parent, Way way, Draft& child) {
    const double length =
        parent.makespan *
        (settings_.redraw_low + (settings_.redraw_high - settings_.redraw_low) * draws_.uniform());
    const double from = draws_.uniform() * (parent.makespan - length);
    for (const int task : parent.list) {
        const int start = parent.start[at(task)];
        const bool touches = parent.end[at(task)] > from && start < from + length;
        keys_[at(task)] = touches ? from + length * draws_.uniform() : start;
    }
    order_by_keys(way, child);
}

/// Smallest key first among the tasks whose predecessors are in the list.
void Population::order_by_keys(Way way, Draft& draft) {
    const Arcs& before = way == Way::forward ? model_.before : model_.after;
    const Arcs& after = way == Way::forward ? model_.after : model_.before;
    const auto later = [&](int a, int b) {
        return keys_[at(a)] != keys_[at(b)] ? keys_[at(a)] > keys_[at(b)] : a > b;
    };
    heap_.clear();
    for (int i = 0; i < model_.tasks; ++i) {
        open_[at(i)] = static_cast<int>(before.last(i) - before.first(i));
        if (open_[at(i)] == 0) heap_.push_back(i);
    }
    std::make_heap(heap_.begin(), heap_.end(), later);
    draft.list.clear();
    while (!heap_.empty()) {
        std::pop_heap(heap_.begin(), heap_.end(), later);
        const int task = heap_.back();
        heap_.pop_back();
        draft.list.push_back(task);
        for (const int* s = after.first(task); s != after.last(task); ++s)
            if (--open_[at(*s)] == 0) {
                heap_.push_back(*s);
                std::push_heap(heap_.begin(), heap_.end(), later);
            }
    }
}

void Population::exchange_neighbours(Draft& child, Way way) {
    const Arcs& after = way == Way::forward ? model_.after : model_.before;
    for (std::size_t q = 0; q + 1 < child.list.size(); ++q) {
        if (!draws_.chance(settings_.swap_chance)) continue;
        const int first = child.list[q];
        if (std::find(after.first(first), after.last(first), child.list[q + 1]) == after.last(first))
            std::swap(child.list[q], child.list[q + 1]);
    }
}

Population::Window Population::window(const Draft& draft, double low, double high) {
    const double length = draft.makespan * (low + (high - low) * draws_.uniform());
    if (draws_.chance(settings_.peak_share)) return peak(draft, length);
    const double from = draws_.uniform() * (draft.makespan - length);
    return {from, from + length};
}

/// The busiest of a few places. Long makespans are looked at in coarse steps.
Population::Window Population::peak(const Draft& draft, double length) {
    constexpr int most_steps = 1024;
    const int step = draft.makespan / most_steps + 1;
    const int steps = draft.makespan / step + 1;
    sums_.assign(at(steps) + 2, 0.0);
    for (int i = 0; i < model_.tasks; ++i) {
        sums_[at(draft.start[at(i)] / step) + 1] += load_[at(i)];
        sums_[at(draft.end[at(i)] / step) + 1] -= load_[at(i)];
    }
    // Sums of sums: load at a time, then load up to a time.
    for (int times = 0; times < 2; ++times)
        for (std::size_t t = 1; t < sums_.size(); ++t) sums_[t] += sums_[t - 1];
    const int width = std::clamp(static_cast<int>(length) / step, 1, steps);
    int best = 0;
    double most = -1;
    for (int k = 0; k < settings_.peak_tries; ++k) {
        const int from = draws_.below(std::max(1, draft.makespan / step - width + 1));
        const double load = sums_[at(from + width)] - sums_[at(from)];
        if (load > most) {
            most = load;
            best = from;
        }
    }
    return {static_cast<double>(best) * step, static_cast<double>(best + width) * step};
}

}  // namespace libseal::detail
