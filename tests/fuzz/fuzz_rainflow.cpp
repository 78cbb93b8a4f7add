// Histories of any finite doubles: contraction on every instruction set against the counter with its stack.

#include <algorithm>
#include <cmath>

#include "kernel/kernels.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "support/bits.hpp"
#include "support/contracted.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;
using kernel::InstructionSet;
using libseal_test::Contracted;
using libseal_test::contracted;
using libseal_test::same_bits;

namespace {

/// Of few values, so that plateaus and equal ranges are many, or of any.
Column history_of(Bytes& bytes, std::size_t size) {
    const int kind = bytes.below(4), values = 2 + bytes.below(6);
    const std::size_t count = kind == 3 ? size / sizeof(double) : size;
    std::vector<double> series;
    for (std::size_t i = 0; i < std::max<std::size_t>(count, 1); ++i)
        series.push_back(kind == 0   ? bytes.below(values)
                         : kind == 1 ? 1e-300 * bytes.below(values)
                         : kind == 2 ? bytes.between(-1e3, 1e3)
                                     : bytes.any());
    return Eigen::Map<const Column>(series.data(), static_cast<Eigen::Index>(series.size()));
}

void check_against_counter(const Contracted& fast, const Column& series) {
    std::vector<double> closed;
    std::size_t half = 0;
    for (const Cycle& cycle : rainflow_cycles(series)) {
        if (cycle.count == 1) {
            closed.push_back(cycle.range());
            continue;
        }
        require(half + 1 < fast.open.size(), "both find as many half cycles");
        require(fast.open[half] == cycle.from_value && fast.open[half + 1] == cycle.to_value, "half cycles run between the same values");
        require(static_cast<Eigen::Index>(fast.places[half]) == cycle.first, "half cycles begin at the same places");
        require(static_cast<Eigen::Index>(fast.places[half + 1]) == cycle.last, "half cycles end at the same places");
        ++half;
    }
    require(half + 1 == std::max<std::size_t>(fast.open.size(), 1), "both find as many half cycles");
    std::vector<double> ranges = fast.ranges;
    std::sort(ranges.begin(), ranges.end());
    std::sort(closed.begin(), closed.end());
    require(ranges == closed, "both close the same cycles");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Bytes bytes(data, size);
    const Column series = history_of(bytes, size);
    const Contracted plain = contracted(InstructionSet::portable, series);
    require(plain.finite == series.isFinite().all(), "a value that is not finite is seen");
    if (plain.finite) check_against_counter(plain, series);
    else require(!read_or_refuse([&] { return rainflow_cycles(series); }), "the counter refuses what is not finite");
    for (const InstructionSet set : kernel::sets_that_run()) {
        const Contracted other = contracted(set, series);
        require(other.finite == plain.finite && other.places == plain.places, "every instruction set finds the same places");
        require(!plain.finite || (same_bits(other.turns, plain.turns) && same_bits(other.ranges, plain.ranges) && same_bits(other.open, plain.open)),
                "every instruction set gives the same bits");
    }
    return 0;
}
