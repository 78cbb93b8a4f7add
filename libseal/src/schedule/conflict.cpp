// What cannot be met together, and what would help: tried, not guessed.

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "libseal/schedule/explain.hpp"

namespace libseal {
namespace {

/// A problem that can be changed.
struct ShopCase {
    std::vector<Booking> bookings;
    Shop shop;
    ScheduleOptions options;
};

using Change = std::function<void(ShopCase&)>;

struct Member {
    std::string words;
    Change without;
};

struct Relaxation {
    double cost = 0;  ///< hours of somebody's time, roughly
    std::string words;
    Change with;
};

Person helper(const Shop& shop) {
    Person person{"one more person", {}, shop.open_from, shop.open_to};
    std::set<std::string> skills;
    for (const Person& other : shop.people) skills.insert(other.skills.begin(), other.skills.end());
    person.skills.assign(skills.begin(), skills.end());
    return person;
}

class Conflicts {
public:
    Conflicts(const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options)
        : full_{bookings, shop, options}, start_(start) {
        full_.options.watch = options.watch;
    }

    Conflict take() {
        if (possible(full_)) {
            result_.feasible = true;
            return result_;
        }
        smallest_set();
        helpful_changes();
        return result_;
    }

private:
    bool possible(const ShopCase& problem) {
        const Schedule found = schedule(problem.bookings, problem.shop, start_, problem.options);
        result_.schedules += std::max(1, found.tried);
        return !found.steps.empty();
    }

    /// What may be taken out, the shop's own settings first so that promises to people stay in the list.
    std::vector<Member> members() const {
        std::vector<Member> all;
        const Shop& shop = full_.shop;
        if (!full_.options.weather.empty()) all.push_back({"the weather", [](ShopCase& p) { p.options.weather.clear(); }});
        for (const auto& [gate, spans] : full_.options.open_hours)
            all.push_back({"the hours in which \"" + gate + "\" is possible", [name = gate](ShopCase& p) {
                               p.options.open_hours[name] = {{std::numeric_limits<Minute>::min() / 4, std::numeric_limits<Minute>::max() / 4}};
                           }});
        if (shop.sealing_months.size() < 12 && !shop.heated_bay)
            all.push_back({"the months with sealing", [](ShopCase& p) { p.shop.sealing_months = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}; }});
        for (std::size_t i = 0; i < shop.closed.size(); ++i)
            all.push_back({"no sealing from " + to_text(shop.closed[i].from) + " to " + to_text(shop.closed[i].to) + ": " + shop.closed[i].reason,
                           [i](ShopCase& p) { p.shop.closed[i].from = Date{0}, p.shop.closed[i].to = Date{1}; }});
        if (!shop.holidays.empty() || !shop.holiday_rules.empty())
            all.push_back({"the holidays", [](ShopCase& p) { p.shop.holidays.clear(), p.shop.holiday_rules.clear(); }});
        all.push_back({"the " + std::to_string(shop.ladders) + " ladder sets", [](ShopCase& p) { p.shop.ladders += 99; }});
        all.push_back({"the " + std::to_string(shop.platforms) + " platform sets", [](ShopCase& p) { p.shop.platforms += 99; }});
        all.push_back({"the " + std::to_string(bays_of(shop).size()) + " bays", [](ShopCase& p) {
                           auto bays = bays_of(p.shop);
                           const Bay like = bays.front();
                           for (std::size_t i = 0; i < p.bookings.size(); ++i) bays.push_back({like.id + " again " + std::to_string(i), like.roofed, like.heated});
                           p.shop.bay_list = bays;
                           for (Booking& booking : p.bookings) booking.bay = -1;
                       }});
        all.push_back({"the hours of work", [](ShopCase& p) {
                           p.shop.open_from = 0, p.shop.open_to = 1440, p.shop.break_from = p.shop.break_to = 0;
                           p.shop.working_days.fill(true);
                           for (Person& person : p.shop.people) person.from = 0, person.to = 1440;
                       }});
        all.push_back({"the " + std::to_string(shop.people.size()) + " people and their skills", [](ShopCase& p) {
                           for (int i = 0; i < 12; ++i) p.shop.people.push_back(helper(p.shop)), p.shop.people.back().id += " " + std::to_string(i);
                       }});
        for (std::size_t i = 0; i < shop.absences.size(); ++i)
            all.push_back({shop.absences[i].person + " away from " + time_text(shop.absences[i].from) + " to " + time_text(shop.absences[i].to) +
                               (shop.absences[i].reason.empty() ? "" : " (" + shop.absences[i].reason + ")"),
                           [i](ShopCase& p) { p.shop.absences[i].from = 0, p.shop.absences[i].to = 1; }});
        std::set<std::string> rules;
        for (const Booking& booking : full_.bookings)
            for (const Edge& edge : booking.plan.edges)
                if (std::isfinite(edge.longest)) rules.insert(edge.rule);
        for (const auto& rule : rules) all.push_back({"longest waits of the rule " + rule, without_longest(rule)});
        for (std::size_t b = 0; b < full_.bookings.size(); ++b)
            if (full_.bookings[b].latest > 0)
                all.push_back({"coach " + full_.bookings[b].plan.coach + " done by " + time_text(full_.bookings[b].latest), [b](ShopCase& p) { p.bookings[b].latest = 0; }});
        return all;
    }

    static Change without_longest(const std::string& rule) {
        return [rule](ShopCase& p) {
            for (Booking& booking : p.bookings)
                for (Edge& edge : booking.plan.edges)
                    if (edge.rule == rule) edge.longest = std::numeric_limits<double>::infinity();
        };
    }

    void smallest_set() {
        ShopCase rest = full_;
        for (const Member& member : members()) {
            ShopCase less = rest;
            member.without(less);
            if (possible(less)) result_.members.push_back(member.words);
            else rest = std::move(less);  // it stands in the way without this one, too
        }
    }

    std::vector<Relaxation> relaxations() const {
        std::vector<Relaxation> all;
        const Shop& shop = full_.shop;
        for (std::size_t b = 0; b < full_.bookings.size(); ++b)
            if (full_.bookings[b].latest > 0)
                for (const int later : {1, 2, 4, 8, 24, 48, 96, 168, 336})
                    all.push_back({later * 0.9, "coach " + full_.bookings[b].plan.coach + " done " + (later < 24 ? std::to_string(later) + " h" : std::to_string(later / 24) + " days") + " later",
                                   [b, later](ShopCase& p) { p.bookings[b].latest += later * 60; }});
        // One more hour on one of the first working days, then two.
        int days = 0;
        for (Date day = start_; days < 10 && day < start_ + 30; day = day + 1) {
            if (!works_on(shop, day)) continue;
            ++days;
            for (const int hours : {1, 2})
                all.push_back({static_cast<double>(hours) * static_cast<double>(shop.people.size()),
                               std::string(hours == 1 ? "one more hour" : "two more hours") + " on " + to_text(day), [day, hours](ShopCase& p) {
                                   for (const Person& person : p.shop.people) {
                                       const Minute from = minute_of(day, std::min(person.to, p.shop.open_to));
                                       p.shop.overtime.push_back({person.id, from, from + hours * 60});
                                   }
                               }});
        }
        all.push_back({4, "one more ladder set", [](ShopCase& p) { ++p.shop.ladders; }});
        all.push_back({5, "one more platform set", [](ShopCase& p) { ++p.shop.platforms; }});
        for (std::size_t i = 0; i < shop.absences.size(); ++i)
            all.push_back({static_cast<double>(shop.absences[i].to - shop.absences[i].from) / 180.0, shop.absences[i].person + " not away from " + time_text(shop.absences[i].from),
                           [i](ShopCase& p) { p.shop.absences[i].from = 0, p.shop.absences[i].to = 1; }});
        if (!shop.working_days[5])
            all.push_back({8.0 * static_cast<double>(shop.people.size()), "work on Saturdays", [](ShopCase& p) { p.shop.working_days[5] = true; }});
        std::set<std::string> rules;
        for (const Booking& booking : full_.bookings)
            for (const Edge& edge : booking.plan.edges)
                if (std::isfinite(edge.longest)) rules.insert(edge.rule);
        for (const auto& rule : rules) all.push_back({30, "no longest wait for the rule " + rule, without_longest(rule)});
        all.push_back({40, "one more person with every skill", [](ShopCase& p) { p.shop.people.push_back(helper(p.shop)); }});
        all.push_back({60, "a heated bay", [](ShopCase& p) {
                           auto bays = bays_of(p.shop);
                           for (Bay& bay : bays) bay.heated = bay.roofed = true;
                           p.shop.bay_list = bays;
                           p.shop.heated_bay = true;
                       }});
        all.push_back({80, "one more bay", [](ShopCase& p) {
                           auto bays = bays_of(p.shop);
                           bays.push_back({"one more bay", bays.front().roofed, bays.front().heated});
                           p.shop.bay_list = bays;
                       }});
        std::stable_sort(all.begin(), all.end(), [](const Relaxation& a, const Relaxation& b) { return a.cost < b.cost; });
        return all;
    }

    void helpful_changes() {
        std::set<std::string> helped;  // the smallest extension of each kind is enough
        for (const Relaxation& relaxation : relaxations()) {
            const std::string kind = relaxation.words.substr(0, relaxation.words.find(" done "));
            if (result_.relaxations.size() >= 6 || helped.count(kind)) continue;
            ShopCase eased = full_;
            relaxation.with(eased);
            if (!possible(eased)) continue;
            helped.insert(kind);
            result_.relaxations.push_back(relaxation.words);
        }
    }

    ShopCase full_;
    Date start_;
    Conflict result_;
};

}  // namespace

Conflict explain_conflict(const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options) {
    return Conflicts(bookings, shop, start, options).take();
}

}  // namespace libseal
