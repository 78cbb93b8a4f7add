// The parts of the project solver: decoders, bounds, exact search, and the search with a decoder of another
// kind.

#include <map>
#include <numeric>

#include "schedule/project_bounds.hpp"
#include "schedule/project_exact.hpp"
#include "schedule/project_search.hpp"
#include "schedule/projects.hpp"
#include "support/catch.hpp"

using namespace libseal;
using namespace libseal_test;
using libseal::detail::Draft;
using libseal::detail::Way;

namespace {

constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

detail::ProjectModel model_of(const Project& p) {
    return detail::project_model(p.durations, p.successors, p.demands, p.capacities);
}

/// A random order in which every task comes after what must come before it.
std::vector<int> random_list(const detail::ProjectModel& model, Way way, RandomStream& random) {
    const auto& before = way == Way::forward ? model.before : model.after;
    std::vector<int> list;
    std::vector<char> taken(at(model.tasks), 0);
    while (list.size() < at(model.tasks)) {
        const int task = static_cast<int>(random.below(at(model.tasks)));
        const bool ready =
            std::all_of(before.first(task), before.last(task), [&](int p) { return taken[at(p)]; });
        if (taken[at(task)] || !ready) continue;
        taken[at(task)] = 1;
        list.push_back(task);
    }
    return list;
}

/// Serial scheme with a count of every resource in every unit of time. `open(time)` may forbid work in a
/// unit.
struct PlainSerial {
    const detail::ProjectModel& model;
    std::function<bool(int)> open = [](int) { return true; };

    void build(Draft& draft, Way way) const {
        const auto& before = way == Way::forward ? model.before : model.after;
        std::map<int, std::vector<int>> used;
        const int base = draft.makespan;
        draft.makespan = 0;
        for (const int task : draft.list) {
            int start = 0;
            for (const int* p = before.first(task); p != before.last(task); ++p)
                start = std::max(start, draft.end[at(*p)]);
            const int d = model.duration[at(task)];
            const auto blocked = [&](int t) {
                if (!open(way == Way::forward ? t : base - 1 - t)) return true;
                const auto units = used.find(t);
                for (std::size_t k = 0; k < model.need.size(); ++k)
                    if ((units == used.end() ? 0 : units->second[k]) + model.need[k][at(task)] >
                        model.capacity[k])
                        return true;
                return false;
            };
            for (int t = start; t < start + d; ++t)
                if (blocked(t)) start = t + 1;
            for (int t = start; t < start + d; ++t) {
                auto& units = used.try_emplace(t, model.need.size(), 0).first->second;
                for (std::size_t k = 0; k < units.size(); ++k) units[k] += model.need[k][at(task)];
            }
            draft.start[at(task)] = start;
            draft.end[at(task)] = start + d;
            draft.makespan = std::max(draft.makespan, start + d);
        }
    }
};

/// A shop that is closed two of seven units of time; no task runs over a closed one.
class WeekDecoder final : public detail::Decoder {
public:
    explicit WeekDecoder(const detail::ProjectModel& model) : plain_{model, is_open} {}
    static bool is_open(int time) { return ((time % 7) + 7) % 7 < 5; }
    bool reversible() const override { return false; }

private:
    void build_serial(Draft& draft, Way way) override { plain_.build(draft, way); }
    void build_parallel(Draft& draft, Way way) override {
        std::sort(draft.list.begin(), draft.list.end());  // topological; this decoder has no parallel scheme
        plain_.build(draft, way);
    }
    PlainSerial plain_;
};

/// One task of one unit that is in nobody's way and keeps the unit of time from growing.
Project in_minutes(Project p, int factor) {
    for (int& d : p.durations) d *= factor;
    p.durations.push_back(1);
    p.successors.emplace_back();
    p.demands.emplace_back(p.capacities.size(), 0);
    return p;
}

/// A pass of a random list, checked against slow and plain code.
template <class Model, class Decoder>
Draft same_as_plain(const Model& model, Decoder& decoder, Way way, RandomStream& random) {
    Draft fast(at(model.tasks));
    fast.list = random_list(model, way, random);
    Draft plain = fast;
    decoder.serial(fast, way);
    PlainSerial{model}.build(plain, way);
    CHECK(fast.start == plain.start);
    CHECK(fast.end == plain.end);
    CHECK(fast.makespan == plain.makespan);
    return fast;
}

}  // namespace

TEST_CASE("packed profiles place tasks where a plain count does", "[schedule][reference]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const int resources = seed % 4 == 3 ? 70 : 1 + static_cast<int>(seed % 4) * 6;
        Project p = random_project(seed, 20, resources, 6, 0.1);
        if (seed % 2) p = in_minutes(p, 60);  // breakpoints in the place of slots
        if (seed % 5 == 0)
            for (std::size_t k = 0; k < p.capacities.size(); ++k) {
                p.capacities[k] = p.capacities[k] * 1000003 + 1;  // wide fields
                for (auto& need : p.demands) need[k] *= 1000003;
            }
        const auto model = model_of(p);
        const auto decoder = detail::make_decoder(model);
        RandomStream random(seed, 9);
        for (int pass = 0; pass < 6; ++pass) {
            const Way way = pass % 2 ? Way::backward : Way::forward;
            INFO("seed " << seed << ", pass " << pass);
            same_as_plain(model, *decoder, way, random);
        }
        CHECK(decoder->schedules() == 6);
    }
}

TEST_CASE("resources that fill their words to the last bit are packed as others are", "[schedule][reference]") {
    // Seven units take three bits and the guard a fourth: sixteen resources fill a word.
    for (const int resources : {15, 16, 17, 32, 33, 64, 65})
        for (const bool slots : {true, false}) {
            Project p = random_project(static_cast<std::uint64_t>(resources), 20, resources, 6, 0.1);
            std::fill(p.capacities.begin(), p.capacities.end(), 7);
            if (!slots) p = in_minutes(p, 60);
            const auto model = model_of(p);
            const auto decoder = detail::make_decoder(model);
            RandomStream random(static_cast<std::uint64_t>(resources), 10);
            for (int pass = 0; pass < 6; ++pass) {
                const Way way = pass % 2 ? Way::backward : Way::forward;
                INFO(resources << " resources, " << (slots ? "slots" : "breakpoints") << ", pass " << pass);
                const Draft fast = same_as_plain(model, *decoder, way, random);
                // The resources do limit: not everything runs at once.
                CHECK(fast.makespan > *std::max_element(model.duration.begin(), model.duration.end()));
            }
        }
}

TEST_CASE("the parallel scheme leaves nothing waiting that could run", "[schedule][law]") {
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        const Project p = random_project(seed, 25, 3, 6, 0.1);
        const auto model = model_of(p);
        const auto decoder = detail::make_decoder(model);
        Draft draft(at(model.tasks));
        std::iota(draft.list.begin(), draft.list.end(), 0);
        decoder->parallel(draft, Way::forward);
        std::vector<int> start(at(model.tasks));
        for (int i = 0; i < model.tasks; ++i) start[at(model.id[at(i)])] = draft.start[at(i)] * model.unit;
        CHECK(fault_of(p, start, draft.makespan * model.unit) == "");
        // Moved to the moment before, a task breaks something: nobody could have started sooner and stayed.
        for (std::size_t i = 0; i < start.size(); ++i) {
            if (start[i] == 0 || p.durations[i] == 0) continue;
            auto sooner = start;
            sooner[i] -= model.unit;
            INFO("seed " << seed << ", task " << i);
            CHECK(fault_of(p, sooner, *std::max_element(draft.end.begin(), draft.end.end()) * model.unit) !=
                  "");
        }
    }
}

TEST_CASE("turned round and decoded again a schedule never gets longer", "[schedule][law]") {
    // Valls, Ballestin & Quintanilla 2005: justification.
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Project p = random_project(seed, 40, 3, 8, 0.06);
        const auto model = model_of(p);
        const auto decoder = detail::make_decoder(model);
        RandomStream random(seed, 2);
        Draft here(at(model.tasks)), there(at(model.tasks));
        here.list = random_list(model, Way::forward, random);
        decoder->serial(here, Way::forward);
        std::vector<int> space;
        Way way = Way::forward;
        for (int pass = 0; pass < 4; ++pass) {
            const int before = here.makespan;
            mirror(here, there, space);
            way = detail::opposite(way);
            decoder->serial(there, way);
            CHECK(there.makespan <= before);
            std::swap(here, there);
        }
    }
}

TEST_CASE("no bound is above the shortest schedule", "[schedule][reference]") {
    for (std::uint64_t seed = 0; seed < 150; ++seed) {
        const Project p =
            random_project(seed + 500, 3 + static_cast<int>(seed % 4), 1 + static_cast<int>(seed % 3), 4);
        const auto model = model_of(p);
        const int shortest = exhaustive_makespan(p) / model.unit;
        const int simple = detail::simple_bound(model);
        CHECK(simple <= shortest);
        for (const bool intervals : {false, true}) {
            const int bound = detail::destructive_bound(model, simple, model.horizon, intervals);
            CHECK(bound >= simple);
            CHECK(bound <= shortest);
        }
    }
}

TEST_CASE("the exact search agrees with trying all starts", "[schedule][reference]") {
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        const Project p =
            random_project(seed + 900, 3 + static_cast<int>(seed % 5), 1 + static_cast<int>(seed % 3), 4);
        const auto model = model_of(p);
        const int shortest = exhaustive_makespan(p) / model.unit;
        // From no knowledge at all: it has to find the schedule as well.
        const auto result = detail::search_exactly(model, model.horizon + 1, 0, 1000000, StopToken());
        INFO("seed " << seed);
        CHECK(result.complete);
        CHECK(result.makespan == shortest);
        std::vector<int> start(at(model.tasks));
        REQUIRE(result.start.size() == start.size());
        for (int i = 0; i < model.tasks; ++i) start[at(model.id[at(i)])] = result.start[at(i)] * model.unit;
        CHECK(fault_of(p, start, shortest * model.unit) == "");
        // With the optimum in hand it proves that there is nothing below.
        const auto proof = detail::search_exactly(model, shortest, 0, 1000000, StopToken());
        CHECK(proof.complete);
        CHECK(proof.start.empty());
    }
}

TEST_CASE("the exact search gives up when told so and says it", "[schedule]") {
    const auto model = model_of(random_project(5, 40, 4, 10, 0.05));
    const auto limited = detail::search_exactly(model, model.horizon + 1, 0, 5000, StopToken());
    CHECK_FALSE(limited.complete);
    CHECK(limited.places == 5000);
    StopToken stop;
    stop.stop();
    const auto stopped = detail::search_exactly(model, model.horizon + 1, 0, 1000000, stop);
    CHECK_FALSE(stopped.complete);
    CHECK(stopped.places < 2000);
    const auto large = model_of(random_project(5, 65, 1, 10, 0.05));
    CHECK_FALSE(detail::search_exactly(large, large.horizon + 1, 0, 1000, StopToken()).complete);
}

TEST_CASE("the search drives a decoder with closed days", "[schedule][reference]") {
    // Backward schedules are no schedules here: the search must judge by forward ones alone.
    int reached = 0;
    constexpr int projects = 40;
    for (std::uint64_t seed = 0; seed < projects; ++seed) {
        const Project p = random_project(seed + 40, 4 + static_cast<int>(seed % 2), 2, 4);
        const auto model = model_of(p);
        detail::SearchProblem problem{model, [&] { return std::make_unique<WeekDecoder>(model); }, model.path,
                                      nullptr};
        const auto found =
            detail::search_project(problem, 300, 0, 1, {}, detail::search_settings(model, 300));
        const auto allowed = [&](std::size_t i, int start) {
            for (int t = start; t < start + p.durations[i]; ++t)
                if (!WeekDecoder::is_open(t)) return false;
            return true;
        };
        if (model.unit != 1) continue;
        std::vector<int> start(at(model.tasks));
        for (int i = 0; i < model.tasks; ++i) start[at(model.id[at(i)])] = found.start[at(i)];
        INFO("seed " << seed);
        CHECK(fault_of(p, start, found.makespan) == "");
        for (std::size_t i = 0; i < start.size(); ++i) CHECK(allowed(i, start[i]));
        const int shortest = exhaustive_makespan(p, allowed, 30);
        CHECK(found.makespan >= shortest);
        reached += found.makespan == shortest;
        CHECK(found.schedules <= 300);
    }
    CHECK(reached >= projects / 2);
}

TEST_CASE("populations side by side give the same on any number of threads", "[schedule][law]") {
    const auto model = model_of(random_project(5, 60, 4, 10, 0.05));
    detail::SearchProblem problem{model, [&] { return detail::make_decoder(model); }, 0, nullptr};
    auto settings = detail::search_settings(model, 6000);
    settings.populations = 3;
    const auto one = detail::search_project(problem, 6000, 0, 1, {}, settings);
    const auto three = detail::search_project(problem, 6000, 0, 3, {}, settings);
    CHECK(one.start == three.start);
    CHECK(one.schedules == three.schedules);
    CHECK(one.schedules <= 6000);
    CHECK(one.schedules > 5900);
}
