#include <algorithm>

#include "libseal/core/csv.hpp"
#include "libseal/core/date.hpp"
#include "libseal/core/text.hpp"
#include "core/json.hpp"
#include "support/property.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

const Date first_day = make_date(1400, 1, 1), last_day = make_date(9999, 12, 31);

rc::Gen<Date> any_day() {
    return rc::gen::map(rc::gen::inRange(first_day.days, last_day.days + 1), [](std::int32_t days) { return Date{days}; });
}

/// UTF-8 without NUL, of characters that break careless writers.
rc::Gen<std::string> any_words() {
    const auto character = rc::gen::elementOf(std::vector<std::string>{"a", "\"", "'", ",", ";", "\n", "\r\n", "\t", "=", "+", "-", "@", "\\", "{", "\xc3\xa9",
                                                                       "\xf0\x9f\x9a\x90", "1", " ", "\x7f", "\xef\xbb\xbf", "\xe2\x80\xa8"});
    return rc::gen::map(rc::gen::container<std::vector<std::string>>(character), [](const std::vector<std::string>& all) {
        std::string text;
        for (const std::string& one : all) text += one;
        return text;
    });
}

}  // namespace

TEST_CASE("dates: every day of the calendar", "[property][core]") {
    check_property("a day is written and read as itself", 500, [] {
        const Date day = *any_day();
        const YearMonthDay ymd = year_month_day(day);
        RC_ASSERT(parse_date(to_text(day)) == day);
        RC_ASSERT(make_date(ymd.year, ymd.month, ymd.day) == day);
        RC_ASSERT(day_of_year(day) == day - make_date(ymd.year, 1, 1) + 1);
        if (day < last_day) RC_ASSERT(weekday(day + 1) == (weekday(day) + 1) % 7);
    });
    check_property("months are counted from an anchor", 500, [] {
        const Date anchor = *rc::gen::suchThat(any_day(), [](Date d) { return d > make_date(1500, 1, 1) && d < make_date(9900, 1, 1); });
        const int months = *rc::gen::inRange(-1000, 1001);
        const Date then = add_months(anchor, months);
        const YearMonthDay a = year_month_day(anchor), b = year_month_day(then);
        RC_ASSERT(b.year * 12 + b.month == a.year * 12 + a.month + months);
        RC_ASSERT(b.day <= a.day);
        // A day that was cut is the last of its month.
        if (b.day < a.day) RC_ASSERT(year_month_day(then + 1).day == 1);
        RC_ASSERT(add_months(anchor, months + 1) > then);
    });
    check_property("years are added and taken back within a day", 500, [] {
        const Date day = *rc::gen::suchThat(any_day(), [](Date d) { return d > make_date(1600, 1, 1) && d < make_date(9700, 1, 1); });
        const double years = *rc::gen::inRange(-100000, 100001) / 1000.0;
        RC_ASSERT(std::abs(years_between(day, add_years(day, years)) - years) <= 0.5 / 365.25 + 1e-9);
    });
}

TEST_CASE("texts: any words go through tables and JSON", "[property][core]") {
    check_property("a record of any words is read as it was written", 300, [] {
        const auto words = *rc::gen::nonEmpty(rc::gen::container<std::vector<std::string>>(any_words()));
        const std::string line = csv_line(words);
        if (line == "\r\n" || line.starts_with("\xEF\xBB\xBF")) return;  // a blank line; a mark in front is none of the text
        CsvReader reader(line, "f.csv");
        std::vector<CsvField> record;
        RC_ASSERT(reader.next(record));
        RC_ASSERT(record.size() == words.size());
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string back = csv_text(record[i]);
            RC_ASSERT(back == words[i] || back == "'" + words[i]);
        }
        RC_ASSERT(!reader.next(record));
    });
    check_property("any words are JSON text as they were", 300, [] {
        const std::string word = *any_words();
        detail::JsonWriter out;
        out.begin_list();
        out.value(word);
        out.end_list();
        const detail::JsonDocument document(out.take(), "f.json");
        RC_ASSERT(document.root().items.at(0).text == word);
    });
    check_property("a number is written with all its bits", 500, [] {
        const double number = *rc::gen::suchThat(rc::gen::arbitrary<double>(), [](double x) { return std::isfinite(x); });
        double again = 0;
        RC_ASSERT(try_parse_number(number_text(number), again));
        RC_ASSERT(again == number);
    });
    check_property("the nearest name is the one that was mistyped", 300, [] {
        const std::vector<std::string> names{"cap_bead", "bedding", "window_frame", "self_levelling_lap", "non_sag_lap", "roof_vent"};
        const std::string name = *rc::gen::elementOf(names);
        std::string mistyped = name;
        const auto at = *rc::gen::inRange<std::size_t>(0, name.size());
        switch (*rc::gen::inRange(0, 3)) {
            case 0: mistyped.erase(at, 1); break;
            case 1: mistyped.insert(at, "q"); break;
            default: mistyped[at] = 'q';
        }
        RC_ASSERT(nearest_name(mistyped, names) == name);
    });
}
