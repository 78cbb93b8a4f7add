#include "libseal/calendar/icalendar.hpp"

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

TEST_CASE("text is escaped as the standard's example of an escaped text", "[calendar][published]") {
    // RFC 5545, section 3.3.11: "Project XYZ Final Review / Conference Room - 3B / Come Prepared." with \n
    // and \,
    CHECK(icalendar_escaped("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.") ==
          "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
    libseal_test::count_published("RFC 5545", 1);
    CHECK(icalendar_escaped("a;b,c\\d:e\"f") == "a\\;b\\,c\\\\d:e\"f");
    CHECK(icalendar_escaped("a\r\nb\x01") == "a\\nb ");
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
        {"empty continuation", replaced(good, "TRANSP:", "X-A:b\r\n \r\nTRANSP:")},
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
        {"METHOD", replaced(good, "CALSCALE:GREGORIAN", "METHOD:REQUEST")},
        {"no colon", replaced(good, "TRIGGER:-P7D", "TRIGGER-P7D")},
        {"wrong TRIGGER", replaced(good, "TRIGGER:-P7D", "TRIGGER:7 days")},
        {"no TRIGGER", replaced(good, "TRIGGER:-P7D\r\n", "")},
        {"no ACTION", replaced(good, "ACTION:DISPLAY\r\n", "")},
        {"alarm without DESCRIPTION",
         replaced(good, "TRIGGER:-P7D\r\nDESCRIPTION", "TRIGGER:-P7D\r\nX-TEXT")},
        {"bare comma", replaced(good, "grey\\,", "grey,")},
        {"bare semicolon", replaced(good, "Trailer\\;", "Trailer;")},
        {"wrong escape", replaced(good, "grey\\,", "grey\\:")},
        {"small letters", replaced(good, "TRANSP:", "transp:")},
        {"unknown component", replaced(good, "BEGIN:VALARM", "BEGIN:VBELL")},
        {"alarm in the calendar",
         replaced(good, "END:VCALENDAR",
                  "BEGIN:VALARM\r\nACTION:AUDIO\r\nTRIGGER:-P7D\r\nEND:VALARM\r\nEND:VCALENDAR")},
        {"event never ended", replaced(good, "END:VEVENT\r\n", "")},
        {"calendar never ended", replaced(good, "END:VCALENDAR\r\n", "")},
        {"no event", replaced(good, event, "")},
        {"nothing", ""},
        {"something before", "X-A:b\r\n" + good},
    };
    for (const auto& [what, text] : bad) {
        INFO(what);
        CHECK_FALSE(check_icalendar(text).empty());
    }
    CHECK(check_icalendar(replaced(good, "TRIGGER:-P7D", "TRIGGER-P7D"))[0].line > 10);
}
