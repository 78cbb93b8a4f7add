#include "libseal/calendar/year.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <set>

#include "calendar/penalty.hpp"
#include "calendar/world.hpp"
#include "libseal/calendar/check.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/published.hpp"

using namespace libseal;
using namespace libseal_test;

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
    CHECK(faults(calendar, shop) == "");
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

TEST_CASE("visits that were sent out are taken apart by a new longest visit", "[calendar][law]") {
    World w = world(7);
    const Calendar before = calendar_of(w);
    const auto longest = [](const Calendar& calendar) {
        double hours = 0;
        for (const Visit& visit : calendar.visits)
            if (visit.kind == "work" && !visit.cancelled && visit.tasks.size() > 1) hours = std::max(hours, visit.minutes.mode / 60);
        return hours;
    };
    w.options.most_visit_hours = 6;
    const Calendar fresh = calendar_of(w);
    REQUIRE(longest(fresh) < 0.8 * longest(before));
    w.options.previous = &before;
    const Calendar after = calendar_of(w);
    CHECK(longest(after) <= longest(fresh));
    CHECK(faults(after, sample_shop()) == "");
    CHECK_FALSE(after.changes.empty());
    CHECK(tasks_by_coach(after) == tasks_by_coach(before));
}

TEST_CASE("a fleet that is forecast in parts has the bits of the whole", "[calendar][law]") {
    // Synthetic: enough coaches for two parts, two lines at two stations, some looked at.
    Fleet fleet;
    CalendarOptions options;
    const Date as_of = make_date(2026, 11, 25);
    for (int i = 0; i < 127; ++i) {
        LayoutOptions layout = layout_options("camper_van");
        layout.id = "V" + std::to_string(i);
        layout.model_line = i % 3 ? "one" : "other";
        layout.installed_from = layout.installed_to = make_date(2015 + i % 9, 1 + i % 12, 3);
        Coach coach = camper_van(6.0, layout);
        Stay stay;
        stay.from = layout.installed_from;
        stay.to = make_date(9999, 1, 1);
        stay.place = "home";
        stay.station = find_station(i % 2 ? "south bend" : "phoenix").id;
        stay.cover = "open";
        coach.stays = {stay};
        if (i % 10 == 0) {
            Finding finding;
            finding.coach = coach.id;
            finding.joint = coach.joints[static_cast<std::size_t>(i) % coach.joints.size()].id;
            finding.sign = "skin_cracks";
            finding.size = "clear";
            finding.share = 0.2;
            finding.date = as_of - 40;
            options.findings.push_back(finding);
        }
        if (i % 10 == 3) {
            const auto joint = std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& j) { return layer_of(j, "cap_bead") != nullptr; });
            WorkDone done;
            done.coach = coach.id;
            done.joint = joint->id;
            done.layer = "cap_bead";
            done.date = as_of - 30;
            done.action = "reseal_over";
            done.family = layer_of(*joint, "cap_bead")->family;
            options.work_done.push_back(done);
        }
        fleet.coaches.push_back(std::move(coach));
    }
    options.detailed_coaches = 0;
    ForecastOptions ask;
    ask.findings = options.findings;
    ask.work_done = options.work_done;
    const Calendar whole = year_calendar(fleet, 2027, sample_shop(), forecast(fleet, as_of, 3, ask), options);
    const Calendar parts = year_calendar(fleet, 2027, sample_shop(), as_of, options);
    REQUIRE(parts.visits.size() > 100);
    CHECK(parts.json_text() == whole.json_text());
    // Without the work on record it is another calendar: what was resealed a month ago is not due.
    options.work_done.clear();
    CHECK(year_calendar(fleet, 2027, sample_shop(), as_of, options).json_text() != parts.json_text());
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
    CHECK(faults(second, sample_shop()) == "");
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

TEST_CASE("the price of a day has one valley, where the chance of being due weighs worth against risk", "[calendar][law]") {
    // Newsvendor: least expected loss where P(d) = worth / (worth + risk).
    RandomStream random(21);
    for (int run = 0; run < 200; ++run) {
        std::vector<double> chance;
        double p = 0.2 * random.uniform();
        for (int d = 0; d < 120; ++d) chance.push_back(p = std::min(1.0, p + 0.02 * random.uniform()));
        const double worth = 1 + 50 * random.uniform(), risk = 1 + 50 * random.uniform();
        const std::vector<double> h = detail::day_penalty(chance, worth, risk);
        const auto low = static_cast<std::size_t>(std::min_element(h.begin(), h.end()) - h.begin());
        CHECK(h[low] == 0);
        for (std::size_t d = 1; d < h.size(); ++d) CHECK((d <= low ? h[d] <= h[d - 1] : h[d] >= h[d - 1]));
        const double fractile = worth / (worth + risk);
        if (low > 0) CHECK(chance[low - 1] <= fractile + 1e-12);
        if (low + 1 < h.size()) CHECK(chance[low] >= fractile - 1e-12);
    }
}

TEST_CASE("the chance of being due runs through the dates of the forecast and never falls", "[calendar]") {
    Forecast forecast;
    forecast.as_of = sample_day();
    add_forecast(forecast, sample_trailer(1), 1);
    const Date day = sample_day() + 100;
    forecast.due_50(0) = day.days;
    CHECK(detail::chance_due(forecast, 0, day - 1, day) == std::vector<double>{0, 1});  // the median alone
    forecast.due_10 = forecast.due_90 = forecast.due_50;
    forecast.due_10(0) = day.days - 50;
    forecast.due_90(0) = day.days + 100;
    const std::vector<double> chance = detail::chance_due(forecast, 0, day - 50, day + 120);
    CHECK(chance[0] == Approx(0.1));
    CHECK(chance[50] == Approx(0.5));
    CHECK(chance[100] == Approx(0.7));
    CHECK(chance[150] == Approx(0.9));
    CHECK(std::is_sorted(chance.begin(), chance.end()));
    // Before the first date that is known the chance is nought; if that date has passed already, it is the chance of that date.
    CHECK(detail::chance_due(forecast, 0, day - 52, day - 50) == std::vector<double>{0, 0, 0.1});
    forecast.due_10(0) = sample_day().days;
    CHECK(detail::chance_due(forecast, 0, sample_day() + -2, sample_day()) == std::vector<double>{0.1, 0.1, 0.1});
}

TEST_CASE("nobody is called in from a trip, and a coach in storage comes when that is cheaper", "[calendar][law]") {
    World w = world(13, 2);
    const Shop shop = sample_shop(3, 1);
    const Calendar free = calendar_of(w, shop);
    for (const Visit& visit : free.visits)
        w.options.owner_dates.push_back({visit.coach, visit.first - 10, visit.last + 11, "trip", 100, "away"});
    const Calendar around = calendar_of(w, shop);
    CHECK(faults(around, shop, w.options.owner_dates) == "");
    CHECK(around.json_text() != free.json_text());
    // Away for good: nothing is dropped in silence.
    w.options.owner_dates = {{"coach_0", sample_day(), make_date(2029, 1, 1), "trip", 100, ""}};
    const Calendar gone = calendar_of(w, shop);
    CHECK(faults(gone, shop, w.options.owner_dates) == "");
    const auto told = std::find_if(gone.unplaced.begin(), gone.unplaced.end(), [](const Unplaced& u) { return u.coach == "coach_0" && !u.joint.empty(); });
    REQUIRE(told != gone.unplaced.end());
    CHECK(told->constraint.find("away") != std::string::npos);
    w.options.owner_dates = {{"coach_9", sample_day(), make_date(2029, 1, 1), "trip", 100, ""}};
    CHECK_THROWS_AS(calendar_of(w, shop), ValueError);
    w.options.owner_dates = {{"coach_0", sample_day(), make_date(2029, 1, 1), "picnic", 100, ""}};
    CHECK_THROWS_AS(calendar_of(w, shop), ValueError);
}

TEST_CASE("a dear month is passed over where another day serves", "[calendar]") {
    World w = world(14, 3);
    w.options.findings.clear();
    for (Eigen::Index i = 0; i < w.forecast.size(); ++i)
        w.forecast.due_50(i) = make_date(2027, 6, 15).days + static_cast<std::int32_t>(i % 20);
    const auto in_june = [](const Calendar& calendar) {
        return std::count_if(calendar.visits.begin(), calendar.visits.end(), [](const Visit& v) {
            return v.kind == "work" && year_month_day(v.first).month == 6;
        });
    };
    CHECK(in_june(calendar_of(w)) > 0);
    w.options.season_percent = {{6, 1000.0}};
    const Calendar dear = calendar_of(w);
    CHECK(in_june(dear) == 0);
    CHECK(faults(dear, sample_shop()) == "");
    w.options.season_percent = {{13, 100.0}};
    CHECK_THROWS_AS(calendar_of(w), ValueError);
}

TEST_CASE("a warranty that asks for a look every 90 days gets one", "[calendar]") {
    World w = world(15, 2);
    w.options.warranty_days = 90;
    const Shop shop = sample_shop(4, 4);
    const Calendar calendar = calendar_of(w, shop);
    CHECK(faults(calendar, shop) == "");
    for (const Coach& coach : w.fleet.coaches) {
        Date last = std::max(sample_day(), make_date(2026, 12, 31));
        for (const Visit& visit : calendar.visits)
            if (visit.coach == coach.id) {
                CHECK(visit.first - last <= 90);
                last = visit.first;
            }
        CHECK(make_date(2027, 12, 31) - last <= 90);
    }
}

TEST_CASE("a look that comes late is a look: a shop that is too small does not ask for more of them", "[calendar][law]") {
    World w = world(19, 6);
    Shop shop = sample_shop(1, 1);
    shop.working_days = {true, false, false, false, false, false, false};
    const Calendar calendar = calendar_of(w, shop);
    CHECK(faults(calendar, shop) == "");
    std::map<std::string, int> looks;
    for (const Visit& visit : calendar.visits) looks[visit.coach] += visit.kind == "inspection" ? 1 : 0;
    for (const auto& [coach, count] : looks) CHECK(count <= 3);
}

TEST_CASE("looks keep their identity when those before them are done", "[calendar][law]") {
    World w = world(23, 3);
    w.options.warranty_days = 90;
    const Calendar first = calendar_of(w);
    const auto looks = [](const Calendar& calendar) {
        std::vector<const Visit*> list;
        for (const Visit& visit : calendar.visits)
            if (visit.kind == "inspection" && !visit.cancelled) list.push_back(&visit);
        return list;
    };
    REQUIRE(looks(first).size() >= 6);
    // A day after the first look of the year: what was to come stands as before.
    w.forecast.as_of = looks(first).front()->last + 1;
    w.options.previous = &first;
    const Calendar second = calendar_of(w);
    int kept = 0;
    for (const Visit* look : looks(second))
        for (const Visit* old : looks(first)) {
            if (old->coach != look->coach || old->last < w.forecast.as_of || std::abs(old->first - look->first) > 20) continue;
            CHECK(look->uid == old->uid);
            ++kept;
        }
    CHECK(kept >= 4);
    std::set<std::string> uids;
    for (const Visit& visit : second.visits) CHECK(uids.insert(visit.uid).second);
}

TEST_CASE("a new finding moves little, and what moved is told", "[calendar][law]") {
    World w = world(16, 5);
    const Calendar first = calendar_of(w);
    w.options.previous = &first;
    for (const Finding& more : sample_findings(w.fleet.coaches[2], 77, 2)) w.options.findings.push_back(more);
    const Calendar second = calendar_of(w);
    CHECK(faults(second, sample_shop()) == "");
    std::map<std::string, const Visit*> before;
    for (const Visit& visit : first.visits) before[visit.uid] = &visit;
    int moved = 0, others = 0;
    for (const Visit& visit : second.visits) {
        const auto old = before.find(visit.uid);
        if (visit.kind != "work" || visit.cancelled || old == before.end() || visit.first == old->second->first) continue;
        ++moved;
        others += visit.coach != "coach_2" ? 1 : 0;
        const std::string name = "work of " + visit.coach + " moved from " + to_text(old->second->first);
        CHECK(std::any_of(second.changes.begin(), second.changes.end(),
                          [&](const std::string& change) { return change.rfind(name, 0) == 0; }));
    }
    CHECK(others <= 2);
    CHECK(moved <= 3);
}

TEST_CASE("the checker sees what is wrong with a calendar", "[calendar]") {
    World w = world(18, 2);
    Shop shop = sample_shop();
    const Calendar good = calendar_of(w, shop);
    REQUIRE(faults(good, shop) == "");
    REQUIRE(good.visits.size() > 1);
    const auto broken = [&](auto change) {
        Calendar bad = good;
        change(bad);
        return !check_calendar(bad, shop).empty();
    };
    CHECK(broken([](Calendar& c) { c.visits[1].uid = c.visits[0].uid; }));
    CHECK(broken([](Calendar& c) { c.visits[0].bay = 7; }));
    CHECK(broken([](Calendar& c) { c.visits[0].day_minutes[0] += 100000; }));
    CHECK(broken([](Calendar& c) { c.visits[0].day_minutes.push_back(0); }));
    CHECK(broken([](Calendar& c) { c.visits[1].first = c.visits[0].first, c.visits[1].last = c.visits[0].last, c.visits[1].bay = c.visits[0].bay; }));
    CHECK(broken([](Calendar& c) { c.visits[0].first = c.as_of; }));
    CHECK(broken([](Calendar& c) { c.weeks[0].booked += 1; }));
    CHECK(broken([](Calendar& c) { c.bound = c.moving_cost + 1; }));
    // Each in the words of its own fault.
    const auto work = std::find_if(good.visits.begin(), good.visits.end(), [](const Visit& v) { return v.kind == "work"; });
    REQUIRE(work != good.visits.end());
    const auto at = static_cast<std::size_t>(work - good.visits.begin());
    const auto told = [&](auto change, const std::string& words) {
        Calendar bad = good;
        change(bad.visits[at]);
        return faults(bad, shop).find(words) != std::string::npos;
    };
    CHECK(told([](Visit& v) { v.tasks[0].best_date = v.first - 30, v.tasks[0].moved.clear(); }, "does not say why " + work->tasks[0].joint + " is not done on its best day"));
    CHECK(told([](Visit& v) { v.tasks[0].due = v.first - 1, v.tasks[0].late = true, v.flags.clear(); }, "does not say that it is late"));
    CHECK(told([](Visit& v) { v.tasks[0].due = v.first - 1, v.tasks[0].late = false; }, "does not mark " + work->tasks[0].joint));
    const auto met = [&](Date from, Date to) { return faults(good, shop, {{work->coach, from, to, "trip", 100, ""}}).find("meets the trip from " + to_text(from)) != std::string::npos; };
    CHECK(met(work->last, work->last + 5));
    CHECK(met(work->first - 5, work->first + 1));
    CHECK_FALSE(met(work->first - 5, work->first));  // back on that day
    shop.closed = {{good.visits[0].first, good.visits[0].first + 1, "fair"}};
    shop.holidays = {good.visits[0].first};
    CHECK_FALSE(check_calendar(good, shop).empty());
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
    // No two visits share a uid, none has an empty one.
    Calendar shared = calendar;
    REQUIRE(shared.visits.size() > 1);
    shared.visits[1].uid = shared.visits[0].uid;
    CHECK(problem(shared.json_text()).field == "visits[1].uid");
    shared.visits[1].uid.clear();
    CHECK(problem(shared.json_text()).field == "visits[1].uid");
    CHECK(problem(shared.json_text()).expected == "a uid of its own");
    CHECK_THROWS_AS(year_calendar(w.fleet, 1900, sample_shop(), w.forecast, w.options), ValueError);
    CHECK_THROWS_AS(year_calendar(w.fleet, 2025, sample_shop(), w.forecast, w.options), ValueError);
    // A visit cannot end before it begins.
    Calendar backwards = calendar;
    backwards.visits[0].last = backwards.visits[0].first - 1;
    CHECK(problem(backwards.json_text()).field == "visits[0].last");
    CHECK(problem(backwards.json_text()).expected == "a day not before " + to_text(calendar.visits[0].first));
    const auto refused = [&](auto change) {
        CalendarOptions options = w.options;
        change(options);
        const auto problems = problems_of([&] { year_calendar(w.fleet, 2027, sample_shop(), w.forecast, options); });
        return problems.empty() ? std::string() : problems[0].field;
    };
    CHECK(refused([](CalendarOptions& o) { o.most_visit_hours = -1; }) == "most_visit_hours");
    CHECK(refused([](CalendarOptions& o) { o.most_visit_hours = std::nan(""); }) == "most_visit_hours");
    CHECK(refused([](CalendarOptions& o) { o.overtime_percent = 1001; }) == "overtime_percent");
    CHECK(refused([](CalendarOptions& o) { o.overtime_percent = -1; }) == "overtime_percent");
    CHECK(refused([](CalendarOptions& o) { o.season_percent = {{6, 0.0}}; }) == "season_percent");
    CHECK(refused([](CalendarOptions&) {}).empty());
}
