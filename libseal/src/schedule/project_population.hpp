#pragma once
// One population of schedules that breeds by itself, from its own random stream.

#include <cstdint>
#include <memory>
#include <vector>

#include "core/xoshiro.hpp"
#include "schedule/project_search.hpp"

namespace libseal::detail {

/// Fast draws for inner loops, seeded from the library's random streams.
class Draws {
public:
    Draws(std::uint64_t seed, std::uint64_t task);
    std::uint64_t next() { return next_bits(s_); }
    /// In [0, n), n > 0; its bias of n / 2^32 does not matter to a search.
    int below(int n) { return static_cast<int>(((next() >> 32) * static_cast<std::uint64_t>(n)) >> 32); }
    double uniform() { return static_cast<double>(next() >> 11) * 0x1p-53; }
    bool chance(double p) { return uniform() < p; }

private:
    std::uint64_t s_[4];
};

/// A schedule seen in both times; the way it was built.
struct Member {
    Draft draft[2];
    Way built = Way::forward;
    std::uint64_t mark = 0;  ///< made of the start times: tells schedules apart
    int makespan() const { return draft[0].makespan; }
    const Draft& in(Way way) const { return draft[static_cast<int>(way)]; }
    Draft& in(Way way) { return draft[static_cast<int>(way)]; }
};

class Population {
public:
    /// @param model  of which the network, the tails and the needs guide the search; what counts is what the
    /// decoder builds.
    Population(const ProjectModel& model, std::unique_ptr<Decoder> decoder, const SearchSettings& settings,
               int bound, int work_limit, std::uint64_t seed, std::uint64_t stream);

    /// Goes on until `schedules` in all, the bound, or a request to stop.
    void advance(int schedules, const StopToken& stop);

    void raise_bound(int bound) { bound_ = bound; }

    int schedules() const { return decoder_->schedules(); }
    bool at_bound() const { return best_.makespan <= bound_; }
    const Draft& best() const { return best_; }  ///< in forward time
    const Member& best_member() const;
    void take_in(const Member& guest);  ///< in the place of the longest member

private:
    bool over() const { return decoder_->schedules() >= until_ || at_bound(); }
    void add_first_member();
    void select_first_members();
    void start_schedule(int number, Draft& draft);
    void justify(Draft& forward);
    void decode(Draft& draft, Way way, bool parallel);
    void complete(Member& member, Way way);
    int rival();
    bool holds(std::uint64_t mark) const;
    Way improve(Way way);
    double longest_taken(int makespan);
    void breed(int number);
    void cross(const Draft& middle, const Draft& around, Draft& child);
    void redraw(const Draft& parent, Way way, Draft& child);
    void order_by_keys(Way way, Draft& draft);
    void exchange_neighbours(Draft& child, Way way);
    struct Window {
        double from, to;
    };
    Window window(const Draft& draft, double low, double high);
    Window peak(const Draft& draft, double length);

    const ProjectModel& model_;
    SearchSettings settings_;
    int bound_;
    int work_limit_;
    int until_ = 0;
    Draws draws_;
    std::unique_ptr<Decoder> decoder_;
    std::vector<Member> members_;
    int next_ = 0;        ///< member whose turn it is
    int first_left_;      ///< first members still to be made
    int first_part_ = 0;  ///< schedules spent on the first members
    Member child_;
    Draft best_;
    std::vector<double> load_;  ///< by task: demands as shares of the capacities, added up
    std::vector<double> sums_;
    std::vector<double> keys_;
    std::vector<int> space_, open_, heap_;
};

}  // namespace libseal::detail
