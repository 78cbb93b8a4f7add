#include "kernel/rainflow.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <vector>

#include "kernel/kernels.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "support/catch.hpp"
#include "support/bits.hpp"
#include "support/contracted.hpp"
#include "support/histories.hpp"

using namespace libseal;
using kernel::InstructionSet;
using libseal_test::Contracted;
using libseal_test::contracted;
using libseal_test::history;
using libseal_test::HistoryKind;
using libseal_test::same_bits;

namespace {

const std::vector<double> exponents{1, 2, 3, 4, 5, 6, 7, 8, 0.5, 3.3, 9, 12.5};

/// Sums of powers of the closed ranges.
std::vector<double> power_sums(InstructionSet set, const Contracted& series) {
    std::vector<double> sums;
    for (const double exponent : exponents) sums.push_back(kernel::kernels_of(set).rainflow.power_sum(series.ranges.data(), series.ranges.size(), exponent));
    return sums;
}

/// As the counter takes them one by one: closed ranges, sorted, and the half cycles.
void check_against_counter(const Contracted& fast, const Column& series) {
    std::vector<double> closed;
    std::size_t half = 0;
    for (const Cycle& cycle : rainflow_cycles(series)) {
        if (cycle.count == 1) {
            closed.push_back(cycle.range());
            continue;
        }
        REQUIRE(half + 1 < fast.open.size());
        CHECK(fast.open[half] == cycle.from_value);
        CHECK(fast.open[half + 1] == cycle.to_value);
        CHECK(static_cast<Eigen::Index>(fast.places[half]) == cycle.first);
        CHECK(static_cast<Eigen::Index>(fast.places[half + 1]) == cycle.last);
        ++half;
    }
    CHECK(half + 1 == std::max<std::size_t>(fast.open.size(), 1));
    std::vector<double> ranges = fast.ranges;
    std::sort(ranges.begin(), ranges.end());
    std::sort(closed.begin(), closed.end());
    CHECK(ranges == closed);
    const std::vector<double> sums = power_sums(InstructionSet::portable, fast);
    for (std::size_t k = 0; k < exponents.size(); ++k) {
        double sum = 0;
        for (const double range : closed) sum += std::pow(range, exponents[k]);
        CHECK(sums[k] == Approx(sum).epsilon(1e-12));
    }
}

void check(const Column& series) {
    const Contracted plain = contracted(InstructionSet::portable, series);
    REQUIRE(plain.finite);
    check_against_counter(plain, series);
    for (const InstructionSet set : kernel::sets_that_run()) {
        const Contracted other = contracted(set, series);
        CHECK(same_bits(other.turns, plain.turns));
        CHECK(same_bits(other.ranges, plain.ranges));
        CHECK(same_bits(other.open, plain.open));
        CHECK(same_bits(power_sums(set, other), power_sums(InstructionSet::portable, plain)));
        CHECK(other.places == plain.places);
    }
}

}  // namespace

TEST_CASE("passes over registers close the cycles that the counter closes, with the same bits on every instruction set", "[kernel]") {
    for (const HistoryKind kind : libseal_test::history_kinds()) {
        CAPTURE(static_cast<int>(kind));
        for (Eigen::Index size = 1; size < 90; ++size) check(history(kind, size, static_cast<std::uint64_t>(size)));
        for (const Eigen::Index size : {127, 128, 129, 130, 191, 200, 256, 500, 1000, 8760}) check(history(kind, size, 7));
    }
}

TEST_CASE("all histories of seven values out of three are counted alike", "[kernel]") {
    for (int number = 0; number < 2187; ++number) {
        Column series(7);
        for (int i = 0, rest = number; i < 7; ++i, rest /= 3) series[i] = rest % 3;
        check(series);
    }
}

TEST_CASE("rests across the words of bits neither add nor hide a turn", "[kernel]") {
    for (const Eigen::Index begin : {0, 1, 30, 62, 63, 64, 65})
        for (const Eigen::Index length : {1, 2, 63, 64, 65, 200}) {
            Column series = history(HistoryKind::walk, 400, 3);
            series.segment(begin, length) = series[begin];
            check(series);
            check(-series);
        }
}

TEST_CASE("a value that is not finite is seen wherever it stands", "[kernel][bad_input]") {
    for (const InstructionSet set : kernel::sets_that_run())
        for (const double wrong : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(),
                                   -std::numeric_limits<double>::infinity()})
            for (const Eigen::Index size : {1, 2, 64, 65, 66, 150})
                for (Eigen::Index at = 0; at < size; ++at) {
                    Column series = history(HistoryKind::walk, size, 1);
                    series[at] = wrong;
                    std::vector<double> points(static_cast<std::size_t>(size) + kernel::rainflow_room);
                    const auto turns = kernel::kernels_of(set).rainflow.turning_points(series.data(), static_cast<std::size_t>(size), points.data());
                    REQUIRE(turns == static_cast<std::size_t>(size) + 1);
                }
}
