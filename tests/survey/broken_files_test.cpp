// Deliberately broken files: tests/cases/broken/files.json. Each must give its error at the exact line and column, under its field,
// with a word of what was expected, all problems together, and nothing read by half. Every text is invented.
#include <map>
#include <set>

#include "core/json.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const std::string& member(const detail::JsonView& view, const char* key) {
    static const std::string none;
    const auto found = view.member(key);
    return found.present() ? found.node().text : none;
}

std::string with_bytes(std::string text) {
    for (std::size_t at; (at = text.find("@LATIN1@")) != std::string::npos;) text.replace(at, 8, "\xE9");
    return text;
}

/// A file made of a base and one replacement, and where in it the error lies: at a mark in what was put in, or at a text.
struct Broken {
    std::string text;
    std::size_t at = std::string::npos;

    Broken(std::string base, std::string what, std::string by, const std::string& where) : text(std::move(base)) {
        const bool all = by.ends_with("@ALL@");
        if (all) by.resize(by.size() - 5);
        const std::size_t place = text.find(what);
        if (place == std::string::npos) return;
        if (by == "@CUT@") {
            text.resize(place);
            at = text.size();
            return;
        }
        const std::size_t mark = by.find("^^");
        if (mark != std::string::npos) by.erase(mark, 2);
        by = with_bytes(by);
        if (what.empty()) text = by + text;
        else text.replace(place, what.size(), by);
        for (std::size_t next = place + by.size(); all && (next = text.find(what, next)) != std::string::npos; next += by.size())
            text.replace(next, what.size(), by);
        at = mark != std::string::npos ? place + mark : text.find(with_bytes(where));
    }

    int line() const {
        int n = 1;
        for (std::size_t i = 0; i < at; ++i) n += text[i] == '\n';
        return n;
    }
    int column() const { return static_cast<int>(at - (at == 0 ? 0 : text.rfind('\n', at - 1) + 1)) + 1; }
};

Fleet one_trailer() { return fleet_of(libseal_test::trailer_of(9.1, make_date(2020, 5, 1))); }

/// Reads it as what its base is; the number of things read.
std::size_t read(const std::string& base, const std::string& text, const Fleet& fleet) {
    const Date as_of = make_date(2026, 5, 4);
    if (base == "findings_csv" || base == "findings_json") return read_findings_text(text, "file", fleet, as_of).size();
    if (base == "work_csv") return read_work_done_text(text, "file").size();
    if (base == "fleet_csv") return read_fleet_text(text, "file").coaches.size();
    return read_coach_text(text, "file").joints.size();
}

}  // namespace

TEST_CASE("each broken file gives its error at the right place, and none is read by half", "[bad_input]") {
    const detail::JsonDocument document(read_text_file(std::string(LIBSEAL_SOURCE_DIR) + "/tests/cases/broken/files.json"), "files.json");
    detail::Problems faults;
    const auto root = detail::JsonView::root(document, faults);
    const Fleet fleet = one_trailer();
    int broken = 0, whole = 0;
    std::set<std::string> names;
    for (const auto& one : root.required("cases").items()) {
        const std::string base = member(one, "base"), name = base + ": " + member(one, "name");
        INFO(name);
        CHECK(names.insert(name).second);
        const Broken file(member(root.member("bases"), base.c_str()), member(one, "what"), member(one, "by"), member(one, "at"));
        if (one.member("accepted").boolean(false)) {
            CHECK_NOTHROW(read(base, file.text, fleet));
            ++whole;
            continue;
        }
        ++broken;
        REQUIRE(file.at != std::string::npos);
        std::vector<Problem> problems;
        std::size_t count = 0;
        try {
            count = read(base, file.text, fleet);
        } catch (const ValueError& error) {
            problems = error.problems();
        }
        CHECK(count == 0);
        if (problems.empty()) {
            FAIL_CHECK("accepted");
            continue;
        }
        std::string all;
        for (const auto& problem : problems) all += to_text(problem) + "\n";
        INFO(all);
        CHECK(problems.size() == static_cast<std::size_t>(one.member("problems").integer(1, 50, 1)));
        const Problem& problem = problems.front();
        CHECK(problem.line == file.line());
        if (!one.member("any_column").boolean(false)) CHECK(problem.column == file.column());
        CHECK(problem.field == member(one, "field"));
        CHECK((problem.expected + "|" + problem.got).find(member(one, "says")) != std::string::npos);
        CHECK(problem.file == "file");
    }
    CHECK(broken >= 100);
    CHECK(whole >= 5);
    CHECK(faults.empty());
}
