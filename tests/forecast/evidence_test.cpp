#include "support/catch.hpp"

#include "libseal/forecast/evidence.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/coach/layouts.hpp"
#include "support/problems.hpp"

using namespace libseal;

namespace {

const Date as_of = parse_date("2026-11-01");

Coach trailer(const std::string& id, const std::string& line, const std::string& station) {
    LayoutOptions options = layout_options("travel_trailer");
    options.id = id;
    options.model_line = line;
    options.installed_from = options.installed_to = parse_date("2019-04-01");
    Coach coach = travel_trailer(7.3, options);
    Stay stay;
    stay.from = parse_date("2019-04-01");
    stay.to = make_date(9999, 12, 31);
    stay.station = station;
    coach.stays = {stay};
    return coach;
}

Finding look(const std::string& coach, const std::string& joint, const char* day, const std::string& sign) {
    Finding finding;
    finding.coach = coach;
    finding.joint = joint;
    finding.layer = "cap_bead";
    finding.date = parse_date(day);
    finding.sign = sign;
    return finding;
}

template <class T>
std::vector<T> of_coaches(const std::vector<T>& all, const Fleet& batch) {
    std::vector<T> own;
    for (const auto& one : all)
        for (const auto& coach : batch.coaches)
            if (one.coach == coach.id) own.push_back(one);
    return own;
}

}  // namespace

TEST_CASE("a fleet forecast in batches has the bits of the whole one", "[law]") {
    // Synthetic: two sites, a model line on both of them.
    const Fleet fleet{{trailer("a", "one", "south bend"), trailer("b", "two", "south bend"), trailer("c", "one", "phoenix"),
                       trailer("d", "two", "phoenix")}};
    ForecastOptions options;
    options.findings = {look("a", "roof_vent_1", "2025-05-01", "deep_crack"), look("c", "roof_vent_1", "2025-06-01", "clean_look"),
                        look("c", "front_cap_to_roof", "2025-06-01", "yellowing"), look("d", "roof_vent_1", "2024-06-01", "skin_cracks")};
    WorkDone work;
    work.coach = "d";
    work.joint = "roof_vent_1";
    work.layer = "cap_bead";
    work.date = parse_date("2024-07-01");
    work.action = "cut_out_and_reseal";
    work.family = "polyurethane";
    options.work_done = {work};
    options.threads = 1;
    const Forecast whole = forecast(fleet, as_of, 5, options);

    const std::vector<Fleet> batches{{{fleet.coaches[0], fleet.coaches[1]}}, {{fleet.coaches[2], fleet.coaches[3]}}};
    std::vector<Evidence> collected;
    for (const Fleet& batch : batches) {
        ForecastOptions own = options;
        own.findings = of_coaches(options.findings, batch);
        own.work_done = of_coaches(options.work_done, batch);
        const Evidence evidence = collect_evidence(batch, as_of, own);
        collected.push_back(Evidence::from_json(evidence.to_json(), "test"));
        CHECK(collected.back().to_json() == evidence.to_json());
    }
    CHECK(collected[0].size() + collected[1].size() == 4);
    std::reverse(collected.begin(), collected.end());
    const SharedEffects shared = combine_evidence(collected);
    CHECK(shared.to_json() == whole.shared_effects().to_json());

    Eigen::Index row = 0;
    for (const Fleet& batch : batches) {
        ForecastOptions own = options;
        own.findings = of_coaches(options.findings, batch);
        own.work_done = of_coaches(options.work_done, batch);
        own.shared = std::make_shared<const SharedEffects>(SharedEffects::from_json(shared.to_json(), "test"));
        const Forecast part = forecast(batch, as_of, 5, own);
        for (Eigen::Index i = 0; i < part.size(); ++i, ++row) {
            REQUIRE(part.due_50[i] == whole.due_50[row]);
            REQUIRE(part.condition[i] == whole.condition[row]);
            REQUIRE(part.due_1_year[i] == whole.due_1_year[row]);
            REQUIRE(part.shared_factor[i] == whole.shared_factor[row]);
            REQUIRE(part.open_1_year[i] == whole.open_1_year[row]);
        }
    }
    CHECK(row == whole.size());
}

TEST_CASE("evidence refuses what makes no sense", "[bad_input]") {
    CHECK_THROWS_AS(Evidence::from_json("{}", "test"), ValueError);
    CHECK_THROWS_AS(Evidence::from_json(R"({"schema": "libseal/evidence/1", "joints": [{"family": "x"}]})", "test"), ValueError);
    const Fleet fleet{{trailer("a", "one", "south bend")}};
    ForecastOptions options;
    options.findings = {look("a", "no_such_joint", "2025-05-01", "deep_crack")};
    CHECK_THROWS_AS(collect_evidence(fleet, as_of, options), ValueError);
    options.findings = {look("a", "roof_vent_1", "2025-05-01", "deep_crack")};
    const Evidence evidence = collect_evidence(fleet, as_of, options);
    CHECK_THROWS_AS(combine_evidence({evidence, evidence}), ValueError);  // the same joint twice
    CHECK(collect_evidence(fleet, as_of).size() == 0);
    CHECK(combine_evidence({}).size() == 0);
    // What `forecast` refuses a batch refuses, with the same words.
    const auto field = [](const auto& call) {
        const auto problems = libseal_test::problems_of(call);
        return problems.empty() ? std::string() : problems[0].field;
    };
    const Fleet twins{{fleet.coaches[0], fleet.coaches[0]}};
    CHECK(field([&] { collect_evidence(twins, as_of, options); }) == "fleet.coaches[1].id");
    CHECK(field([&] { forecast(twins, as_of, 1, options); }) == "fleet.coaches[1].id");
    for (const double noise : {0.0, 0.09, 2.1, std::nan("")}) {
        options.look_noise = {{"somebody", noise}};
        CHECK(field([&] { collect_evidence(fleet, as_of, options); }) == "look_noise[somebody]");
        CHECK(field([&] { forecast(fleet, as_of, 1, options); }) == "look_noise[somebody]");
    }
}
