// The shop's schedule under load: 40 coaches of 60 steps each that come within five weeks of spring, hourly weather gates.
// Two shops: one with ten people and ten bays, one that is short of both. Half of the bays are in the open. Invented coaches.
//
//     benchmark_shop_weeks [WORK_LIMIT SEEDS]...      1500 with three seeds and 30000 with one if none is given

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <utility>
#include <vector>

#include "libseal/climate/station.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/random.hpp"
#include "libseal/schedule/schedule.hpp"

namespace {

using namespace libseal;

const Date monday = make_date(2027, 4, 5);

class Load {
public:
    explicit Load(std::uint64_t seed) : random_(seed) {}

    static Shop shop(int people, int bays) {
        Shop shop;
        shop.name = "synthetic";
        shop.break_from = 12 * 60;
        shop.break_to = 13 * 60;
        for (int p = 0; p < people; ++p) {
            Person person{"p" + std::to_string(p), {}, (p % 3 == 2 ? 9 : 8) * 60, 17 * 60};
            if (p < 2) person.skills = {"gas"};
            shop.people.push_back(person);
        }
        for (int b = 0; b < bays; ++b) shop.bay_list.push_back({"bay " + std::to_string(b + 1), b < bays / 2, b < 1});
        shop.ladders = 4;
        shop.platforms = 2;
        return shop;
    }

    std::vector<Booking> bookings(int count) {
        std::vector<Booking> result;
        for (int c = 0; c < count; ++c) {
            Booking booking;
            booking.plan = plan("c" + std::to_string(c));
            booking.arrival = minute_of(monday + below(35), 8 * 60);
            booking.promised = booking.arrival + 1440 * (7 + below(7));
            result.push_back(std::move(booking));
        }
        return result;
    }

private:
    int below(int n) { return static_cast<int>(random_.below(static_cast<std::uint64_t>(n))); }

    int add(WorkPlan& plan, const char* kind, int minutes, int people, const std::string& reach = "", const char* gate = "") {
        Step step;
        step.kind = kind;
        step.id = std::string(kind) + "/" + std::to_string(plan.steps.size());
        step.minutes = {static_cast<double>(minutes), static_cast<double>(minutes), static_cast<double>(minutes)};
        step.people = people;
        step.unbroken = step.kind == "cap";
        step.reach = reach;
        step.gate = gate;
        if (step.kind == "cap") step.family = "polyurethane";
        plan.steps.push_back(std::move(step));
        return static_cast<int>(plan.steps.size()) - 1;
    }

    static void edge(WorkPlan& plan, int from, int to, double lag = 0) {
        plan.edges.push_back({from, to, "strip_clean_prime_apply_cure_test", Strength::hard, lag, "synthetic"});
    }

    /// Nine joints of six steps, and six steps of the whole coach.
    WorkPlan plan(const std::string& coach) {
        constexpr int joints = 9;
        WorkPlan plan;
        plan.coach = coach;
        const int isolate = add(plan, "isolate", 15, 1);
        const int look = add(plan, "photograph", 40, 1);
        const int slide = add(plan, "move_slide", 20, 2);
        edge(plan, isolate, look);
        edge(plan, look, slide);
        std::vector<int> tested;
        int roof = -1;
        for (int j = 0; j < joints; ++j) {
            const bool on_roof = j < joints / 3;
            const std::string reach = on_roof ? "roof" : below(2) ? "ladder" : "ground";
            const int wash = add(plan, "wash", 10 + below(15), 1, reach, "wash");
            const int strip = add(plan, "strip", 20 + below(60), 1, reach);
            const int wipe = add(plan, "wipe", 5 + below(10), 1, reach);
            const int cap = add(plan, "cap", 10 + below(40), below(8) == 0 ? 2 : 1, reach, "bond");
            const int cure = add(plan, "cure", 0, 0);
            const int test = add(plan, "water_test", 10 + below(10), 2, reach, "test");
            edge(plan, slide, wash);
            edge(plan, wash, strip, 60);
            edge(plan, strip, wipe);
            edge(plan, wipe, cap, 10);
            edge(plan, cap, cure, 1440 + below(1440));
            edge(plan, cure, test);
            if (roof >= 0 && (on_roof || j % 2)) edge(plan, roof, cap);
            if (on_roof) roof = cap;
            tested.push_back(test);
        }
        const int check = add(plan, "function_check", 30, 1);
        const int gas = add(plan, "leak_test_gas", 20, 1);
        plan.steps.back().skills = {"gas"};
        const int record = add(plan, "record", 20, 1);
        for (const int test : tested) edge(plan, test, check);
        edge(plan, check, gas);
        edge(plan, gas, record);
        plan.order = ordered_steps(plan.steps, plan.edges);
        return plan;
    }

    RandomStream random_;
};

void print_row(const std::vector<Booking>& bookings, const Shop& shop, const Weather& weather, int work_limit, std::uint64_t seed) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    options.seed = seed;
    options.weather = {weather};
    const auto begin = std::chrono::steady_clock::now();
    const Schedule found = schedule(bookings, shop, monday, options);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    std::size_t steps = 0;
    for (const auto& booking : bookings) steps += booking.plan.steps.size();
    const auto stay = static_cast<double>(found.score.stay), bound = static_cast<double>(found.bound.stay);
    std::printf("| %zu | %zu | %zu | %d | %d | %s | %.2f | %lld | %.0f | %.0f | %.1f |\n", shop.people.size(), shop.bay_list.size(), steps, work_limit,
                static_cast<int>(seed), to_text(found.outcome).c_str(), seconds, static_cast<long long>(found.score.late), stay, bound, 100 * (stay - bound) / bound);
    std::fflush(stdout);
}

}  // namespace

int main(int count, char** arguments) {
    std::vector<std::pair<int, int>> runs;
    for (int i = 1; i < count; i += 2) runs.emplace_back(std::atoi(arguments[i]), i + 1 < count ? std::atoi(arguments[i + 1]) : 1);
    if (runs.empty()) runs = {{1500, 3}, {30000, 1}};
    const auto bookings = Load(5).bookings(40);
    const Weather weather = typical_year(find_station("725350"));
    std::printf("| people | bays | steps | work limit | seed | outcome | s | late [min] | stay [min] | bound [min] | gap [%%] |\n"
                "|---|---|---|---|---|---|---|---|---|---|---|\n");
    for (const auto& [people, bays] : {std::pair{10, 10}, std::pair{8, 6}})
        for (const auto& [work_limit, seeds] : runs)
            for (int seed = 0; seed < seeds; ++seed)
                print_row(bookings, Load::shop(people, bays), weather, work_limit, static_cast<std::uint64_t>(seed));
}
