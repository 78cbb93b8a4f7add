#include "libseal/ageing/range_moments.hpp"

#include <cmath>
#include <cstring>
#include <limits>

#include "libseal/core/error.hpp"
#include "support/bits.hpp"
#include "support/catch.hpp"
#include "support/histories.hpp"
#include "support/published.hpp"

using namespace libseal;
using libseal_test::history;
using libseal_test::HistoryKind;

namespace {

Column column(std::initializer_list<double> values) {
    Column result(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), result.data());
    return result;
}

Column standard_history() { return column({-2, 1, -3, 5, -1, 3, -4, 4, -2}); }
Column many_exponents() { return column({1, 2, 3, 4, 5, 6, 7, 8, 0.3, 2.5, 3.7, 9, 14, 20}); }

void check_against_tables(const Column& series) {
    const Column exponents = many_exponents();
    const Column sums = rainflow_moments(series, exponents), repeating = rainflow_moments_repeating(series, exponents);
    const CycleTable table = rainflow(series), repeating_table = rainflow_repeating(series);
    REQUIRE(sums.size() == exponents.size());
    REQUIRE(repeating.size() == exponents.size());
    for (Eigen::Index k = 0; k < exponents.size(); ++k) {
        CHECK(sums[k] == Approx(range_moment(table, exponents[k])).epsilon(1e-12));
        CHECK(repeating[k] == Approx(range_moment(repeating_table, exponents[k])).epsilon(1e-12));
    }
}

/// What the functions say is wrong with their arguments.
template <class Call>
std::string field_of(Call call) {
    try {
        call();
    } catch (const ValueError& error) {
        return error.problems().front().field;
    }
    return "accepted";
}

}  // namespace

TEST_CASE("moments of the standard's worked history", "[published]") {
    // ASTM E1049-85: ranges 3, 4, 6, 8 and 9 with counts 0.5, 1.5, 0.5, 1 and 0.5; for whole exponents the sums are exact.
    const Column exponents = column({1, 2, 3, 4, 5}), sums = rainflow_moments(standard_history(), exponents);
    const double ranges[] = {3, 4, 6, 8, 9}, counts[] = {0.5, 1.5, 0.5, 1, 0.5};
    for (Eigen::Index k = 0; k < exponents.size(); ++k) {
        double expected = 0;
        for (int i = 0; i < 5; ++i) expected += counts[i] * std::pow(ranges[i], exponents[k]);
        CHECK(sums[k] == expected);
    }
    libseal_test::count_published("ASTM E1049-85", 5);
}

TEST_CASE("moments of the standard's history when it repeats", "[reference]") {
    // Ranges 3, 4, 7 and 9 by hand, one cycle each, wherever the history starts.
    const Column period = column({5, -1, 3, -4, 4, -2, 1, -3});
    for (Eigen::Index start = 0; start < period.size(); ++start) {
        Column turned(period.size());
        for (Eigen::Index i = 0; i < period.size(); ++i) turned[i] = period[(start + i) % period.size()];
        const Column sums = rainflow_moments_repeating(turned, column({1, 2, 3}));
        CHECK(sums[0] == 23);
        CHECK(sums[1] == 9 + 16 + 49 + 81);
        CHECK(sums[2] == 27 + 64 + 343 + 729);
    }
}

TEST_CASE("moments without a table are those of the table", "[law]") {
    for (const HistoryKind kind : libseal_test::history_kinds()) {
        CAPTURE(static_cast<int>(kind));
        for (Eigen::Index size = 0; size < 60; ++size) check_against_tables(history(kind, size, static_cast<std::uint64_t>(size)));
        for (const Eigen::Index size : {300, 1000, 3000}) check_against_tables(history(kind, size, 11));
    }
    // All histories of up to six values out of three.
    for (int size = 1; size <= 6; ++size)
        for (int number = 0; number < std::pow(3, size); ++number) {
            Column series(size);
            for (int i = 0, rest = number; i < size; ++i, rest /= 3) series[i] = rest % 3;
            const Column sums = rainflow_moments(series, column({3})), repeating = rainflow_moments_repeating(series, column({3}));
            REQUIRE(sums[0] == range_moment(rainflow(series), 3));
            REQUIRE(repeating[0] == range_moment(rainflow_repeating(series), 3));
        }
}

TEST_CASE("a repeating history gives the same moments wherever it begins", "[law]") {
    const Column exponents = column({3, 4.5});
    for (const HistoryKind kind : libseal_test::history_kinds()) {
        const Column period = history(kind, 97, 5), sums = rainflow_moments_repeating(period, exponents);
        for (Eigen::Index start = 0; start < period.size(); ++start) {
            Column turned(period.size());
            for (Eigen::Index i = 0; i < period.size(); ++i) turned[i] = period[(start + i) % period.size()];
            const Column other = rainflow_moments_repeating(turned, exponents);
            for (Eigen::Index k = 0; k < 2; ++k) CHECK(other[k] == Approx(sums[k]).epsilon(1e-12));
        }
    }
}

TEST_CASE("moments of ranges at the ends of what numbers can hold", "[ageing]") {
    const Column large = 1e120 * standard_history(), small = 1e-120 * standard_history();
    const Column exponents = column({0.5, 2, 2.5, 3, 9, 9.5});
    for (const Column& series : {large, small}) {
        const Column sums = rainflow_moments(series, exponents);
        const CycleTable table = rainflow(series);
        for (Eigen::Index k = 0; k < exponents.size(); ++k) {
            const double expected = range_moment(table, exponents[k]);
            if (std::isinf(expected)) CHECK(std::isinf(sums[k]));
            else CHECK(sums[k] == Approx(expected).epsilon(1e-12));
        }
    }
    CHECK(std::isinf(rainflow_moments(large, exponents)[5]));
    CHECK(rainflow_moments(small, exponents)[5] == 0);
    // Fewer than two different values.
    for (const Column& series : {Column(0), column({3}), column({3, 3, 3})}) {
        CHECK((rainflow_moments(series, exponents) == 0).all());
        CHECK((rainflow_moments_repeating(series, exponents) == 0).all());
    }
    CHECK(rainflow_moments(standard_history(), Column(0)).size() == 0);
}

TEST_CASE("rows give the moments of each row for any number of threads", "[law]") {
    SeriesRows rows(75, 500);
    for (Eigen::Index i = 0; i < rows.rows(); ++i)
        rows.row(i) = history(libseal_test::history_kinds()[static_cast<std::size_t>(i) % 9], rows.cols(), static_cast<std::uint64_t>(i)).transpose();
    const Column exponents = column({3, 4, 5.5});
    for (const bool repeating : {false, true}) {
        const SeriesRows one = rainflow_moments_of_rows(rows, exponents, repeating, 1);
        REQUIRE(one.rows() == 75);
        REQUIRE(one.cols() == 3);
        for (const int threads : {0, 2, 4}) CHECK(libseal_test::same_bits(rainflow_moments_of_rows(rows, exponents, repeating, threads), one));
        for (Eigen::Index i = 0; i < rows.rows(); ++i) {
            const Column series = rows.row(i).transpose();
            const Column own = repeating ? rainflow_moments_repeating(series, exponents) : rainflow_moments(series, exponents);
            CHECK((one.row(i).transpose() == own).all());
        }
    }
    // Rows of a wider table.
    const SeriesRows part = rows.middleCols(100, 50);
    CHECK(libseal_test::same_bits(rainflow_moments_of_rows(rows.middleCols(100, 50), exponents), rainflow_moments_of_rows(part, exponents)));
    CHECK(rainflow_moments_of_rows(SeriesRows(0, 5), exponents).rows() == 0);
    CHECK((rainflow_moments_of_rows(SeriesRows(2, 0), exponents) == 0).all());
}

TEST_CASE("moments refuse what cannot be counted with its place", "[bad_input]") {
    const double nan = std::numeric_limits<double>::quiet_NaN(), infinite = std::numeric_limits<double>::infinity();
    CHECK(field_of([&] { (void)rainflow_moments(column({1, 2, nan}), column({3})); }) == "series[2]");
    CHECK(field_of([&] { (void)rainflow_moments(column({infinite}), column({3})); }) == "series[0]");
    CHECK(field_of([&] { (void)rainflow_moments_repeating(column({1, -infinite, 2}), column({3})); }) == "series[1]");
    CHECK(field_of([&] { (void)rainflow_moments(standard_history(), column({3, 0})); }) == "exponents[1]");
    CHECK(field_of([&] { (void)rainflow_moments_repeating(standard_history(), column({-1})); }) == "exponents[0]");
    CHECK(field_of([&] { (void)rainflow_moments(standard_history(), column({nan})); }) == "exponents[0]");
    SeriesRows rows = SeriesRows::Random(70, 9);
    rows(1, 7) = rows(66, 3) = nan;
    CHECK(field_of([&] { (void)rainflow_moments_of_rows(rows, column({3})); }) == "rows[1, 7]");
    CHECK(field_of([&] { (void)rainflow_moments_of_rows(rows, column({infinite})); }) == "exponents[0]");
}
