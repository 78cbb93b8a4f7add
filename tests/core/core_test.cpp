#include "support/catch.hpp"

#include <atomic>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <stdexcept>
#include <vector>

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
    const auto folder = std::filesystem::temp_directory_path() / "libseal_core_test";
    std::filesystem::create_directories(folder);
    const auto path = (folder / "a.txt").string();
    write_text_file(path, "one");
    CHECK(read_text_file(path) == "one");
    CHECK_THROWS_AS(write_text_file((folder / "none" / "a.txt").string(), "two"), FileError);
    CHECK_THROWS_AS(write_text_file(folder.string(), "two"), FileError);
    CHECK_THROWS_AS(read_text_file((folder / "absent").string()), FileError);
    CHECK(std::distance(std::filesystem::directory_iterator(folder), {}) == 1);
    std::filesystem::remove_all(folder);
}
