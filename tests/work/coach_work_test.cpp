// Work that is found once and shared out over visits is the work that each visit alone would find.

#include <cmath>
#include <string>
#include <vector>

#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "work/planning.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

PlanOptions year_options() {
    PlanOptions options;
    options.opportunistic_days = 0;
    options.due_before = sample_day() + 900;
    return options;
}

/// Nobody may do what needs a licence, and a season has its own price.
Shop season_shop() {
    Shop shop = sample_shop(1);
    shop.heated_bay = true;
    shop.labour_rate_per_h = 17250;
    return shop;
}

std::vector<std::size_t> some_of(std::size_t count, RandomStream& random) {
    std::vector<std::size_t> some;
    for (std::size_t i = 0; i < count; ++i)
        if (random.below(3) == 0) some.push_back(i);
    return some;
}

}  // namespace

TEST_CASE("tasks of a work that was found once make the plan that they make alone", "[work][law]") {
    const auto seed = GENERATE(range(1u, 13u));
    const Coach coach = sample_trailer(seed);
    const std::vector<Finding> findings = sample_findings(coach, seed, 12);
    const Forecast forecast = sample_forecast(coach, seed);
    Shop shop = sample_shop(1);
    shop.heated_bay = true;
    const PlanOptions options = year_options();
    const detail::CoachWork work(coach, findings, forecast, shop, sample_day(), options);
    CHECK(work_plan_json(work.all()) == work_plan_json(detail::quick_plan(coach, findings, forecast, shop, sample_day(), options)));
    REQUIRE(work.all().tasks.size() > 5);
    RandomStream random(seed, 9);
    for (int round = 0; round < 4; ++round) {
        const std::vector<std::size_t> tasks = some_of(work.all().tasks.size(), random);
        if (tasks.empty()) continue;
        PlanOptions alone = options;
        for (const std::size_t i : tasks) {
            const Task& task = work.all().tasks[i];
            (task.part.empty() ? alone.joints : alone.parts).push_back(place_of_task(task));
        }
        const Shop other = round % 2 ? season_shop() : shop;
        CHECK(work_plan_json(work.part(tasks, other)) ==
              work_plan_json(detail::quick_plan(coach, findings, forecast, other, sample_day(), alone)));
    }
}

TEST_CASE("a quick plan has the tasks, minutes and prices of the full one", "[work][law]") {
    const auto seed = GENERATE(range(20u, 28u));
    const Coach coach = sample_trailer(seed);
    const std::vector<Finding> findings = sample_findings(coach, seed, 8);
    const Forecast forecast = sample_forecast(coach, seed);
    const Shop shop = sample_shop();
    const WorkPlan quick = detail::quick_plan(coach, findings, forecast, shop, sample_day(), year_options()),
                   full = plan_work(coach, findings, forecast, shop, sample_day(), year_options());
    REQUIRE(quick.tasks.size() == full.tasks.size());
    for (std::size_t i = 0; i < quick.tasks.size(); ++i) {
        const Task &a = quick.tasks[i], &b = full.tasks[i];
        CHECK(place_of_task(a) == place_of_task(b));
        CHECK(a.action == b.action);
        CHECK(a.reason == b.reason);
        CHECK(a.minutes.mode == b.minutes.mode);
        CHECK(a.cost.mode == b.cost.mode);
        CHECK(a.cautions == b.cautions);
        CHECK(a.options.empty());
    }
    CHECK(quick.material == full.material);
    REQUIRE(full.steps.size() >= quick.steps.size());
    double moves = 0;  // of slide-outs and awnings, which the order puts behind the other steps
    for (std::size_t i = 0; i < full.steps.size(); ++i) {
        if (i < quick.steps.size()) CHECK(full.steps[i].id == quick.steps[i].id);
        else moves += full.steps[i].minutes.mode * full.steps[i].people;
    }
    CHECK(quick.minutes.mode == Approx(full.minutes.mode - moves).epsilon(1e-12));
}

TEST_CASE("tools, gates and skills of steps are the words of the catalogue", "[work]") {
    const Catalogue catalogue = Catalogue::built_in();
    const detail::StepTables& tables = catalogue.derived<detail::StepTables>();
    const auto word = [&](const std::string& id) { return catalogue.has(id) && catalogue.word(id) != "none" ? catalogue.word(id) : ""; };
    std::size_t kinds = 0;
    for (const std::string& kind : step_names()) {
        const detail::StepNeeds* needs = tables.needs(kind);
        if (!needs) continue;
        ++kinds;
        CHECK(needs->gate == word("step/" + kind + "/gate"));
        CHECK(needs->gate_aloft == word("step/" + kind + "/gate_aloft"));
        CHECK(needs->tools == detail::listed_words(catalogue, "step/" + kind + "/tools"));
    }
    CHECK(kinds > 10);
    CHECK(tables.needs("no_such_step") == nullptr);
    REQUIRE(tables.skill("gas"));
    CHECK(tables.skill("gas")->skill == catalogue.word("caution/gas/skill"));
    CHECK(tables.skill("no_such_caution") == nullptr);
}
