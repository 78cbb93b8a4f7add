#include "libseal/calendar/year.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

struct World {
    Fleet fleet;
    Forecast forecast;
    CalendarOptions options;
};

/// Some synthetic coaches with findings; everything drawn from the seed.
World world(std::uint64_t seed, int coaches = 3) {
    World w;
    w.forecast.as_of = sample_day();
    w.forecast.years = 2;
    for (int i = 0; i < coaches; ++i) {
        const std::uint64_t own = seed * 100 + static_cast<std::uint64_t>(i);
        w.fleet.coaches.push_back(sample_trailer(own, "coach_" + std::to_string(i)));
        w.fleet.coaches.back().owner = "Owner " + std::to_string(i);
        add_forecast(w.forecast, w.fleet.coaches.back(), own);
        for (const Finding& f : sample_findings(w.fleet.coaches.back(), own, 4))
            w.options.findings.push_back(f);
    }
    w.options.work_limit = 1;
    return w;
}

Calendar calendar_of(const World& w, const Shop& shop = sample_shop()) {
    return year_calendar(w.fleet, 2027, shop, w.forecast, w.options);
}

std::map<std::string, std::set<std::string>> tasks_by_coach(const Calendar& calendar) {
    std::map<std::string, std::set<std::string>> result;
    for (const Visit& visit : calendar.visits)
        if (!visit.cancelled)
            for (const VisitTask& task : visit.tasks) result[visit.coach].insert(task.joint);
    return result;
}

/// Fewest days that stab all windows, by trying all sets of days.
int fewest(const std::vector<Window>& windows, int days, unsigned forbidden) {
    int best = 99;
    for (unsigned set = 0; set < (1u << days); ++set) {
        if (set & forbidden) continue;
        const bool all = std::all_of(windows.begin(), windows.end(), [&](const Window& w) {
            for (int d = w.earliest.days; d <= w.latest.days; ++d)
                if (set & (1u << d)) return true;
            return false;
        });
        if (all) best = std::min(best, __builtin_popcount(set));
    }
    return best;
}

}  // namespace

TEST_CASE("windows are grouped into the fewest days", "[calendar]") {
    // Worked example of the notes: windows a[1,4] b[2,6] c[5,8] d[7,9] e[10,12] f[3,5] need the days 4,
    // 8, 12.
    const Grouping g =
        group_windows({{{1}, {4}}, {{2}, {6}}, {{5}, {8}}, {{7}, {9}}, {{10}, {12}}, {{3}, {5}}});
    CHECK(g.days == std::vector<Date>{{4}, {8}, {12}});
    CHECK(g.day_of == std::vector<int>{0, 0, 1, 1, 2, 0});
    CHECK(group_windows({{{5}, {4}}}).day_of == std::vector<int>{-1});
}

TEST_CASE("no set of days is smaller than the grouping, closed days or not", "[calendar][law]") {
    RandomStream random(11);
    for (int run = 0; run < 150; ++run) {
        std::vector<Window> windows;
        const unsigned forbidden = run % 2 ? static_cast<unsigned>(random.below(1u << 12)) : 0u;
        for (std::uint64_t i = 0, n = 1 + random.below(7); i < n; ++i) {
            const int from = static_cast<int>(random.below(12)),
                      to = std::min(11, from + static_cast<int>(random.below(6)));
            bool open = false;
            for (int d = from; d <= to; ++d) open = open || !(forbidden & (1u << d));
            if (open) windows.push_back({{from}, {to}});
        }
        const Grouping g = group_windows(windows, [&](Date day) { return !(forbidden & (1u << day.days)); });
        CHECK(static_cast<int>(g.days.size()) == (windows.empty() ? 0 : fewest(windows, 12, forbidden)));
        for (std::size_t i = 0; i < windows.size(); ++i) {
            REQUIRE(g.day_of[i] >= 0);
            const Date day = g.days[static_cast<std::size_t>(g.day_of[i])];
            CHECK(
                (windows[i].earliest <= day && day <= windows[i].latest && !(forbidden & (1u << day.days))));
        }
    }
}

TEST_CASE("uids are those of the documented hash", "[calendar][reference]") {
    // FNV-1a, 64 bits, forwards and backwards over "work\x1fT1\x1froof_vent_1\x1f1", computed with Python
    // integers.
    CHECK(visit_uid("work", "T1", "roof_vent_1", 1) == "7c12cdb5e4e9231d7dbaeac68624f0e5@libseal");
    CHECK(visit_uid("work", "a", "bc", 1) != visit_uid("work", "ab", "c", 1));
    CHECK(visit_uid("work", "a", "b", 1) != visit_uid("work", "a", "b", 2));
}

TEST_CASE("the calendar of any fleet keeps to the shop's days, bays and people, and drops nothing",
          "[calendar][law]") {
    const std::uint64_t seed = GENERATE(range(1, 5));
    World w = world(seed);
    Shop shop = sample_shop(3, static_cast<int>(1 + seed % 2));
    shop.holidays = {make_date(2027, 5, 31), make_date(2027, 7, 5)};
    shop.closed = {{make_date(2027, 8, 2), make_date(2027, 8, 16), "holidays"}};
    if (seed % 2) shop.sealing_months = {3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
    const Calendar calendar = calendar_of(w, shop);
    REQUIRE_FALSE(calendar.visits.empty());
    for (const Visit& a : calendar.visits) {
        CAPTURE(a.coach, a.kind, to_text(a.first), to_text(a.last));
        CHECK(works_on(shop, a.first));
        if (a.kind == "work") CHECK(seals_on(shop, a.first));
        CHECK((a.first > sample_day() && a.first <= make_date(2027, 12, 31) && a.last >= a.first));
        CHECK((a.bay >= 0 && a.bay < shop.bays));
        CHECK_FALSE(a.why.empty());
        CHECK(a.owner.empty());
        CHECK((a.cost.low <= a.cost.mode && a.cost.mode <= a.cost.high));
        CHECK((a.kind == "inspection") == a.tasks.empty());
        for (const Visit& b : calendar.visits)
            if (&a != &b && a.bay == b.bay) CHECK((a.last < b.first || b.last < a.first));
        for (const VisitTask& task : a.tasks) {
            CHECK(task.late == (a.last > task.due));
            if (task.late)
                CHECK(std::any_of(a.flags.begin(), a.flags.end(),
                                  [](const std::string& f) { return f.find("late") != std::string::npos; }));
        }
    }
    // Every task of the year's plan is on a visit or told as unplaced.
    auto placed = tasks_by_coach(calendar);
    for (const Unplaced& left : calendar.unplaced) {
        CHECK_FALSE(left.constraint.empty());
        CHECK_FALSE(left.relaxation.empty());
        placed[left.coach].insert(left.joint);
    }
    for (const Coach& coach : w.fleet.coaches) {
        PlanOptions options;
        options.due_before = make_date(2027, 12, 31);
        options.opportunistic_days = 0;  // as the calendar does
        Shop open = shop;
        open.heated_bay = true;
        open.closed.clear();
        for (const Task& task :
             plan_work(coach, w.options.findings, w.forecast, open, sample_day(), options).tasks)
            CHECK(placed[coach.id].count(task.joint));
    }
    CHECK(check_icalendar(calendar.ics_text()).empty());
    w.options.threads = 1;
    CHECK(calendar_of(w, shop).json_text() == calendar.json_text());
}

TEST_CASE("a second run with the first as previous changes nothing", "[calendar][law]") {
    World w = world(7);
    const Calendar first = calendar_of(w);
    const Calendar again = read_calendar_text(first.json_text(), "first");
    CHECK(again.json_text() == first.json_text());
    w.options.previous = &again;
    const Calendar second = calendar_of(w);
    CHECK(second.changes.empty());
    CHECK(second.ics_text() == first.ics_text());
}

TEST_CASE("what changes keeps its uid with a raised sequence, what falls away is cancelled", "[calendar]") {
    World w = world(8, 2);
    const Calendar first = calendar_of(w);
    w.options.previous = &first;
    // All work on the first visit of a coach is done before it: the visit is no longer needed as it was.
    const auto work = std::find_if(first.visits.begin(), first.visits.end(),
                                   [](const Visit& v) { return v.kind == "work"; });
    REQUIRE(work != first.visits.end());
    w.forecast.as_of = sample_day() + 1;
    for (const VisitTask& task : work->tasks) {
        for (Eigen::Index i = 0; i < w.forecast.size(); ++i)
            if (w.forecast.coach[static_cast<std::size_t>(i)] == work->coach &&
                w.forecast.joint[static_cast<std::size_t>(i)] == task.joint)
                w.forecast.due_50(i) = make_date(2035, 1, 1).days;
        w.options.findings.erase(
            std::remove_if(w.options.findings.begin(), w.options.findings.end(),
                           [&](const Finding& f) { return f.coach == work->coach && f.joint == task.joint; }),
            w.options.findings.end());
    }
    const Calendar second = calendar_of(w);
    const auto gone = std::find_if(second.visits.begin(), second.visits.end(),
                                   [&](const Visit& v) { return v.uid == work->uid; });
    REQUIRE(gone != second.visits.end());
    CHECK(gone->cancelled);
    CHECK(gone->sequence == work->sequence + 1);
    CHECK(second.ics_text().find("STATUS:CANCELLED") != std::string::npos);
    CHECK_FALSE(second.changes.empty());
    CHECK(check_icalendar(second.ics_text()).empty());
    // Cancelled once, cancelled for good, and no uid is used twice.
    w.options.previous = &second;
    const Calendar third = calendar_of(w);
    const auto still = std::find_if(third.visits.begin(), third.visits.end(),
                                    [&](const Visit& v) { return v.uid == work->uid; });
    REQUIRE(still != third.visits.end());
    CHECK(still->sequence == gone->sequence);
    std::set<std::string> uids;
    for (const Visit& visit : third.visits) CHECK(uids.insert(visit.uid).second);
}

TEST_CASE("one more finding never takes an urgent task off the calendar", "[calendar][law]") {
    World w = world(9, 1);
    const Calendar before = calendar_of(w);
    for (const Finding& more : sample_findings(w.fleet.coaches[0], 999, 3))
        w.options.findings.push_back(more);
    const Calendar after = calendar_of(w);
    auto now = tasks_by_coach(after);
    for (const Unplaced& left : after.unplaced) now[left.coach].insert(left.joint);
    for (const Visit& visit : before.visits)
        for (const VisitTask& task : visit.tasks)
            if (task.urgency == "at_once" || task.urgency == "within_30_days")
                CHECK(now[visit.coach].count(task.joint));
}

TEST_CASE("a shop that cannot do the work says which constraint keeps it out", "[calendar]") {
    World w = world(10, 1);
    Shop shop = sample_shop();
    shop.sealing_months = {};
    const Calendar calendar = calendar_of(w, shop);
    CHECK(std::none_of(calendar.visits.begin(), calendar.visits.end(),
                       [](const Visit& v) { return v.kind == "work"; }));
    REQUIRE_FALSE(calendar.unplaced.empty());
    CHECK(calendar.unplaced[0].constraint.find("no sealing outdoors") != std::string::npos);
    CHECK(calendar.unplaced[0].relaxation.find("heated bay") != std::string::npos);
}

TEST_CASE("a coach without work is looked at in time, and owners stay out unless asked for", "[calendar]") {
    World w = world(11, 1);
    w.options.findings.clear();
    w.forecast.due_50.setConstant(make_date(2040, 1, 1).days);
    w.options.show_owners = true;
    const Calendar calendar = calendar_of(w);
    REQUIRE(calendar.visits.size() >= 1);
    Date last = sample_day();
    for (const Visit& visit : calendar.visits) {
        CHECK(visit.kind == "inspection");
        CHECK(visit.owner == "Owner 0");
        CHECK(visit.last <= visit.window.latest);
        CHECK(visit.first - last <= 300 + 60);
        last = visit.first;
    }
    CHECK(make_date(2027, 12, 31) - last <= 182 + 60);
}

TEST_CASE("the front door forecasts for itself, and work on record leaves the year's work", "[calendar]") {
    Coach coach = sample_trailer(5, "whole_way");
    Stay stay;
    stay.from = make_date(2020, 1, 1);
    stay.to = make_date(9999, 1, 1);
    stay.place = "home";
    stay.station = "725350";
    stay.heading = 90;
    coach.stays = {stay};
    CalendarOptions options;
    options.work_limit = 1;
    const Fleet fleet = fleet_of(coach);
    const Calendar calendar = year_calendar(fleet, 2027, sample_shop(), sample_day(), options);
    const double years = years_between(sample_day(), make_date(2027, 12, 31)) + 1;
    CHECK(
        calendar.json_text() ==
        year_calendar(fleet, 2027, sample_shop(), forecast(fleet, sample_day(), years), options).json_text());
    // Six years old and overdue: the year begins with work.
    REQUIRE_FALSE(calendar.visits.empty());
    REQUIRE(calendar.visits[0].kind == "work");
    CHECK(calendar.visits[0].first <= make_date(2027, 1, 31));
    // A bead laid last week is not due next year.
    const auto vent = std::find_if(calendar.visits[0].tasks.begin(), calendar.visits[0].tasks.end(),
                                   [](const VisitTask& t) { return t.layer == "cap_bead"; });
    REQUIRE(vent != calendar.visits[0].tasks.end());
    WorkDone done;
    done.coach = coach.id;
    done.joint = vent->joint;
    done.layer = "cap_bead";
    done.date = sample_day() - 7;
    done.action = "reseal_over";
    done.family = vent->family;
    options.work_done = {done};
    CHECK_FALSE(
        tasks_by_coach(year_calendar(fleet, 2027, sample_shop(), sample_day(), options))[coach.id].count(
            vent->joint));
    options.work_done[0].declined = true;
    CHECK(tasks_by_coach(year_calendar(fleet, 2027, sample_shop(), sample_day(), options))[coach.id].count(
        vent->joint));
}

TEST_CASE("files of a calendar are written whole, and bad ones are refused with their place",
          "[calendar][bad_input]") {
    World w = world(12, 1);
    const Calendar calendar = calendar_of(w);
    const auto folder = std::filesystem::temp_directory_path() / "libseal_calendar_test";
    std::filesystem::create_directories(folder);
    calendar.write_json((folder / "year.json").string());
    calendar.write_csv((folder / "year.csv").string());
    calendar.write_ics((folder / "year.ics").string());
    CHECK(read_calendar((folder / "year.json").string()).json_text() == calendar.json_text());
    CHECK(read_text_file((folder / "year.ics").string()) == calendar.ics_text());
    CHECK(read_text_file((folder / "year.csv").string()).rfind("uid,status,kind,", 0) == 0);
    CHECK_THROWS_AS(calendar.write_ics((folder / "no/such/year.ics").string()), FileError);
    std::filesystem::remove_all(folder);
    const auto problem = [](const std::string& text) {
        try {
            read_calendar_text(text, "c.json");
        } catch (const ValueError& error) {
            return error.problems()[0];
        }
        return Problem{};
    };
    CHECK(problem("{\"schema\": \"libseal/calendar/1\",\n\"year\": 2027,\n\"as_of\": "
                  "\"2027-13-01\",\n\"visits\": []}")
              .line == 3);
    CHECK(problem("{\"schema\": \"libseal/calendar/1\",\n\"year\": 2027,\n\"as_of\": "
                  "\"2027-01-01\",\n\"visits\": [{\"uid\": 3}]}")
              .field == "visits[0].uid");
    CHECK(problem("{\"schema\": \"libseal/calendar/2\"}").field == "schema");
    CHECK_THROWS_AS(year_calendar(w.fleet, 1900, sample_shop(), w.forecast, w.options), ValueError);
    CHECK_THROWS_AS(year_calendar(w.fleet, 2025, sample_shop(), w.forecast, w.options), ValueError);
}

TEST_CASE("options that the calendar does not plan by are refused, not ignored", "[calendar][bad_input]") {
    const auto refused = [](const auto& change) {
        World w = world(1, 1);
        change(w.options);
        try {
            calendar_of(w);
        } catch (const ValueError& error) {
            return error.problems().front().field;
        }
        return std::string("accepted");
    };
    CHECK(refused([](CalendarOptions&) {}) == "accepted");
    CHECK(refused([](CalendarOptions& o) { o.latest_days = 10; }) == "latest_days");
    CHECK(refused([](CalendarOptions& o) { o.owner_dates.push_back({}); }) == "owner_dates");
    CHECK(refused([](CalendarOptions& o) { o.season_percent[4] = 120; }) == "season_percent");
    CHECK(refused([](CalendarOptions& o) { o.warranty_days = 90; }) == "warranty_days");
    CHECK(refused([](CalendarOptions& o) { o.most_visit_hours = 8; }) == "most_visit_hours");
    CHECK(refused([](CalendarOptions& o) { o.overtime_percent = 25; }) == "overtime_percent");
}
