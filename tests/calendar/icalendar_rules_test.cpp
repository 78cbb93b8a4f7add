// Rules of RFC 5545 one by one: what each allows beside what it forbids.

#include <string>
#include <vector>

#include "calendar/icalendar_values.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/core/error.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

const std::string zone =
    "BEGIN:VTIMEZONE\r\nTZID:A\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n";
const std::string day = "DTSTART;VALUE=DATE:20070628", utc = "DTSTART:20070628T080000Z", local = "DTSTART:20070628T080000", zoned = "DTSTART;TZID=A:20070628T080000";

std::string calendar(const std::string& components, const std::string& head = "") {
    return "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A//B//EN\r\n" + head + zone + components + "END:VCALENDAR\r\n";
}

std::string component(const std::string& kind, const std::vector<std::string>& lines, const std::string& uid = "u") {
    std::string text = "BEGIN:" + kind + "\r\nUID:" + uid + "\r\nDTSTAMP:20070423T000000Z\r\n";
    for (const std::string& line : lines) text += line.size() > 75 && line.find('\n') == std::string::npos ? icalendar_folded(line) : line + "\r\n";
    return text + "END:" + kind + "\r\n";
}

std::string event(const std::vector<std::string>& lines) { return calendar(component("VEVENT", lines)); }
std::string to_do(const std::vector<std::string>& lines) { return calendar(component("VTODO", lines)); }

/// What the only fault expects; all faults if there are several.
std::string fault(const std::string& text) {
    const auto problems = check_icalendar(text);
    if (problems.size() == 1) return problems[0].expected;
    std::string several = std::to_string(problems.size()) + " faults: ";
    for (const Problem& problem : problems) several += to_text(problem) + "\n";
    return several;
}

/// The file has one fault, told in these words.
void tells(const std::string& text, const std::string& words) {
    const std::string told = fault(text);
    INFO(told);
    CHECK(told.find(words) != std::string::npos);
    CHECK(told.find(" faults: ") == std::string::npos);
}

}  // namespace

TEST_CASE("rules of recurrence: the standard's examples pass, each forbidden part is named", "[calendar][published]") {
    // RFC 5545, 3.8.5.3: examples of a series in a time zone.
    for (const char* rule :
         {"FREQ=DAILY;COUNT=10", "FREQ=DAILY;UNTIL=19971224T000000Z", "FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA",
          "FREQ=WEEKLY;INTERVAL=2;WKST=SU", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", "FREQ=MONTHLY;BYMONTHDAY=-3", "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
          "FREQ=YEARLY;BYDAY=20MO", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", "FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T170000Z",
          "FREQ=DAILY;BYHOUR=9,10,11,12,13,14,15,16;BYMINUTE=0,20,40", "FREQ=MINUTELY;INTERVAL=20;BYHOUR=9,10,11,12,13,14,15,16"}) {
        INFO(rule);
        CHECK(check_icalendar(event({zoned, "RRULE:" + std::string(rule)})).empty());
    }
    CHECK(check_icalendar(event({zoned, "RRULE:freq=yearly;byday=+1mo"})).empty());  // 3.3.10: signs; 2: letters of either size
    const std::vector<std::pair<std::string, std::string>> bad{
        {"FREQ=FORTNIGHTLY", "SECONDLY, MINUTELY"}, {"FREQ=YEARLY;BYEASTER=1", "a part of a rule that the standard knows"}, {"FREQ=YEARLY;COUNT", "NAME=value"},
        {"FREQ=DAILY;INTERVAL=0", "a whole number above zero"}, {"FREQ=DAILY;BYSECOND=61", "numbers from 0 to 60"}, {"FREQ=DAILY;BYMINUTE=60", "numbers from 0 to 59"},
        {"FREQ=DAILY;BYHOUR=24", "numbers from 0 to 23"}, {"FREQ=DAILY;BYHOUR=-1", "numbers from 0 to 23"}, {"FREQ=MONTHLY;BYMONTHDAY=0", "numbers from 1 to 31"},
        {"FREQ=MONTHLY;BYMONTHDAY=-32", "numbers from 1 to 31"}, {"FREQ=YEARLY;BYYEARDAY=367", "numbers from 1 to 366"}, {"FREQ=YEARLY;BYWEEKNO=54", "numbers from 1 to 53"},
        {"FREQ=YEARLY;BYDAY=54MO", "weekdays such as"}, {"FREQ=YEARLY;BYDAY=M", "weekdays such as"}, {"FREQ=YEARLY;BYDAY=1XX", "weekdays such as"},
        {"FREQ=WEEKLY;WKST=XX", "a weekday such as MO"}, {"FREQ=DAILY;UNTIL=tomorrow", "a day or a time"}, {"FREQ=YEARLY;BYWEEKNO=20;BYDAY=1MO", "BYDAY without numbers"},
        {"FREQ=WEEKLY;BYMONTHDAY=1", "no BYMONTHDAY with WEEKLY"}, {"FREQ=DAILY;BYYEARDAY=1", "no BYYEARDAY with DAILY"}, {"FREQ=WEEKLY;BYYEARDAY=1", "no BYYEARDAY with WEEKLY"},
        {"FREQ=MONTHLY;BYYEARDAY=1", "no BYYEARDAY with MONTHLY"}, {"FREQ=MONTHLY;BYWEEKNO=20", "BYWEEKNO only with YEARLY"}, {"FREQ=YEARLY;UNTIL=20300628", "UNTIL as a time"}};
    for (const auto& [rule, words] : bad) {
        INFO(rule);
        tells(event({zoned, "RRULE:" + rule}), words);
    }
}

TEST_CASE("a rule ends in the kind of time that it begins with", "[calendar]") {
    // RFC 5545, 3.3.10, UNTIL: local beside local time; in UTC beside UTC, beside a time with a zone, and always within a zone.
    const std::string ends_utc = "RRULE:FREQ=DAILY;UNTIL=20070801T080000Z", ends_local = "RRULE:FREQ=DAILY;UNTIL=20070801T080000";
    CHECK(check_icalendar(event({utc, ends_utc})).empty());
    CHECK(check_icalendar(event({zoned, ends_utc})).empty());
    CHECK(check_icalendar(event({local, ends_local})).empty());
    CHECK(check_icalendar(event({day, "RRULE:FREQ=DAILY;UNTIL=20070801"})).empty());
    tells(event({utc, ends_local}), "UNTIL in UTC, like DTSTART");
    tells(event({zoned, ends_local}), "UNTIL in UTC");
    tells(event({local, ends_utc}), "UNTIL as a local time, like DTSTART");
    tells(event({day, ends_utc}), "UNTIL as a day, like DTSTART");
    const auto summer = [](const std::string& until) {
        return calendar("BEGIN:VTIMEZONE\r\nTZID:B\r\nBEGIN:DAYLIGHT\r\nDTSTART:20070311T020000\r\nRRULE:FREQ=YEARLY;BYDAY=2SU;BYMONTH=3;UNTIL=" + until +
                        "\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\nEND:DAYLIGHT\r\nEND:VTIMEZONE\r\n" + component("VEVENT", {day}));
    };
    CHECK(check_icalendar(summer("20100314T070000Z")).empty());
    tells(summer("20100314T020000"), "UNTIL in UTC");
}

TEST_CASE("an end stands in the kind of time that its beginning does, and after it", "[calendar]") {
    // RFC 5545, 3.8.2.2: without a zone if and only if DTSTART is.
    CHECK(check_icalendar(event({zoned, "DTEND;TZID=A:20070628T090000"})).empty());
    CHECK(check_icalendar(event({zoned, "DTEND:20070628T090000Z"})).empty());
    CHECK(check_icalendar(event({utc, "DTEND;TZID=A:20070628T120000"})).empty());
    CHECK(check_icalendar(event({local, "DTEND:20070628T090000"})).empty());
    tells(event({zoned, "DTEND:20070628T090000"}), "a time with TZID or in UTC, like DTSTART");
    tells(event({utc, "DTEND:20070628T090000"}), "a time in UTC, like DTSTART");
    tells(event({local, "DTEND;TZID=A:20070628T090000"}), "a local time, like DTSTART");
    tells(event({zoned, "DTEND;TZID=A:20070628T080000"}), "an end after DTSTART");
    tells(event({utc, "DTEND:20070628T075959Z"}), "an end after DTSTART");
    tells(to_do({utc, "DUE;VALUE=DATE:20070630"}), "the type of value that DTSTART has (RFC 5545, 3.8.2.3)");
    // 3.8.2.5: durations of entries are above zero, those of days are of days.
    CHECK(check_icalendar(event({day, "DURATION:P2W"})).empty());
    tells(event({utc, "DURATION:PT0S"}), "a duration above zero");
    tells(event({day, "DURATION:P1DT1H"}), "days or weeks");
    tells(to_do({"DUE:20070630T080000Z", utc, "DURATION:PT1H"}), "DUE or DURATION, not both");
}

TEST_CASE("durations, offsets and times are those of the grammar alone", "[calendar][published]") {
    // RFC 5545, 3.3.6: 15 days, 5 hours, 20 seconds, and 7 weeks; 15 x 86400 + 5 x 3600 + 20 s.
    const auto seconds = [](const char* text) {
        const auto duration = detail::icalendar_duration(text);
        REQUIRE(duration.valid);
        return (duration.negative ? -1 : 1) * duration.seconds;
    };
    CHECK(seconds("P15DT5H0M20S") == 1314020);
    CHECK(seconds("P7W") == 7 * 604800);
    CHECK(seconds("-PT15M") == -900);
    CHECK(seconds("+P1DT1S") == 86401);
    CHECK(seconds("PT1H1M1S") == 3661);
    for (const char* text : {"", "P", "PT", "P1", "P1DT", "P1M", "PT1D", "PT1H1S", "P1DT1H1S", "P1WT1H", "P1W1D", "P1D1D", "PT1S1H", "1D", "P-1D", "PT1H1M1S1S", "PT5", "PTH", "p1d", "P1D "}) {
        INFO(text);
        CHECK_FALSE(detail::icalendar_duration(text).valid);
    }
    // 3.3.14: -0500, +0100; -0000 and -000000 are forbidden.
    for (const char* text : {"-0500", "+0100", "+0000", "-0001", "+235959", "-000001"}) CHECK(detail::utc_offset(text));
    for (const char* text : {"-0000", "-000000", "0100", "+01", "+01000", "+2400", "+0060", "+010060", "+01:00", "*0100"}) {
        INFO(text);
        CHECK_FALSE(detail::utc_offset(text));
    }
    // 3.3.12: seconds to 60 for leap seconds.
    CHECK(detail::icalendar_time("19970630T235960Z").kind == detail::IcalendarTime::Kind::utc);
    for (const char* text : {"19970630T240000Z", "19970630T236000Z", "19970630T235961Z", "19970630T2359", "19970630 235900", "19970630T235900X", "19970631T120000", "1997063"}) {
        INFO(text);
        CHECK(detail::icalendar_time(text).kind == detail::IcalendarTime::Kind::none);
    }
}

TEST_CASE("alarms hang on a beginning or an end that is there", "[calendar]") {
    const auto alarm = [](const std::vector<std::string>& lines) {
        std::string text = "BEGIN:VALARM";
        for (const std::string& line : lines) text += "\r\n" + line;
        return text + "\r\nEND:VALARM";
    };
    const std::string to_end = alarm({"ACTION:AUDIO", "TRIGGER;RELATED=END:-PT5M"}), to_start = alarm({"ACTION:AUDIO", "TRIGGER;RELATED=START:-PT5M"});
    CHECK(check_icalendar(event({day, to_end})).empty());  // 3.6.1: an event of a day ends with it
    CHECK(check_icalendar(to_do({"DUE:20070630T080000Z", to_end})).empty());
    CHECK(check_icalendar(to_do({utc, "DURATION:PT1H", to_end})).empty());
    CHECK(check_icalendar(to_do({utc, to_start})).empty());
    tells(to_do({utc, to_end}), "an end that the alarm can be related to");
    tells(to_do({"DUE:20070630T080000Z", to_start}), "DTSTART that the alarm can be related to");
    tells(event({day, alarm({"ACTION:AUDIO", "TRIGGER;RELATED=MIDDLE:-PT5M"})}), "RELATED=START or END");
    tells(event({day, alarm({"ACTION:AUDIO", "TRIGGER;VALUE=DATE-TIME;RELATED=END:20070601T080000Z"})}), "RELATED only with a duration");
    // 3.6.6: mail has a subject, a text and somebody who gets it.
    const std::string trigger = "TRIGGER:-P1D", text = "DESCRIPTION:t", subject = "SUMMARY:s", guest = "ATTENDEE:mailto:a@example.org", mail = "ACTION:EMAIL";
    CHECK(check_icalendar(event({day, alarm({mail, trigger, text, subject, guest})})).empty());
    tells(event({day, alarm({mail, trigger, text, guest})}), "SUMMARY");
    tells(event({day, alarm({mail, trigger, text, subject})}), "ATTENDEE");
    tells(event({day, alarm({mail, trigger, subject, guest})}), "DESCRIPTION");
    tells(event({day, alarm({"ACTION:AUDIO", trigger, "DURATION:PT5M"})}), "REPEAT");
    CHECK(check_icalendar(event({day, alarm({"ACTION:AUDIO", trigger, "REPEAT:2", "DURATION:PT5M"})})).empty());
}

TEST_CASE("what may stand in what, once or often, and how it may be written", "[calendar]") {
    CHECK(check_icalendar(event({day, "BEGIN:X-OWN\r\nX-A:b\r\nEND:X-OWN"})).empty());
    tells(event({day, "BEGIN:VJOURNAL\r\nUID:j\r\nDTSTAMP:20070423T000000Z\r\nEND:VJOURNAL"}), "VJOURNAL inside VCALENDAR");
    tells(calendar(component("VEVENT", {day}) + "BEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\n"), "STANDARD inside VTIMEZONE");
    tells(calendar(component("VEVENT", {day}) + calendar(component("VEVENT", {day}, "v"))), "a calendar that stands alone");
    // 3.6.1: without METHOD an event has a beginning.
    CHECK(check_icalendar(calendar(component("VEVENT", {}), "METHOD:PUBLISH\r\n")).empty());
    tells(event({}), "DTSTART");
    // 3.8.4.4: one of a series has the UID of the series.
    CHECK(check_icalendar(calendar(component("VEVENT", {day, "RRULE:FREQ=YEARLY"}) + component("VEVENT", {day, "RECURRENCE-ID;VALUE=DATE:20080628"}))).empty());
    tells(calendar(component("VEVENT", {day}) + component("VTODO", {day})), "a UID of its own");
    CHECK(check_icalendar(calendar(component("VJOURNAL", {day, "STATUS:final", "DESCRIPTION:a", "DESCRIPTION:b"}))).empty());
    tells(calendar(component("VJOURNAL", {day, "STATUS:COMPLETED"})), "one of DRAFT FINAL CANCELLED");
    tells(event({day, "DESCRIPTION:a", "DESCRIPTION:b"}), "DESCRIPTION once");
    // 3.8.5.1: lists of days; each has the type that the line says.
    CHECK(check_icalendar(event({day, "RRULE:FREQ=DAILY", "EXDATE;VALUE=DATE:20070629,20070701"})).empty());
    tells(event({day, "EXDATE;VALUE=DATE:20070629,20070631"}), "a real day as YYYYMMDD");
    tells(event({utc, "EXDATE:20070629T080000Z,20070701"}), "EXDATE;VALUE=DATE for a day");
    // 3.2.19: a zone with a slash is of a registry; any other is defined in the file.
    CHECK(check_icalendar(event({"DTSTART;TZID=/example.org/A:20070628T080000"})).empty());
    tells(event({"DTSTART;TZID=B:20070628T080000"}), "a VTIMEZONE for the zone B");
    // 3.2.20: VALUE may name the type that a property has anyway. 3.3.8: a whole number may have a sign.
    CHECK(check_icalendar(event({day, "CATEGORIES;VALUE=TEXT:a,b", "GEO;VALUE=FLOAT:37.386013;-122.082932", "CREATED;VALUE=DATE-TIME:20070423T000000Z", "PRIORITY:+5"})).empty());
    tells(event({day, "CREATED;VALUE=DATE:20070423T000000Z"}), "VALUE=DATE-TIME");
    tells(event({day, "PRIORITY:++5"}), "a whole number from 0 to 9");
    tells(to_do({"PERCENT-COMPLETE:101"}), "a whole number from 0 to 100");
    const std::string moved = calendar("BEGIN:VTIMEZONE\r\nTZID:B\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000Z\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n" +
                                       component("VEVENT", {day}));
    tells(moved, "a local time");
}

TEST_CASE("a rule that every reader reads alike is no trap", "[calendar]") {
    const auto traps = [](const std::string& start, const std::string& rule) {
        const auto found = icalendar_traps("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A//B//EN\r\nMETHOD:PUBLISH\r\n" +
                                           component("VEVENT", {"DTSTART;VALUE=DATE:" + start, "TRANSP:TRANSPARENT", "RRULE:" + rule}) + "END:VCALENDAR\r\n");
        return found.empty() ? std::string("none") : found[0].expected;
    };
    CHECK(traps("20080229", "FREQ=YEARLY") == "a day that every year has");
    CHECK(traps("20080229", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=-1") == "none");
    CHECK(traps("20080228", "FREQ=YEARLY") == "none");
    CHECK(traps("20080329", "FREQ=YEARLY") == "none");
    CHECK(traps("20080229", "FREQ=DAILY") == "none");
    CHECK(traps("20080229", "FREQ=YEARLY;BYDAY=-1FR;BYMONTH=2") == "none");  // a Friday, the last of its month
    CHECK(traps("20080129", "FREQ=MONTHLY") == "a day that every month has");
    CHECK(traps("20080128", "FREQ=MONTHLY") == "none");
    CHECK(traps("20080131", "FREQ=MONTHLY;BYMONTHDAY=-1") == "none");
    CHECK(traps("20080131", "FREQ=MONTHLY;BYDAY=-1TH") == "none");  // a Thursday
    CHECK(traps("20080115", "FREQ=MONTHLY;BYMONTHDAY=1,16") == "a DTSTART that its own rule meets");
    CHECK(traps("20080115", "FREQ=MONTHLY;BYMONTHDAY=1,15") == "none");
}
