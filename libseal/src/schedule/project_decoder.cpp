#include "schedule/project_decoder.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <limits>
#include <numeric>

#include "kernel/slot_profile.hpp"

namespace libseal::detail {
namespace {

using kernel::Slot;

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Where each resource has its field: word and first bit.
struct Field {
    int word;
    int bit;
};

std::vector<Field> fields_of(const std::vector<int>& capacity) {
    std::vector<Field> fields;
    int word = 0;
    int bit = 0;
    for (const int c : capacity) {
        const int width = std::bit_width(static_cast<unsigned>(c)) + 1;
        if (bit + width > 64) {
            ++word;
            bit = 0;
        }
        fields.push_back({word, bit});
        bit += width;
    }
    return fields;
}

int words_of(const std::vector<Field>& fields) { return fields.empty() ? 1 : fields.back().word + 1; }

/// What is the same for every pass.
template <int W>
struct Packed {
    explicit Packed(const ProjectModel& model) : need(at(model.tasks)) {
        const auto fields = fields_of(model.capacity);
        if constexpr (W == 0) {
            full.resize(at(words_of(fields)));
            guard.resize(full.size());
            for (auto& slot : need) slot.resize(full.size());
        }
        for (std::size_t k = 0; k < fields.size(); ++k) {
            const auto [word, bit] = fields[k];
            const int width = std::bit_width(static_cast<unsigned>(model.capacity[k]));
            guard[at(word)] |= std::uint64_t{1} << (bit + width);
            full[at(word)] |= static_cast<std::uint64_t>(model.capacity[k]) << bit;
            for (std::size_t i = 0; i < need.size(); ++i)
                need[i][at(word)] |= static_cast<std::uint64_t>(model.need[k][i]) << bit;
        }
        for (std::size_t w = 0; w < full.size(); ++w) full[w] |= guard[w];
        for (std::size_t i = 0; i < need.size(); ++i)
            holds.push_back(
                model.duration[i] > 0 &&
                std::any_of(need[i].begin(), need[i].end(), [](std::uint64_t word) { return word != 0; }));
    }
    Slot<W> full{}, guard{};
    std::vector<Slot<W>> need;
    std::vector<char> holds;  ///< takes part in the profile
};

template <int W, template <int> class Profile>
class PackedDecoder final : public Decoder {
public:
    explicit PackedDecoder(const ProjectModel& model)
        : model_(model),
          packed_(model),
          profile_(packed_.full, packed_.guard, model.horizon),
          open_(at(model.tasks)),
          rank_(at(model.tasks)),
          ready_((at(model.tasks) + 63) / 64) {}

private:
    void build_serial(Draft& draft, Way way) override {
        const Arcs& before = way == Way::forward ? model_.before : model_.after;
        const int* duration = model_.duration.data();
        int* end = draft.end.data();
        int* start = draft.start.data();
        int makespan = 0;
        for (const int task : draft.list) {
            int earliest = 0;
            for (const int* p = before.first(task); p != before.last(task); ++p)
                earliest = std::max(earliest, end[*p]);
            if (packed_.holds[at(task)])
                earliest = profile_.place(earliest, duration[task], packed_.need[at(task)]);
            start[task] = earliest;
            end[task] = earliest + duration[task];
            makespan = std::max(makespan, end[task]);
        }
        profile_.clear(makespan);
        draft.makespan = makespan;
    }

    void build_parallel(Draft& draft, Way way) override {
        const Arcs& before = way == Way::forward ? model_.before : model_.after;
        order_ = draft.list;
        for (int q = 0; q < model_.tasks; ++q) rank_[at(order_[at(q)])] = q;
        running_.clear();
        for (int i = 0; i < model_.tasks; ++i) {
            open_[at(i)] = static_cast<int>(before.last(i) - before.first(i));
            if (open_[at(i)] == 0) make_ready(i);
        }
        draft.list.clear();
        draft.makespan = 0;
        Slot<W> free = packed_.full;
        int now = 0;
        while (true) {
            start_what_fits(draft, way, now, free);
            if (running_.empty()) break;
            now = std::numeric_limits<int>::max();
            for (const int task : running_) now = std::min(now, draft.end[at(task)]);
            end_what_is_done(draft, way, now, free);
        }
        draft.makespan = now;
    }

    void make_ready(int task) {
        ready_[at(rank_[at(task)]) / 64] |= std::uint64_t{1} << (rank_[at(task)] % 64);
    }

    void release(int task, Way way) {
        const Arcs& after = way == Way::forward ? model_.after : model_.before;
        for (const int* s = after.first(task); s != after.last(task); ++s)
            if (--open_[at(*s)] == 0) make_ready(*s);
    }

    /// Tasks without duration end at once and may make others ready: then once more from the beginning.
    void start_what_fits(Draft& draft, Way way, int now, Slot<W>& free) {
        bool again = true;
        while (again) {
            again = false;
            for (std::size_t word = 0; word < ready_.size(); ++word)
                for (std::uint64_t bits = ready_[word]; bits != 0; bits &= bits - 1) {
                    const std::uint64_t bit = bits & (~bits + 1);
                    const int task = order_[word * 64 + at(std::countr_zero(bits))];
                    if (packed_.holds[at(task)] &&
                        !kernel::fits<W>(free, packed_.need[at(task)], packed_.guard))
                        continue;
                    ready_[word] &= ~bit;
                    draft.start[at(task)] = now;
                    draft.end[at(task)] = now + model_.duration[at(task)];
                    draft.list.push_back(task);
                    if (model_.duration[at(task)] == 0) {
                        release(task, way);
                        again = true;
                        continue;
                    }
                    kernel::take<W>(free, packed_.need[at(task)]);
                    running_.push_back(task);
                }
        }
    }

    void end_what_is_done(const Draft& draft, Way way, int now, Slot<W>& free) {
        std::size_t kept = 0;
        for (const int task : running_) {
            if (draft.end[at(task)] > now) {
                running_[kept++] = task;
                continue;
            }
            kernel::give_back<W>(free, packed_.need[at(task)]);
            release(task, way);
        }
        running_.resize(kept);
    }

    const ProjectModel& model_;
    Packed<W> packed_;
    Profile<W> profile_;
    std::vector<int> open_, rank_, running_, order_;
    std::vector<std::uint64_t> ready_;  ///< bit q: the task of rank q may start
};

/// Dense slots pay while tasks are short; the longest array is a few megabytes.
bool dense_is_better(const ProjectModel& model) {
    return model.horizon < (1 << 16) && model.horizon / std::max(1, model.tasks) < 40;
}

template <int W>
std::unique_ptr<Decoder> decoder_of_width(const ProjectModel& model) {
    if (dense_is_better(model)) return std::make_unique<PackedDecoder<W, kernel::DenseProfile>>(model);
    return std::make_unique<PackedDecoder<W, kernel::EventProfile>>(model);
}

/// Stable counting sort of list by key(task), keys in [0, most].
template <class Key>
void counting_sort(const std::vector<int>& list, std::vector<int>& sorted, int most, bool reverse,
                   std::vector<int>& count, Key key) {
    count.assign(at(most) + 2, 0);
    for (const int task : list) ++count[at(key(task)) + 1];
    for (std::size_t t = 1; t < count.size(); ++t) count[t] += count[t - 1];
    sorted.resize(list.size());
    if (reverse)
        for (auto task = list.rbegin(); task != list.rend(); ++task)
            sorted[at(count[at(key(*task))]++)] = *task;
    else
        for (const int task : list) sorted[at(count[at(key(task))]++)] = task;
}

/// The same for long spans of time.
template <class Key>
void comparison_sort(const std::vector<int>& list, std::vector<int>& sorted, bool reverse, Key key) {
    sorted = list;
    if (reverse) std::reverse(sorted.begin(), sorted.end());
    std::stable_sort(sorted.begin(), sorted.end(), [&](int a, int b) { return key(a) < key(b); });
}

bool short_span(int makespan, std::size_t tasks) { return at(makespan) < 16 * tasks + 64; }

}  // namespace

std::unique_ptr<Decoder> make_decoder(const ProjectModel& model) {
    const int words = words_of(fields_of(model.capacity));
    if (words == 1) return decoder_of_width<1>(model);
    if (words == 2) return decoder_of_width<2>(model);
    if (words <= 4) return decoder_of_width<4>(model);
    return std::make_unique<PackedDecoder<0, kernel::EventProfile>>(model);
}

void mirror(const Draft& from, Draft& to, std::vector<int>& space) {
    const int makespan = from.makespan;
    to.makespan = makespan;
    to.start.resize(from.start.size());
    to.end.resize(from.start.size());
    for (std::size_t i = 0; i < from.start.size(); ++i) {
        to.start[i] = makespan - from.end[i];
        to.end[i] = makespan - from.start[i];
    }
    const auto key = [&](int task) { return to.start[at(task)]; };
    if (short_span(makespan, from.list.size()))
        counting_sort(from.list, to.list, makespan, true, space, key);
    else
        comparison_sort(from.list, to.list, true, key);
}

void sort_by_start(Draft& draft, std::vector<int>& space) {
    const auto key = [&](int task) { return draft.start[at(task)]; };
    std::vector<int> sorted;
    if (short_span(draft.makespan, draft.list.size()))
        counting_sort(draft.list, sorted, draft.makespan, false, space, key);
    else
        comparison_sort(draft.list, sorted, false, key);
    draft.list.swap(sorted);
}

}  // namespace libseal::detail
