#include "support/catch.hpp"

#include <unistd.h>

#include <atomic>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <limits>
#include <stdexcept>
#include <vector>

#include "core/json.hpp"
#include "core/readable.hpp"
#include "core/recent.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "support/published.hpp"

using namespace libseal;

TEST_CASE("the normal quantile has its tabled values", "[published]") {
    // Abramowitz & Stegun 1964, table 26.1 read backwards; the last from tables of the extreme tail.
    CHECK(normal_quantile(0.975) == Approx(1.959963985).margin(5e-10));
    CHECK(normal_quantile(0.90) == Approx(1.281551566).margin(5e-10));
    CHECK(normal_quantile(0.5) == Approx(0).margin(1e-15));
    libseal_test::count_published("Abramowitz & Stegun 1964", 3);
}

TEST_CASE("quantile undoes probability over the whole range", "[law]") {
    // Above 4 the probability itself is rounded too near to 1 to carry more digits.
    for (double x = -4; x <= 4; x += 0.25)
        CHECK(normal_quantile(normal_probability(x)) == Approx(x).epsilon(1e-11).margin(1e-11));
    for (double x = -37; x <= -4; x += 0.5) CHECK(normal_quantile(normal_probability(x)) == Approx(x).epsilon(1e-11));
}

TEST_CASE("the normal quantile of what is certain lies at infinity, of what is no probability nowhere", "[law]") {
    const double infinity = std::numeric_limits<double>::infinity();
    CHECK(normal_quantile(0) == -infinity);
    CHECK(normal_quantile(1) == infinity);
    CHECK(normal_probability(infinity) == 1);
    CHECK(normal_probability(-infinity) == 0);
    for (const double p : {-0.1, 1.1, std::nan("")}) CHECK(std::isnan(normal_quantile(p)));
}

TEST_CASE("of things kept the one that was not asked for longest goes first", "[core]") {
    detail::Recent<int, int> kept(2);
    int made = 0;
    const auto ask = [&](int key) {
        const auto thing = kept.get(key, [&] { return ++made, 10 * key; });
        CHECK(*thing == 10 * key);
        return made;
    };
    CHECK(ask(1) == 1);
    CHECK(ask(2) == 2);
    CHECK(ask(1) == 2);  // kept, and now the newer one
    CHECK(ask(3) == 3);  // takes the place of 2
    CHECK(ask(1) == 3);
    CHECK(ask(2) == 4);
    CHECK(ask(3) == 5);
}

TEST_CASE("random streams repeat, and differ by seed and by task", "[core]") {
    RandomStream a(7, 3), b(7, 3), c(7, 4), d(8, 3);
    const auto first = a.next();
    CHECK(first == b.next());
    CHECK(first != c.next());
    CHECK(first != d.next());
    double sum = 0, squares = 0;
    RandomStream e(1);
    for (int i = 0; i < 20000; ++i) {
        const double z = e.normal();
        sum += z;
        squares += z * z;
    }
    CHECK(std::abs(sum / 20000) < 4 / std::sqrt(20000.0));
    CHECK(std::abs(squares / 20000 - 1) < 4 * std::sqrt(2.0 / 20000));
}

TEST_CASE("the parallel loop runs each task once and rethrows the first failure", "[core]") {
    const int threads = GENERATE(1, 2, 8);
    std::vector<std::atomic<int>> runs(1000);
    parallel_for(runs.size(), threads, [&](std::size_t i) { ++runs[i]; });
    for (auto& count : runs) REQUIRE(count == 1);
    CHECK_THROWS_WITH(parallel_for(100, threads,
                                   [](std::size_t i) {
                                       if (i == 17) throw std::runtime_error("seventeen");
                                   }),
                      "seventeen");
}

TEST_CASE("a stop token ends a reported call", "[core]") {
    Watch watch;
    int calls = 0;
    watch.progress = [&](const Progress&) { ++calls; };
    ProgressReporter reporter(watch, "test");
    reporter.tick(0.1);
    watch.stop.stop();
    CHECK_THROWS_AS(reporter.tick(0.2), Cancelled);
    CHECK(calls == 1);
}

TEST_CASE("comma-separated fields keep their value and their place", "[core]") {
    CsvReader reader("a,\"b \"\"c\"\"\nd\",e\r\n\n1,,3", "x.csv");
    std::vector<CsvField> record;
    REQUIRE(reader.next(record));
    REQUIRE(record.size() == 3);
    CHECK(csv_text(record[1]) == "b \"c\"\nd");
    CHECK(record[2].line == 2);
    CHECK(record[2].column == 4);
    REQUIRE(reader.next(record));
    CHECK(record.size() == 3);
    CHECK(record[1].text.empty());
    CHECK(record[0].line == 4);
    CHECK_FALSE(reader.next(record));
    CsvReader broken("a,\"b", "x.csv");
    CHECK_THROWS_AS(broken.next(record), ValueError);
    CHECK(csv_field("=1+1") == "'=1+1");
    CHECK(csv_field("a,b") == "\"a,b\"");
}

TEST_CASE("a spreadsheet runs no text of a table, and the mark in front can be taken off again", "[core]") {
    for (const char* formula : {"=1+1", "+x", "-x", "@SUM(A1)", "\t=1", "-1+cmd", "\uFF1D1", "'=1", "''@a", "+1", "'-5"}) {
        CAPTURE(formula);
        CHECK(csv_field(formula) == "'" + std::string(formula));
    }
    CHECK(csv_field("\r=1") == "\"'\r=1\"");
    for (const char* plain : {"-5", "-0.25", "a=b", "'quoted'", "'", "", " =1", "O'Neil"}) CHECK(csv_field(plain) == plain);
    CHECK(csv_line({"a", "=b", "c,d"}) == "a,'=b,\"c,d\"\r\n");
    CHECK_THROWS_AS(csv_field(std::string_view("a\0b", 3)), ValueError);
    CHECK_THROWS_AS(csv_field("\xFF"), ValueError);
}

TEST_CASE("messages show bytes that are no text without passing them on", "[core]") {
    CHECK(readable_text("caf\xC3\xA9") == "caf\xC3\xA9");
    CHECK(readable_text("a\xFF" "b\xC3") == "a\xEF\xBF\xBD" "b\xEF\xBF\xBD");
    CHECK(is_utf8(error_context("\xFF\xFE key", 1, 2)));
}

TEST_CASE("numbers and lengths are read whole or not at all", "[core]") {
    double value = -1;
    CHECK(try_parse_number(" +1.5e-3 ", value));
    CHECK(value == 1.5e-3);
    for (const char* bad : {"", "1,5", "1.5x", "nan", "inf", "1e999", "++1"}) CHECK_FALSE(try_parse_number(bad, value));
    CHECK(try_parse_length("0.25 in", value));
    CHECK(value == Approx(0.00635));
    CHECK_FALSE(try_parse_length("6", value));
    CHECK(number_text(0.1) == "0.1");
    CHECK(number_text(-0.004, 2) == "0.00");
    CHECK(nearest_name("dew_piont", {"dew_point", "dni"}) == "dew_point");
}

TEST_CASE("a file is written whole or not at all", "[core]") {
    const auto folder = std::filesystem::temp_directory_path() / ("libseal_core_test_" + std::to_string(::getpid()));  // runs beside each other share the place
    std::filesystem::create_directories(folder);
    const auto path = (folder / "a.txt").string();
    write_text_file(path, "one");
    CHECK(read_text_file(path) == "one");
    const std::string longer(300'000, 'x');
    write_text_file(path, longer);
    CHECK(read_text_file(path) == longer);
    write_text_file(path, "");
    CHECK(read_text_file(path).empty());
    // Files of the system that say nothing of their size.
    if (std::filesystem::exists("/proc/self/status")) CHECK(read_text_file("/proc/self/status").find("Pid") != std::string::npos);
    write_text_file(path, "one");
    CHECK_THROWS_AS(write_text_file((folder / "none" / "a.txt").string(), "two"), FileError);
    CHECK_THROWS_AS(write_text_file(folder.string(), "two"), FileError);
    CHECK_THROWS_AS(read_text_file((folder / "absent").string()), FileError);
    CHECK(std::distance(std::filesystem::directory_iterator(folder), {}) == 1);
    std::filesystem::remove_all(folder);
}

TEST_CASE("a file is replaced whole: links, modes and devices stay, nothing is left beside it", "[core]") {
    namespace fs = std::filesystem;
    const auto folder = fs::temp_directory_path() / ("libseal_core_replace_" + std::to_string(::getpid()));
    fs::remove_all(folder);
    fs::create_directories(folder / "sub");
    const auto count = [&] { return std::distance(fs::directory_iterator(folder), {}); };
    const auto path = [&](const char* name) { return (folder / name).string(); };

    write_text_file(path("real"), "old");
    fs::permissions(path("real"), fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
    fs::create_symlink("real", path("link"));
    fs::create_symlink("sub/none_yet", path("dangling"));
    write_text_file(path("link"), "new");
    CHECK(fs::is_symlink(path("link")));
    CHECK(read_text_file(path("real")) == "new");
    CHECK(fs::status(path("real")).permissions() == (fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read));
    write_text_file(path("dangling"), "there");
    CHECK(fs::is_symlink(path("dangling")));
    CHECK(read_text_file(path("sub/none_yet")) == "there");
    CHECK(count() == 4);

    // What a killed writer has left is passed over and stays.
    write_text_file(path("real.part"), "of another");
    write_text_file(path("real"), "newer");
    CHECK(read_text_file(path("real.part")) == "of another");
    CHECK(read_text_file(path("real")) == "newer");
    CHECK(count() == 5);

    const std::string longest(255, 'n');
    write_text_file(path(longest.c_str()), "x");
    CHECK(read_text_file(path(longest.c_str())) == "x");
    CHECK(count() == 6);

    CHECK_THROWS_AS(write_text_file(path("sub"), "x"), FileError);
    CHECK_THROWS_AS(write_text_file(path("sub/"), "x"), FileError);
    CHECK_THROWS_AS(write_text_file(path("real/below"), "x"), FileError);
    CHECK_THROWS_AS(write_text_file(path((longest + "n").c_str()), "x"), FileError);
    CHECK_THROWS_AS(write_text_file("", "x"), FileError);
    CHECK_THROWS_AS(write_text_file(path("a") + std::string("\0b", 2), "x"), FileError);
    CHECK_THROWS_AS(read_text_file(path("real") + std::string("\0b", 2)), FileError);
    fs::create_symlink("loop", path("loop"));
    CHECK_THROWS_AS(write_text_file(path("loop"), "x"), FileError);
    CHECK(count() == 7);
    fs::remove_all(folder);
    if (fs::exists("/dev/full")) {  // a device that is always full, and stays a device
        CHECK_THROWS_AS(write_text_file("/dev/full", "x"), FileError);
        CHECK(fs::is_character_file("/dev/full"));
        write_text_file("/dev/null", "x");
        CHECK(fs::is_character_file("/dev/null"));
    }
}

TEST_CASE("lists and objects of a JSON text look as if written piece by piece", "[core]") {
    detail::JsonWriter whole, pieces;
    whole.begin_object();
    whole.list("numbers", std::vector<int>{1, 2}, [&](int n) { whole.value(n); });
    whole.list("none", std::vector<int>{}, [&](int n) { whole.value(n); });
    whole.object("inner", [&] { whole.member("a", "b"); });
    whole.end_object();
    pieces.begin_object();
    pieces.key("numbers");
    pieces.begin_list();
    pieces.value(1);
    pieces.value(2);
    pieces.end_list();
    pieces.key("none");
    pieces.begin_list();
    pieces.end_list();
    pieces.key("inner");
    pieces.begin_object();
    pieces.member("a", "b");
    pieces.end_object();
    pieces.end_object();
    const std::string text = whole.take();
    CHECK(text == pieces.take());
    CHECK(text == "{\n  \"numbers\": [\n    1,\n    2\n  ],\n  \"none\": [],\n  \"inner\": {\n    \"a\": \"b\"\n  }\n}\n");
    detail::JsonWriter bad;
    bad.begin_object();
    CHECK_THROWS_AS(bad.member("note", "\xFF"), ValueError);
    CHECK_THROWS_AS(detail::JsonDocument(std::string("{}\0{", 4), "x"), ValueError);
}
