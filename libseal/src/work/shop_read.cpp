// Shops from and to JSON, schema libseal/shop/1.

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "core/json.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/holidays.hpp"
#include "libseal/work/shop.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

using detail::JsonView;
using detail::money;

const std::vector<std::string>& day_names() {
    static const std::vector<std::string> names{"monday", "tuesday",  "wednesday", "thursday",
                                                "friday", "saturday", "sunday"};
    return names;
}

/// "08:30" in minutes after midnight; "24:00" is the end of the day.
int clock(const JsonView& view, int fallback) {
    if (!view.present()) return fallback;
    const std::string text = view.text();
    const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    if (text.size() == 5 && text[2] == ':' && digit(0) && digit(1) && digit(3) && digit(4)) {
        const int hour = (text[0] - '0') * 10 + (text[1] - '0');
        const int minute = (text[3] - '0') * 10 + (text[4] - '0');
        if (minute < 60 && hour * 60 + minute <= 1440) return hour * 60 + minute;
    }
    if (!text.empty()) view.fail("a time such as \"08:30\"", view.shown());
    return fallback;
}

std::string clock_text(int minute) {
    const std::string hours = std::to_string(minute / 60), rest = std::to_string(minute % 60);
    return (hours.size() < 2 ? "0" : "") + hours + ":" + (rest.size() < 2 ? "0" : "") + rest;
}

std::vector<Person> people(const JsonView& list, const Shop& shop) {
    std::vector<Person> result;
    for (const JsonView& view : list.items(limits::shop_people)) {
        view.check_keys({"id", "skills", "from", "to"});
        Person person;
        person.id = view.required("id").text();
        for (const JsonView& skill : view.member("skills").items(limits::shop_people)) person.skills.push_back(skill.text());
        person.from = clock(view.member("from"), shop.open_from);
        person.to = clock(view.member("to"), shop.open_to);
        if (person.from >= person.to)
            view.fail("a shift that begins before it ends",
                      clock_text(person.from) + " to " + clock_text(person.to));
        for (const Person& other : result)
            if (other.id == person.id)
                view.member("id").fail("an id of its own", "\"" + person.id + "\" again");
        result.push_back(std::move(person));
    }
    return result;
}

void hours(const JsonView& view, Shop& shop) {
    if (!view.present()) return;
    view.check_keys({"from", "to", "break_from", "break_to"});
    shop.open_from = clock(view.required("from"), shop.open_from);
    shop.open_to = clock(view.required("to"), shop.open_to);
    if (view.member("break_from").present() != view.member("break_to").present())
        view.fail("both break_from and break_to", "one of them");
    const bool pause = view.member("break_from").present();
    shop.break_from = pause ? clock(view.member("break_from"), shop.break_from) : shop.open_from;
    shop.break_to = pause ? clock(view.member("break_to"), shop.break_to) : shop.open_from;
    if (shop.open_from >= shop.open_to)
        view.fail("opening before closing", clock_text(shop.open_from) + " to " + clock_text(shop.open_to));
    if (shop.break_from > shop.break_to)
        view.member("break_to").fail("a break that begins before it ends", clock_text(shop.break_to));
}

void days(const JsonView& root, Shop& shop) {
    if (const JsonView list = root.member("working_days"); list.present()) {
        shop.working_days.fill(false);
        for (const JsonView& view : list.items(7)) {
            const std::string name = view.word(day_names(), day_names()[0]);
            shop.working_days[static_cast<std::size_t>(
                std::find(day_names().begin(), day_names().end(), name) - day_names().begin())] = true;
        }
        if (std::none_of(shop.working_days.begin(), shop.working_days.end(), [](bool on) { return on; }))
            list.fail("at least one day", list.shown());
    }
    for (const JsonView& view : root.member("holidays").items(limits::shop_days)) shop.holidays.push_back(view.date(Date{}));
    std::sort(shop.holidays.begin(), shop.holidays.end());
    shop.holidays.erase(std::unique(shop.holidays.begin(), shop.holidays.end()), shop.holidays.end());
    for (const JsonView& view : root.member("closed").items(limits::shop_days)) {
        view.check_keys({"from", "to", "reason"});
        ClosedSpan span;
        span.from = view.required("from").date(Date{});
        span.to = view.required("to").date(Date{1});
        span.reason = view.member("reason").text();
        if (span.from >= span.to && view.member("to").present())
            view.member("to").fail("the day after the last, later than " + to_text(span.from),
                                   view.member("to").shown());
        shop.closed.push_back(span);
    }
    if (const JsonView list = root.member("sealing_months"); list.present()) {
        shop.sealing_months.clear();
        for (const JsonView& view : list.items(12))
            shop.sealing_months.push_back(static_cast<int>(view.integer(1, 12, 1)));
        std::sort(shop.sealing_months.begin(), shop.sealing_months.end());
        shop.sealing_months.erase(std::unique(shop.sealing_months.begin(), shop.sealing_months.end()),
                                  shop.sealing_months.end());
    }
    shop.heated_bay = root.member("heated_bay").boolean(false);
}

void prices(const JsonView& root, Shop& shop) {
    shop.currency = root.member("currency").text(shop.currency);
    if (shop.currency.size() != 3 ||
        !std::all_of(shop.currency.begin(), shop.currency.end(), [](char c) { return c >= 'A' && c <= 'Z'; }))
        root.member("currency").fail("three capital letters", root.member("currency").shown());
    shop.labour_rate_per_h = money(root.required("labour_rate_per_h"), 0, shop.currency);
    shop.tax_percent = root.member("tax_percent").number(0, 100, 0);
    shop.minimum_charge = money(root.member("minimum_charge"), 0, shop.currency);
    shop.waste_percent = root.member("waste_percent").number(0, 100, shop.waste_percent);
    for (const auto& [family, view] : root.member("package_price").members())
        shop.package_price[family] = money(view, 0, shop.currency);
    detail::read_billing(root.member("billing"), shop);
}

std::string moment_text(std::int64_t t) {
    const auto day = static_cast<std::int32_t>(t >= 0 ? t / 1440 : -((1439 - t) / 1440));
    return to_text(Date{day}) + " " + clock_text(static_cast<int>(t - std::int64_t{day} * 1440));
}

/// Person, beginning and end of an absence or of overtime.
template <class Time>
Time person_time(const JsonView& view, const Shop& shop) {
    Time time;
    time.person = view.required("person").text();
    if (!time.person.empty() && std::none_of(shop.people.begin(), shop.people.end(),
                                             [&](const Person& one) { return one.id == time.person; }))
        view.member("person").fail("the id of somebody of the shop", view.member("person").shown());
    time.from = view.required("from").moment(0);
    time.to = view.required("to").moment(time.from + 1);
    if (time.from >= time.to && view.member("to").present())
        view.member("to").fail("a time after " + moment_text(time.from), view.member("to").shown());
    return time;
}

void places(const JsonView& root, Shop& shop) {
    for (const JsonView& view : root.member("bay_list").items(limits::shop_bays)) {
        view.check_keys({"id", "roofed", "heated"});
        Bay bay;
        bay.id = view.required("id").text();
        bay.heated = view.member("heated").boolean(false);
        bay.roofed = view.member("roofed").boolean(true);
        if (bay.heated && !bay.roofed) view.member("roofed").fail("true for a heated bay", "false");
        for (const Bay& other : shop.bay_list)
            if (other.id == bay.id) view.member("id").fail("an id of its own", "\"" + bay.id + "\" again");
        shop.bay_list.push_back(bay);
    }
    shop.ladders = static_cast<int>(root.member("ladders").integer(0, 1000, shop.ladders));
    shop.platforms = static_cast<int>(root.member("platforms").integer(0, 1000, shop.platforms));
    for (const JsonView& view : root.member("absences").items(limits::shop_days)) {
        view.check_keys({"person", "from", "to", "reason"});
        Absence absence = person_time<Absence>(view, shop);
        absence.reason = view.member("reason").text();
        shop.absences.push_back(absence);
    }
    for (const JsonView& view : root.member("overtime").items(limits::shop_days)) {
        view.check_keys({"person", "from", "to"});
        const Overtime overtime = person_time<Overtime>(view, shop);
        if (moment_text(overtime.from).substr(0, 10) != moment_text(overtime.to - 1).substr(0, 10))
            view.member("to").fail("an end on the same day", view.member("to").shown());
        shop.overtime.push_back(overtime);
    }
    for (const JsonView& view : root.member("holiday_rules").items(limits::holiday_rules))
        shop.holiday_rules.push_back(view.word(holiday_rule_names(), holiday_rule_names()[0]));
}

template <class Time>
void write_person_time(detail::JsonWriter& out, const Time& time) {
    out.member("person", time.person);
    out.member("from", moment_text(time.from));
    out.member("to", moment_text(time.to));
}

void write_places(detail::JsonWriter& out, const Shop& shop) {
    out.key("bay_list");
    out.begin_list();
    for (const Bay& bay : shop.bay_list) {
        out.begin_object();
        out.member("id", bay.id);
        out.member("roofed", bay.roofed);
        out.member("heated", bay.heated);
        out.end_object();
    }
    out.end_list();
    out.member("ladders", shop.ladders);
    out.member("platforms", shop.platforms);
    out.key("absences");
    out.begin_list();
    for (const Absence& absence : shop.absences) {
        out.begin_object();
        write_person_time(out, absence);
        out.member("reason", absence.reason);
        out.end_object();
    }
    out.end_list();
    out.key("overtime");
    out.begin_list();
    for (const Overtime& overtime : shop.overtime) {
        out.begin_object();
        write_person_time(out, overtime);
        out.end_object();
    }
    out.end_list();
    out.key("holiday_rules");
    out.begin_list();
    for (const auto& name : shop.holiday_rules) out.value(name);
    out.end_list();
}

void write_days(detail::JsonWriter& out, const Shop& shop) {
    out.key("working_days");
    out.begin_list();
    for (std::size_t i = 0; i < 7; ++i)
        if (shop.working_days[i]) out.value(day_names()[i]);
    out.end_list();
    out.key("hours");
    out.begin_object();
    out.member("from", clock_text(shop.open_from));
    out.member("to", clock_text(shop.open_to));
    if (shop.break_from != shop.break_to) {
        out.member("break_from", clock_text(shop.break_from));
        out.member("break_to", clock_text(shop.break_to));
    }
    out.end_object();
    out.key("holidays");
    out.begin_list();
    for (const Date day : shop.holidays) out.value(to_text(day));
    out.end_list();
    out.key("closed");
    out.begin_list();
    for (const ClosedSpan& span : shop.closed) {
        out.begin_object();
        out.member("from", to_text(span.from));
        out.member("to", to_text(span.to));
        out.member("reason", span.reason);
        out.end_object();
    }
    out.end_list();
    out.key("sealing_months");
    out.begin_list();
    for (const int month : shop.sealing_months) out.value(month);
    out.end_list();
    out.member("heated_bay", shop.heated_bay);
}

}  // namespace

Shop read_shop_text(std::string_view text, const std::string& name) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    Shop shop;
    if (root.check_schema("libseal/shop/1")) {
        root.check_keys({"schema",
                         "name",
                         "place",
                         "currency",
                         "labour_rate_per_h",
                         "tax_percent",
                         "minimum_charge",
                         "waste_percent",
                         "package_price",
                         "billing",
                         "people",
                         "bays",
                         "bay_list",
                         "ladders",
                         "platforms",
                         "absences",
                         "overtime",
                         "holiday_rules",
                         "working_days",
                         "hours",
                         "holidays",
                         "closed",
                         "visit_setup_minutes",
                         "sealing_months",
                         "heated_bay",
                         "bay_temperature_c",
                         "catalogue"});
        shop.name = root.required("name").text();
        shop.place = root.member("place").text();
        prices(root, shop);
        hours(root.member("hours"), shop);
        shop.people = people(root.required("people"), shop);
        shop.bays = static_cast<int>(root.member("bays").integer(1, 1000, 1));
        places(root, shop);
        days(root, shop);
        shop.visit_setup_minutes =
            root.member("visit_setup_minutes").number(0, 1440, shop.visit_setup_minutes);
        shop.bay_temperature = root.member("bay_temperature_c").number(-40, 60, shop.bay_temperature);
        shop.catalogue = root.member("catalogue").text();
        if (problems.empty() && shop.people.empty())
            root.member("people").fail("at least one person", "an empty list");
    }
    problems.throw_if_any();
    check_shop(shop);
    return shop;
}

Shop read_shop(const std::string& path) {
    Shop shop = read_shop_text(read_text_file(path), path);
    // A path in a file is meant from where the file lies.
    if (!shop.catalogue.empty() && std::filesystem::path(shop.catalogue).is_relative())
        shop.catalogue =
            (std::filesystem::path(path).parent_path() / shop.catalogue).lexically_normal().string();
    return shop;
}

std::string shop_json(const Shop& shop) {
    const auto amount = [&](Money minor) { return detail::in_units(minor, shop.currency); };
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/shop/1");
    out.member("name", shop.name);
    out.member("place", shop.place);
    out.member("currency", shop.currency);
    out.member("labour_rate_per_h", amount(shop.labour_rate_per_h));
    out.member("tax_percent", shop.tax_percent);
    out.member("minimum_charge", amount(shop.minimum_charge));
    if (!std::isnan(shop.waste_percent)) out.member("waste_percent", shop.waste_percent);
    out.key("package_price");
    out.begin_object();
    for (const auto& [family, price] : shop.package_price) out.key(family), out.value(amount(price));
    out.end_object();
    detail::write_billing(out, shop);
    out.key("people");
    out.begin_list();
    for (const Person& person : shop.people) {
        out.begin_object();
        out.member("id", person.id);
        out.key("skills");
        out.begin_list();
        for (const auto& skill : person.skills) out.value(skill);
        out.end_list();
        out.member("from", clock_text(person.from));
        out.member("to", clock_text(person.to));
        out.end_object();
    }
    out.end_list();
    out.member("bays", shop.bays);
    write_places(out, shop);
    write_days(out, shop);
    if (!std::isnan(shop.visit_setup_minutes))
        out.member("visit_setup_minutes", shop.visit_setup_minutes);
    out.member("bay_temperature_c", shop.bay_temperature);
    if (!shop.catalogue.empty()) out.member("catalogue", shop.catalogue);
    out.end_object();
    return out.take();
}

}  // namespace libseal
