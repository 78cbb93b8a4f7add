#include "support/catch.hpp"

#include <map>
#include <set>
#include <tuple>

#include "libseal/climate/station.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/survey/grade.hpp"
#include "libseal/survey/read.hpp"
#include "support/data.hpp"

using namespace libseal;

// The demo's fleet is invented; these tests see that it is whole, not that it is true.
TEST_CASE("the demo fleet is whole: coaches, stations, findings and work fit together", "[survey]") {
    const auto folder = libseal_test::source_folder() / "examples/data";
    const Date as_of = make_date(2026, 11, 25);
    const Fleet fleet = read_fleet((folder / "fleet.json").string());
    REQUIRE(fleet.coaches.size() == 12);
    std::set<std::string> kinds, stations;
    for (const auto& coach : fleet.coaches) {
        INFO(coach.id);
        kinds.insert(coach.kind);
        CHECK(coach.joints.size() >= 25);
        REQUIRE_FALSE(coach.stays.empty());
        CHECK(coach.stays.back().to == make_date(9999, 12, 31));
        for (const auto& stay : coach.stays) {
            stations.insert(stay.station);
            CHECK(find_station(stay.station).id == stay.station);
        }
    }
    CHECK(kinds.size() == 4);
    CHECK(stations.size() == 4);
    const auto findings = read_findings((folder / "findings.csv").string());
    const auto work = read_work_done((folder / "work_done.csv").string());
    CHECK(findings.size() >= 60);
    CHECK(work.size() >= 15);
    CHECK_NOTHROW(check_findings(findings, fleet, as_of));
    CHECK_NOTHROW(check_work_done(work, fleet, as_of));
    CHECK(coach_of(with_work_done(fleet, work, as_of), "FW-02").joints.size() == coach_of(fleet, "FW-02").joints.size());

    // Every look can be graded, and the grades are not all alike.
    std::map<std::tuple<std::string, std::string, Date>, std::vector<Finding>> looks;
    for (const auto& finding : findings) looks[{finding.coach, finding.joint, finding.date}].push_back(finding);
    const Catalogue catalogue = Catalogue::built_in();
    std::set<int> grades;
    for (const auto& [key, look] : looks) {
        const Joint& joint = joint_of(coach_of(fleet, look[0].coach), look[0].joint);
        grades.insert(grade(look, joint_type(catalogue, joint.type), catalogue).cap);
    }
    CHECK(grades.size() >= 6);
}
