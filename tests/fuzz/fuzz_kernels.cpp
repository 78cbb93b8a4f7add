// Loops over any doubles: every instruction set that runs here gives the bits of the portable one.

#include <functional>
#include <vector>

#include "kernel/kernel_calls.hpp"
#include "kernel/kernels.hpp"
#include "support/bits.hpp"
#include "target.hpp"

using namespace libseal::kernel;
using namespace libseal_fuzz;

namespace {

using libseal_test::Numbers;

class Drawn {
public:
    Drawn(Bytes& bytes, std::size_t count) : bytes_(bytes), count_(count) {}
    /// Within a range, or, if the bytes say so, any double at all.
    Numbers column(double low, double high) {
        const bool wild = bytes_.byte() % 4 == 0;
        Numbers numbers(count_);
        for (double& x : numbers) x = wild ? bytes_.any() : bytes_.between(low, high);
        return numbers;
    }
    Numbers tame(double low, double high) {
        Numbers numbers(count_);
        for (double& x : numbers) x = bytes_.between(low, high);
        return numbers;
    }

private:
    Bytes& bytes_;
    std::size_t count_;
};

void check_same(const char* name, const std::function<Numbers(const Kernels&)>& call) {
    const Numbers base = call(kernels_of(InstructionSet::portable));
    for (const InstructionSet set : sets_that_run())
        if (!libseal_test::same_bits_or_none(base, call(kernels_of(set)))) broken(name + (" differs on " + name_of(set)));
}

void check_light(Bytes& bytes, std::size_t count) {
    Drawn drawn(bytes, count);
    const Numbers up = drawn.column(-1, 1), east = drawn.column(-1, 1), north = drawn.column(-1, 1), beam = drawn.column(0, 1000),
                  around = drawn.column(0, 400), dome = drawn.column(0, 500), horizon = drawn.column(-300, 60), flat = drawn.column(0, 1100);
    const SkyColumns sky{count, up.data(), east.data(), north.data(), beam.data(), around.data(), dome.data(), horizon.data(), flat.data()};
    const double tilt = bytes.between(0, 3.14159);
    const PlaneFactors plane = libseal_test::plane_factors(tilt, bytes.byte() % 2 == 0);
    check_same("plane_total", [&](const Kernels& k) { return libseal_test::plane_total(k, sky, plane); });
    check_same("plane_parts", [&](const Kernels& k) { return libseal_test::plane_parts(k, sky, plane); });
}

void check_heat(Bytes& bytes, std::size_t count) {
    Drawn drawn(bytes, count);
    const Numbers air = drawn.column(230, 320), radiant = drawn.column(2e9, 1e10), film = drawn.column(5, 60), light = drawn.column(0, 1100),
                  dew = drawn.column(-50, 30), cover = drawn.column(0, 10), celsius = drawn.column(-40, 50);
    const bool lit = bytes.byte() % 2 == 0;
    check_same("panel_temperature", [&](const Kernels& k) { return libseal_test::panel_temperature(k, air, radiant, film, lit ? light.data() : nullptr); });
    check_same("sky_radiant", [&](const Kernels& k) { return libseal_test::sky_radiant(k, celsius, dew, cover); });
}

void check_rates(Bytes& bytes, std::size_t count) {
    Drawn drawn(bytes, count);
    const Numbers surface = drawn.column(-40, 90), air = drawn.column(-40, 50), humidity = drawn.column(0, 100), ultraviolet = drawn.column(0, 60),
                  weight = drawn.tame(0, 1);
    libseal_test::RateParts parts(count);
    const FeltColumns felt{count, surface.data(), nullptr, nullptr, humidity.data(), weight.data()};
    check_same("rate_inputs", [&](const Kernels& k) { return parts.rate_inputs(k, felt); });
    check_same("light", [&](const Kernels& k) { return parts.light(k, ultraviolet); });
    check_same("flow_exponents", [&](const Kernels& k) { return libseal_test::flow_exponents(k, surface, air); });
    const std::size_t begin[] = {0, lane_count, count};
    const double energy = bytes.between(0, 300), exponent = bytes.between(0, 2);
    check_same("exponential_sums", [&](const Kernels& k) {
        Numbers sums(2);
        k.exponential_sums({parts.known.data(), parts.log_lit.data(), parts.q.data(), exponent, energy, begin, 2}, sums.data());
        return sums;
    });
    check_same("exponentials", [&](const Kernels& k) {
        Numbers rates(count);
        k.exponentials(count, parts.log_lit.data(), exponent, parts.q.data(), energy, rates.data());
        return rates;
    });
}

void check_lives(Bytes& bytes, std::size_t count) {
    Drawn drawn(bytes, count);
    const Numbers mu = drawn.column(-2, 2), time = drawn.column(-6, 6), width = drawn.tame(0.01, 3), entry = drawn.column(-8, -2), weight = drawn.tame(1, 4);
    LifeRows rows;
    rows.life = bytes.byte() % 2 ? StandardLife::logistic : StandardLife::extreme_value;
    rows.kind = static_cast<LifeKind>(bytes.below(4));
    rows.count = count;
    rows.log_sigma = bytes.between(-3, 1);
    rows.mu = mu.data();
    rows.time = time.data();
    rows.width = width.data();
    rows.entry = bytes.byte() % 2 ? entry.data() : nullptr;
    rows.weight = weight.data();
    check_same("life_rows", [&](const Kernels& k) {
        Numbers all(6 * count, 0.0);
        LifeRows own = rows;
        for (std::size_t i = 0; i < 6; ++i) own.out[i] = all.data() + i * count;
        if (!k.life_rows(own)) return Numbers{1};  // nothing of it counts
        return all;
    });
    const Numbers a = drawn.tame(0, 1), b = drawn.tame(0, 1), cells = drawn.column(0, 1);
    const std::size_t cell_count = count / cell_block * cell_block;
    CellLook look;
    look.wear = {a.data(), b.data(), bytes.between(0, 1), bytes.between(0, 1)};
    CellLook early = look;
    early.workmanship = {b.data(), a.data(), 0.2 * bytes.between(0, 1), 0.2};
    const CellLook looks[] = {look, early};
    const bool plain = bytes.byte() % 2, spoiled = bytes.byte() % 2;
    const double strength = bytes.between(0.1, 3);
    check_same("life_cells", [&](const Kernels& k) {
        Numbers all(cells.begin(), cells.begin() + static_cast<std::ptrdiff_t>(cell_count)), sums(cell_count / cell_block);
        k.life_cells.weigh(looks + !plain, plain, spoiled, 0, cell_count, cells.data(), all.data(), sums.data());
        all.insert(all.end(), sums.begin(), sums.end());
        CellLook one = spoiled ? early : look;
        one.power = strength;
        Numbers powered(cell_count);
        k.life_cells.weigh_power(one, 0, cell_count, cells.data(), powered.data());
        all.insert(all.end(), powered.begin(), powered.end());
        all.push_back(k.life_cells.mean(look.wear, 0, cell_count, cells.data()));
        return all;
    });
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Bytes bytes(data, size);
    const std::size_t count = lane_count * static_cast<std::size_t>(2 + bytes.below(3));
    switch (bytes.below(4)) {
        case 0: check_light(bytes, count - static_cast<std::size_t>(bytes.below(16))); break;
        case 1: check_heat(bytes, count - static_cast<std::size_t>(bytes.below(16))); break;
        case 2: check_rates(bytes, count); break;
        default: check_lives(bytes, count);
    }
    return 0;
}
