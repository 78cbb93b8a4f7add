#include "calendar/icalendar_lines.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/core/error.hpp"

#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

std::string unfolded(std::string text) {
    for (std::size_t at; (at = text.find("\r\n ")) != std::string::npos;) text.erase(at, 3);
    return text;
}

Calendar one_visit() {
    Calendar calendar;
    calendar.year = 2007;
    calendar.as_of = make_date(2007, 4, 23);
    calendar.currency = "USD";
    calendar.closing = "Follow the instructions; ask, if in doubt.";
    Visit visit;
    visit.uid = visit_uid("work", "T1", "roof_vent_1", 1);
    visit.kind = "work";
    visit.coach = "T1";
    visit.label = "Trailer; grey, 9 m \\ \xC3\xA9t\xC3\xA9";
    visit.first = make_date(2007, 6, 28);
    visit.last = make_date(2007, 7, 8);
    visit.why = "one task\nfirst";
    visit.tasks.push_back({"roof_vent_1", "cap_bead", 1, "rebed", "self_levelling_lap", make_date(2007, 7, 8),
                           "next_service", "due", false});
    calendar.visits.push_back(visit);
    return calendar;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("an event of days ends on the day after the last, as in the standard's own example",
          "[calendar][published]") {
    // RFC 5545, section 3.6.1: festival of 28 June to 8 July 2007, DTSTART;VALUE=DATE:20070628,
    // DTEND;VALUE=DATE:20070709.
    const std::string text = one_visit().ics_text();
    CHECK(text.find("\r\nDTSTART;VALUE=DATE:20070628\r\n") != std::string::npos);
    CHECK(text.find("\r\nDTEND;VALUE=DATE:20070709\r\n") != std::string::npos);
    libseal_test::count_published("RFC 5545", 2);
    CHECK(text.find("DTSTAMP:20070423T000000Z\r\n") != std::string::npos);
    CHECK(text.find("TRANSP:TRANSPARENT\r\n") != std::string::npos);
    CHECK(text.find("TRIGGER:-P7D\r\n") != std::string::npos);
    CHECK(text.find("METHOD") == std::string::npos);
    CHECK(unfolded(text).find(
              "SUMMARY:Seal work: Trailer\\; grey\\, 9 m \\\\ \xC3\xA9t\xC3\xA9 (1 task)\r\n") !=
          std::string::npos);
    CHECK(check_icalendar(text).empty());
}

TEST_CASE("an event says why, what, how long, how dear, and what to mind", "[calendar]") {
    Calendar calendar = one_visit();
    calendar.visits[0].flags = {"bring the keys", "dog on board"};
    calendar.visits[0].cautions = {"roof: no lone work"};
    const std::string text = unfolded(calendar.ics_text());
    const std::size_t at = text.find("\r\nDESCRIPTION:Coach T1\\nWhy: one task\\nfirst\\n- roof_vent_1: rebed with self levelling lap\\, due 2007-07-08\\nPerson-hours: ");
    REQUIRE(at != std::string::npos);
    const std::string description = text.substr(at, text.find("\r\n", at + 2) - at);
    CHECK(description.ends_with("\\nNote: bring the keys\\nNote: dog on board\\nCaution: roof: no lone work\\nFollow the instructions\\; ask\\, if in doubt."));
}

TEST_CASE("text is escaped as the standard's example of an escaped text", "[calendar][published]") {
    // RFC 5545, section 3.3.11: "Project XYZ Final Review / Conference Room - 3B / Come Prepared." with \n
    // and \,
    CHECK(icalendar_escaped("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.") ==
          "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
    libseal_test::count_published("RFC 5545", 1);
    CHECK(icalendar_escaped("a;b,c\\d:e\"f") == "a\\;b\\,c\\\\d:e\"f");
}

TEST_CASE("every kind of line break in a text is written as the standard's", "[calendar]") {
    CHECK(icalendar_escaped("a\r\nb\rc\nd\xC2\x85" "e\xE2\x80\xA8" "f\xE2\x80\xA9g") == "a\\nb\\nc\\nd\\ne\\nf\\ng");
    CHECK(icalendar_escaped("\r\r\n\n") == "\\n\\n\\n");
    CHECK(icalendar_escaped("tab\tstays") == "tab\tstays");
}

TEST_CASE("what an iCalendar text cannot hold is refused by field, never dropped", "[calendar][bad_input]") {
    for (const std::string& bad : {std::string("a\0b", 3), std::string("bell\x07"), std::string("del\x7F"), std::string("\xFF"),
                                  std::string("cut \xC3"), std::string("half a pair \xED\xA0\x80")}) {
        CHECK_THROWS_AS(icalendar_escaped(bad), ValueError);
        Calendar calendar = one_visit();
        calendar.visits[0].label = bad;
        const auto field = [&] {
            try {
                calendar.ics_text();
            } catch (const ValueError& error) {
                return error.problems()[0].field;
            }
            return std::string("nothing");
        };
        CHECK(field() == "visits[0].label");
        calendar = one_visit();
        calendar.visits[0].flags = {"fine", bad};
        CHECK(field() == "visits[0].flags");
        calendar = one_visit();
        calendar.shop = bad;
        CHECK(field() == "shop");
    }
}

TEST_CASE("lines are folded by octets, never inside a character, never empty", "[calendar]") {
    CHECK(icalendar_folded(std::string(75, 'a')) == std::string(75, 'a') + "\r\n");
    CHECK(icalendar_folded(std::string(76, 'a')) == std::string(75, 'a') + "\r\n a\r\n");
    CHECK(icalendar_folded(std::string(149, 'a')) ==
          std::string(75, 'a') + "\r\n " + std::string(74, 'a') + "\r\n");
    CHECK(icalendar_folded("") == "\r\n");
    // A two-byte letter on the edge moves to the next line.
    CHECK(icalendar_folded(std::string(74, 'a') + "\xC3\xA9") == std::string(74, 'a') + "\r\n \xC3\xA9\r\n");
    RandomStream random(7);
    static const char* letters[] = {"a", "\xC3\xA9", "\xE2\x82\xAC", "\xF0\x9F\x9A\x90"};
    for (int run = 0; run < 200; ++run) {
        std::string line;
        for (std::uint64_t i = 0, n = random.below(200); i < n; ++i) line += letters[random.below(4)];
        const std::string folded = icalendar_folded("X-NAME:" + line);
        CHECK(unfolded(folded) == "X-NAME:" + line + "\r\n");
        for (std::size_t start = 0; start < folded.size();) {
            const std::size_t end = folded.find("\r\n", start);
            CHECK(end - start <= 75);
            CHECK((static_cast<unsigned char>(folded[start]) & 0xC0) != 0x80);
            start = end + 2;
        }
    }
}

TEST_CASE("a cancelled visit stays as a cancelled event without an alarm", "[calendar]") {
    Calendar calendar = one_visit();
    calendar.visits[0].cancelled = true;
    calendar.visits[0].sequence = 3;
    const std::string text = calendar.ics_text();
    CHECK(text.find("STATUS:CANCELLED\r\n") != std::string::npos);
    CHECK(text.find("SEQUENCE:3\r\n") != std::string::npos);
    CHECK(text.find("VALARM") == std::string::npos);
    CHECK(check_icalendar(text).empty());
}

TEST_CASE("a year without visits is still a valid file", "[calendar]") {
    Calendar calendar;
    calendar.year = 2027;
    calendar.as_of = make_date(2026, 11, 25);
    CHECK(check_icalendar(calendar.ics_text()).empty());
}

TEST_CASE("the checker notices each fault", "[calendar]") {
    const std::string good = one_visit().ics_text();
    REQUIRE(check_icalendar(good).empty());
    const std::string uid_line = "UID:" + one_visit().visits[0].uid + "\r\n";
    const std::string event =
        good.substr(good.find("BEGIN:VEVENT"), good.find("END:VCALENDAR") - good.find("BEGIN:VEVENT"));
    const std::vector<std::pair<std::string, std::string>> bad{
        {"line feed only", replaced(good, "VERSION:2.0\r\n", "VERSION:2.0\n")},
        {"no end of the last line", good.substr(0, good.size() - 2)},
        {"carriage return inside", replaced(good, "VERSION:2.0", "VERS\rION:2.0")},
        {"line over 75 octets", replaced(good, "TRANSP:", "X-LONG:" + std::string(70, 'x') + "\r\nTRANSP:")},
        {"empty line", replaced(good, "TRANSP:", "\r\nTRANSP:")},
        {"fold inside a character", replaced(good, "TRANSP:", "X-A:\xC3\r\n \xA9\r\nTRANSP:")},
        {"no UTF-8", replaced(good, "TRANSP:", "X-A:\xFF\r\nTRANSP:")},
        {"control character", replaced(good, "TRANSP:", "X-A:\x01\r\nTRANSP:")},
        {"no PRODID", replaced(good, "PRODID:-//libseal//calendar//EN\r\n", "")},
        {"no VERSION", replaced(good, "VERSION:2.0\r\n", "")},
        {"wrong VERSION", replaced(good, "VERSION:2.0", "VERSION:1.0")},
        {"no UID", replaced(good, uid_line, "")},
        {"two UIDs", replaced(good, uid_line, uid_line + uid_line)},
        {"a UID twice", replaced(good, "END:VCALENDAR", event + "END:VCALENDAR")},
        {"no DTSTAMP", replaced(good, "DTSTAMP:20070423T000000Z\r\n", "")},
        {"DTSTAMP without Z", replaced(good, "T000000Z", "T000000")},
        {"no DTSTART", replaced(good, "DTSTART;VALUE=DATE:20070628\r\n", "")},
        {"unpadded date", replaced(good, ":20070628", ":2007628")},
        {"no such day", replaced(good, ":20070628", ":20070631")},
        {"DATE without VALUE=DATE", replaced(good, "DTSTART;VALUE=DATE:", "DTSTART:")},
        {"time zone", replaced(good, "DTSTART;VALUE=DATE:", "DTSTART;TZID=Europe/Paris:")},
        {"DTEND on DTSTART", replaced(good, "DTEND;VALUE=DATE:20070709", "DTEND;VALUE=DATE:20070628")},
        {"DTEND and DURATION", replaced(good, "TRANSP:", "DURATION:P1D\r\nTRANSP:")},
        {"wrong TRANSP", replaced(good, "TRANSPARENT", "CLEAR")},
        {"wrong STATUS", replaced(good, "STATUS:CONFIRMED", "STATUS:DONE")},
        {"wrong SEQUENCE", replaced(good, "SEQUENCE:0", "SEQUENCE:x")},
        {"no colon", replaced(good, "TRIGGER:-P7D", "TRIGGER-P7D")},
        {"wrong TRIGGER", replaced(good, "TRIGGER:-P7D", "TRIGGER:7 days")},
        {"no TRIGGER", replaced(good, "TRIGGER:-P7D\r\n", "")},
        {"no ACTION", replaced(good, "ACTION:DISPLAY\r\n", "")},
        {"alarm without DESCRIPTION",
         replaced(good, "TRIGGER:-P7D\r\nDESCRIPTION", "TRIGGER:-P7D\r\nX-TEXT")},
        {"bare comma", replaced(good, "grey\\,", "grey,")},
        {"bare semicolon", replaced(good, "Trailer\\;", "Trailer;")},
        {"wrong escape", replaced(good, "grey\\,", "grey\\:")},
        {"byte order mark", "\xEF\xBB\xBF" + good},
        {"a URL without scheme", replaced(good, "TRANSP:", "URL:example.org\r\nTRANSP:")},
        {"an address with a blank", replaced(good, "TRANSP:", "ORGANIZER:mailto:a b@example.org\r\nTRANSP:")},
        {"two CALSCALEs", replaced(good, "CALSCALE:GREGORIAN", "CALSCALE:GREGORIAN\r\nCALSCALE:GREGORIAN")},
        {"other CALSCALE", replaced(good, "GREGORIAN", "LUNAR")},
        {"parameter without end", replaced(good, "TRANSP:", "X-A;B=\"c:d\r\nTRANSP:")},
        {"parameter without value", replaced(good, "TRANSP:", "X-A;B:d\r\nTRANSP:")},
        {"parameter twice", replaced(good, "DTSTART;VALUE=DATE", "DTSTART;VALUE=DATE;VALUE=DATE")},
        {"wrong VALUE", replaced(good, "DTSTART;VALUE=DATE", "DTSTART;VALUE=PERIOD")},
        {"a time as a DATE", replaced(good, ":20070628", ":20070628T120000")},
        {"DTEND of another type", replaced(good, "DTEND;VALUE=DATE:20070709", "DTEND:20070709T120000Z")},
        {"DTEND before DTSTART", replaced(good, "DTEND;VALUE=DATE:20070709", "DTEND;VALUE=DATE:20070601")},
        {"UTC and local ends", replaced(replaced(good, "DTEND;VALUE=DATE:20070709", "DTEND:20070709T120000Z"), "DTSTART;VALUE=DATE:20070628", "DTSTART:20070628T120000")},
        {"TZID with a time in UTC", replaced(good, "DTSTART;VALUE=DATE:20070628", "DTSTART;TZID=A:20070628T120000Z")},
        {"TZID without VTIMEZONE", replaced(good, "DTSTART;VALUE=DATE:20070628", "DTSTART;TZID=A:20070628T120000")},
        {"a zone without offsets", replaced(good, "END:VCALENDAR", "BEGIN:VTIMEZONE\r\nTZID:A\r\nEND:VTIMEZONE\r\nEND:VCALENDAR")},
        {"hours with a day", replaced(replaced(good, "DTEND;VALUE=DATE:20070709\r\n", ""), "TRANSP:", "DURATION:PT5H\r\nTRANSP:")},
        {"negative duration", replaced(replaced(good, "DTEND;VALUE=DATE:20070709\r\n", ""), "TRANSP:", "DURATION:-P1D\r\nTRANSP:")},
        {"duration of weeks and days", replaced(good, "TRIGGER:-P7D", "TRIGGER:-P1W1D")},
        {"duration of hours without T", replaced(good, "TRIGGER:-P7D", "TRIGGER:-P7H")},
        {"COUNT and UNTIL", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;COUNT=3;UNTIL=20300628\r\nTRANSP:")},
        {"UNTIL of another type", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;UNTIL=20300628T000000Z\r\nTRANSP:")},
        {"FREQ not first", replaced(good, "TRANSP:", "RRULE:COUNT=3;FREQ=YEARLY\r\nTRANSP:")},
        {"no FREQ", replaced(good, "TRANSP:", "RRULE:COUNT=3\r\nTRANSP:")},
        {"BYHOUR with a day", replaced(good, "TRANSP:", "RRULE:FREQ=DAILY;BYHOUR=8\r\nTRANSP:")},
        {"BYMINUTE with a day", replaced(good, "TRANSP:", "RRULE:FREQ=DAILY;BYMINUTE=8\r\nTRANSP:")},
        {"BYSECOND with a day", replaced(good, "TRANSP:", "RRULE:FREQ=DAILY;BYSECOND=8\r\nTRANSP:")},
        {"BYMONTH 13", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;BYMONTH=13\r\nTRANSP:")},
        {"numbered BYDAY with WEEKLY", replaced(good, "TRANSP:", "RRULE:FREQ=WEEKLY;BYDAY=1MO\r\nTRANSP:")},
        {"BYSETPOS alone", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;BYSETPOS=1\r\nTRANSP:")},
        {"COUNT of nought", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;COUNT=0\r\nTRANSP:")},
        {"a part of a rule twice", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;COUNT=1;COUNT=1\r\nTRANSP:")},
        {"two rules", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY\r\nRRULE:FREQ=DAILY\r\nTRANSP:")},
        {"REPEAT without DURATION", replaced(good, "TRIGGER:", "REPEAT:2\r\nTRIGGER:")},
        {"mail without guests", replaced(good, "ACTION:DISPLAY", "ACTION:EMAIL\r\nSUMMARY:a")},
        {"a local TRIGGER", replaced(good, "TRIGGER:-P7D", "TRIGGER;VALUE=DATE-TIME:20070601T080000")},
        {"TRIGGER before nothing", replaced(replaced(good, "TRIGGER:-P7D", "TRIGGER:-P7D"), "DTSTART;VALUE=DATE:20070628\r\n", "")},
        {"PRIORITY 10", replaced(good, "TRANSP:", "PRIORITY:10\r\nTRANSP:")},
        {"DUE in an event", replaced(good, "TRANSP:", "DUE;VALUE=DATE:20070701\r\nTRANSP:")},
        {"an address without scheme", replaced(good, "TRANSP:", "ATTENDEE:somebody\r\nTRANSP:")},
        {"bare comma in a location", replaced(good, "TRANSP:", "LOCATION:a,b\r\nTRANSP:")},
        {"to-do of a duration without beginning", replaced(good, "END:VCALENDAR", "BEGIN:VTODO\r\nUID:t\r\nDTSTAMP:20070423T000000Z\r\nDURATION:P1D\r\nEND:VTODO\r\nEND:VCALENDAR")},
        {"to-do with an event's status", replaced(good, "END:VCALENDAR", "BEGIN:VTODO\r\nUID:t\r\nDTSTAMP:20070423T000000Z\r\nSTATUS:CONFIRMED\r\nEND:VTODO\r\nEND:VCALENDAR")},
        {"to-do that is due before it begins", replaced(good, "END:VCALENDAR", "BEGIN:VTODO\r\nUID:t\r\nDTSTAMP:20070423T000000Z\r\nDTSTART;VALUE=DATE:20070502\r\nDUE;VALUE=DATE:20070501\r\nEND:VTODO\r\nEND:VCALENDAR")},
        {"empty UID", replaced(good, uid_line, "UID:\r\n")},
        {"unknown component", replaced(good, "BEGIN:VALARM", "BEGIN:VBELL")},
        {"alarm in the calendar",
         replaced(good, "END:VCALENDAR",
                  "BEGIN:VALARM\r\nACTION:AUDIO\r\nTRIGGER:-P7D\r\nEND:VALARM\r\nEND:VCALENDAR")},
        {"event never ended", replaced(good, "END:VEVENT\r\n", "")},
        {"calendar never ended", replaced(good, "END:VCALENDAR\r\n", "")},
        {"no event", replaced(good, event, "")},
        {"nothing", ""},
        {"something before", "X-A:b\r\n" + good},
        {"a continuation of nothing", " X-A:b\r\n" + good},
    };
    for (const auto& [what, text] : bad) {
        INFO(what);
        const std::vector<Problem> problems = check_icalendar(text);
        CHECK_FALSE(problems.empty());
        CHECK(problems.size() <= 4);  // one fault does not bury the file in others
        for (const Problem& problem : problems) {
            CHECK((problem.line >= 1 && problem.column >= 1));
            CHECK(problem.expected.find("(RFC 5545, 3.") != std::string::npos);
            CHECK_FALSE(problem.hint.empty());
        }
    }
}

TEST_CASE("a fault is told with its octet, its rule and what to do", "[calendar]") {
    const std::string good = one_visit().ics_text();
    const auto only = [](const std::string& text) {
        const auto problems = check_icalendar(text);
        REQUIRE(problems.size() == 1);
        return problems[0];
    };
    const Problem escape = only(replaced(good, "grey\\,", "grey,"));
    CHECK(escape.field == "VEVENT.SUMMARY");
    CHECK(escape.expected == "\\, in a text (RFC 5545, 3.3.11)");
    CHECK(escape.line == 9);
    CHECK(escape.column == 34);  // SUMMARY:Seal work: Trailer\\; grey, the comma
    CHECK(escape.hint == "put a backslash before the comma");
    CHECK(escape.context.find("SUMMARY") != std::string::npos);
    const Problem end = only(replaced(good, "VERSION:2.0\r\n", "VERSION:2.0\n"));
    CHECK(end.line == 2);
    CHECK(end.column == 12);
    // Behind a fold the place is that of the physical line.
    const Problem folded = only(replaced(good, "TRANSP:", "LOCATION:" + std::string(66, 'x') + "\r\n yy;\r\nTRANSP:"));
    CHECK(folded.column == 4);
    CHECK(folded.field == "VEVENT.LOCATION");
}

TEST_CASE("a quoted parameter may hold what else would end it", "[calendar]") {
    // RFC 5545, 3.2: a quoted value may hold COLON, SEMICOLON and COMMA; several stand apart by commas.
    const std::string good = one_visit().ics_text();
    const auto with = [&](const std::string& line) { return replaced(good, "TRANSP:", line + "\r\nTRANSP:"); };
    CHECK(check_icalendar(with("ATTENDEE;CN=\"Doe, J; seals: all\":mailto:j@example.org")).empty());
    CHECK(check_icalendar(with("ATTENDEE;MEMBER=\"mailto:a@x.org\",\"mailto:b@x.org\":mailto:j@x.org")).empty());
    CHECK(check_icalendar(with("X-A;B=\"\":c")).empty());
    CHECK_FALSE(check_icalendar(with("X-A;B=c\"d\":e")).empty());   // a quote within
    CHECK_FALSE(check_icalendar(with("X-A;B=\"c\"d:e")).empty());   // something behind it
    detail::IcalendarFaults faults("");
    const auto lines = detail::icalendar_lines("X-A;B=\"c;d:e\",f;G=h:i\r\n", faults);
    REQUIRE(lines.size() == 1);
    REQUIRE(lines[0].parameters.size() == 2);
    CHECK(lines[0].parameters[0].values == std::vector<std::string>{"c;d:e", "f"});
    CHECK(lines[0].value == "i");
}

TEST_CASE("what only importers mind is a trap, not a fault", "[calendar]") {
    const std::string good = one_visit().ics_text();
    CHECK(icalendar_traps(good).empty());
    const std::string zone = "BEGIN:VTIMEZONE\r\nTZID:A\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n";
    const std::string leap = replaced(replaced(good, ":20070628", ":20080229"), "DTEND;VALUE=DATE:20070709", "DTEND;VALUE=DATE:20080301");
    const std::vector<std::pair<std::string, std::string>> traps{
        {"METHOD", replaced(good, "CALSCALE:GREGORIAN", "METHOD:REQUEST")},
        {"small letters", replaced(good, "TRANSP:", "transp:")},
        {"empty continuation", replaced(good, "TRANSP:", "X-A:b\r\n \r\nTRANSP:")},
        {"a zone with its VTIMEZONE", replaced(replaced(replaced(good, "DTSTART;VALUE=DATE:20070628", "DTSTART;TZID=A:20070628T080000"), "DTEND;VALUE=DATE:20070709", "DTEND;TZID=A:20070709T080000"), "BEGIN:VEVENT", zone + "BEGIN:VEVENT")},
        {"a floating time", replaced(replaced(good, "DTSTART;VALUE=DATE:20070628", "DTSTART:20070628T080000"), "DTEND;VALUE=DATE:20070709", "DTEND:20070709T080000")},
        {"29 February", replaced(leap, "TRANSP:", "RRULE:FREQ=YEARLY\r\nTRANSP:")},
        {"a 31st of every month", replaced(replaced(good, ":20070628", ":20070531"), "TRANSP:", "RRULE:FREQ=MONTHLY\r\nTRANSP:")},
        {"a beginning beside its rule", replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;BYMONTH=7\r\nTRANSP:")},
        {"a day that blocks", replaced(good, "TRANSP:TRANSPARENT\r\n", "")},
        {"a UID of 300 octets", replaced(good, "UID:", "UID:" + std::string(65, 'x') + "\r\n " + std::string(70, 'x') + "\r\n " + std::string(70, 'x') + "\r\n " + std::string(70, 'x') + "\r\n ")},
        {"a to-do", one_visit().ics_text({"", "", true, 7, true})},
    };
    for (const auto& [what, text] : traps) {
        INFO(what);
        CHECK(check_icalendar(text).empty());
        CHECK_FALSE(icalendar_traps(text).empty());
    }
    CHECK(icalendar_traps(replaced(good, "TRANSP:", "RRULE:FREQ=YEARLY;BYMONTH=6;BYMONTHDAY=28\r\nTRANSP:")).empty());
}

TEST_CASE("the standard's own examples have no fault", "[calendar][published]") {
    // RFC 5545, sections 3.6.1 (annual event, journal-free), 3.6.2 (to-do), 3.6.5 (zone with daylight time), 3.6.6 (alarms).
    const std::string text =
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A//B//EN\r\n"
        "BEGIN:VTIMEZONE\r\nTZID:America/New_York\r\nLAST-MODIFIED:20050809T050000Z\r\n"
        "BEGIN:STANDARD\r\nDTSTART:20071104T020000\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\nTZNAME:EST\r\nEND:STANDARD\r\n"
        "BEGIN:DAYLIGHT\r\nDTSTART:20070311T020000\r\nRRULE:FREQ=YEARLY;BYDAY=2SU;BYMONTH=3\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\nTZNAME:EDT\r\nEND:DAYLIGHT\r\n"
        "END:VTIMEZONE\r\n"
        "BEGIN:VEVENT\r\nUID:19970901T130000Z-123403@example.com\r\nDTSTAMP:19970901T130000Z\r\nDTSTART;VALUE=DATE:19971102\r\n"
        "SUMMARY:Our Blissful Anniversary\r\nTRANSP:TRANSPARENT\r\nCLASS:CONFIDENTIAL\r\nCATEGORIES:ANNIVERSARY,PERSONAL,SPECIAL OCCASION\r\nRRULE:FREQ=YEARLY\r\nEND:VEVENT\r\n"
        "BEGIN:VEVENT\r\nUID:b@example.com\r\nDTSTAMP:19970610T172345Z\r\nDTSTART;TZID=America/New_York:19980312T083000\r\nDTEND;TZID=America/New_York:19980312T093000\r\n"
        "ATTENDEE;CUTYPE=GROUP:mailto:employee-A@example.com\r\nRRULE:FREQ=MONTHLY;BYDAY=-1FR;COUNT=10\r\n"
        "BEGIN:VALARM\r\nTRIGGER;RELATED=END:-PT30M\r\nREPEAT:2\r\nDURATION:PT15M\r\nACTION:DISPLAY\r\nDESCRIPTION:Breakfast meeting with executive\\nteam at 8:30 AM EST.\r\nEND:VALARM\r\n"
        "BEGIN:VALARM\r\nTRIGGER;VALUE=DATE-TIME:19980312T133000Z\r\nACTION:AUDIO\r\nATTACH;FMTTYPE=audio/basic:ftp://example.com/pub/sounds/bell-01.aud\r\nEND:VALARM\r\n"
        "END:VEVENT\r\n"
        "BEGIN:VTODO\r\nUID:20070313T123432Z-456553@example.com\r\nDTSTAMP:20070313T123432Z\r\nDUE;VALUE=DATE:20070501\r\nSUMMARY:Submit Quebec Income Tax Return for 2006\r\n"
        "CLASS:CONFIDENTIAL\r\nCATEGORIES:FAMILY,FINANCE\r\nSTATUS:NEEDS-ACTION\r\nEND:VTODO\r\nEND:VCALENDAR\r\n";
    std::string folded;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find("\r\n", at);
        folded += icalendar_folded(text.substr(at, end - at));
        at = end + 2;
    }
    for (const Problem& problem : check_icalendar(folded)) UNSCOPED_INFO(to_text(problem));
    CHECK(check_icalendar(folded).empty());
    libseal_test::count_published("RFC 5545", 4);
}

TEST_CASE("a file is for one owner or one coach, names its owners or not, and reminds as asked", "[calendar]") {
    Calendar calendar = one_visit();
    calendar.visits[0].owner = "Owner, One";
    calendar.visits.push_back(calendar.visits[0]);
    calendar.visits[1].coach = "T2";
    calendar.visits[1].owner = "Owner Two";
    calendar.visits[1].uid = visit_uid("work", "T2", "a", 1);
    calendar.unplaced = {{"T1", "j", "rebed", calendar.as_of, "", ""}, {"T2", "j", "rebed", calendar.as_of, "", ""}};
    calendar.changes = {"work of T2 is new"};
    const auto has = [](const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; };
    const std::string all = unfolded(calendar.ics_text()), two = unfolded(calendar.ics_text({"Owner Two", "", true, 7, false}));
    CHECK((has(all, "Owner\\, One") && has(all, "Owner Two")));
    CHECK((has(two, calendar.visits[1].uid) && !has(two, calendar.visits[0].uid) && !has(two, "One")));
    CHECK(unfolded(calendar.ics_text({"", "T2", true, 7, false})) == two);
    const std::string shared = unfolded(calendar.ics_text({"", "", false, 30, true}));
    CHECK_FALSE(has(shared, "Owner"));
    CHECK(has(shared, "TRIGGER:-P30D\r\n"));
    CHECK(has(shared, "BEGIN:VTODO\r\nUID:todo-" + calendar.visits[0].uid + "\r\n"));
    CHECK(has(shared, "DUE;VALUE=DATE:20070708\r\n"));
    CHECK(check_icalendar(calendar.ics_text({"", "", false, 30, true})).empty());
    CHECK_FALSE(has(calendar.ics_text({"", "", true, 0, false}), "VALARM"));

    const Calendar part = calendar_part(calendar, {"", "T1", true});
    CHECK((part.visits.size() == 1 && part.unplaced.size() == 1 && part.changes.empty() && part.unplaced[0].coach == "T1"));
    CHECK(calendar_part(calendar, {"Owner Two", "", false}).visits[0].owner.empty());
    CHECK(calendar_part(calendar, {}).json_text() == calendar.json_text());
    CHECK_THROWS_AS(calendar.ics_text({"Owner Too", "", true, 7, false}), ValueError);
    CHECK_THROWS_AS(calendar.ics_text({"", "T3", true, 7, false}), ValueError);
    CHECK_THROWS_AS(calendar.ics_text({"", "", true, -1, false}), ValueError);
    CHECK_THROWS_AS(calendar.ics_text({"", "", true, 366, false}), ValueError);
    CHECK_THROWS_AS(one_visit().ics_text({"Owner Two", "", true, 7, false}), ValueError);
}
