#include "kernel/kernels.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <vector>

#include "life/families.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"

using namespace libseal;
using kernel::InstructionSet;
using kernel::LifeKind;
using kernel::LifeRows;
using kernel::StandardLife;

namespace {

/// Synthetic records of one kind, up to `far` times the spread from their middle.
struct Records {
    Records(std::size_t count, double far, std::uint64_t seed) : mu(count), time(count), width(count), entry(count), weight(count) {
        RandomStream random(seed, 1);
        for (std::size_t i = 0; i < count; ++i) {
            mu[i] = 4 * random.uniform() - 2;
            time[i] = mu[i] + far * (2 * random.uniform() - 1);
            width[i] = std::exp(8 * random.uniform() - 7);
            entry[i] = time[i] - random.uniform();
            weight[i] = 1 + std::floor(3 * random.uniform());
        }
    }
    std::vector<double> mu, time, width, entry, weight;
};

struct Filled {
    bool within = false;
    std::vector<double> columns[6];
};

Filled filled(InstructionSet set, const Records& records, StandardLife life, LifeKind kind, bool late, double log_sigma) {
    Filled result;
    LifeRows rows;
    rows.life = life;
    rows.kind = kind;
    rows.count = records.mu.size();
    rows.log_sigma = log_sigma;
    rows.mu = records.mu.data();
    rows.time = records.time.data();
    rows.width = records.width.data();
    rows.entry = late ? records.entry.data() : nullptr;
    rows.weight = records.weight.data();
    for (std::size_t k = 0; k < 6; ++k) {
        result.columns[k].assign(rows.count, 0);
        rows.out[k] = result.columns[k].data();
    }
    result.within = kernel::kernels_of(set).life_rows(rows);
    return result;
}

using T = detail::Dual<2>;

/// One record by the formulas that lose no digits anywhere.
template <class Standard>
T careful(LifeKind kind, double mu, double log_sigma, double time, double width, const double* entry) {
    const T location = T::variable(mu, 0), spread = T::variable(log_sigma, 1);
    const detail::LogLocationScale<Standard, T> life{location, spread, detail::exp_of(T(-spread))};
    const auto at = [](double log_t) { return detail::Moment{std::exp(log_t), log_t}; };
    T sum;
    switch (kind) {
        case LifeKind::exact: sum = life.log_density(at(time)); break;
        case LifeKind::right: sum = life.log_survival(at(time)); break;
        case LifeKind::left: sum = life.log_failed(at(time)); break;
        case LifeKind::interval: sum = life.log_between(at(time), at(time + width)); break;
    }
    return entry ? sum - life.log_survival(at(*entry)) : sum;
}

constexpr LifeKind kinds[] = {LifeKind::exact, LifeKind::right, LifeKind::left, LifeKind::interval};

template <class Standard>
void compare(StandardLife life) {
    const Records records(257, 6, 7);
    for (const LifeKind kind : kinds)
        for (const bool late : {false, true})
            for (const double log_sigma : {-1.5, 0.0, 0.7}) {
                const Filled rows = filled(kernel::chosen_set(), records, life, kind, late, log_sigma);
                REQUIRE(rows.within);
                for (std::size_t i = 0; i < records.mu.size(); ++i) {
                    const T wanted = records.weight[i] * careful<Standard>(kind, records.mu[i], log_sigma, records.time[i],
                                                                           records.width[i], late ? &records.entry[i] : nullptr);
                    const double all[6] = {wanted.value,      wanted.slope[0],   wanted.slope[1],
                                           wanted.bend(0, 0), wanted.bend(0, 1), wanted.bend(1, 1)};
                    // Where terms far larger than the sum cancel, as before and after entry, their rounding is left.
                    double size = 1;
                    for (const double value : all) size = std::max(size, std::fabs(value));
                    const double most = size * (late ? std::exp((std::fabs(records.time[i] - records.mu[i]) + 1) * std::exp(-log_sigma)) : 1);
                    for (std::size_t k = 0; k < 6; ++k) {
                        INFO("kind " << static_cast<int>(kind) << " late " << late << " ln sigma " << log_sigma << " row " << i << " column " << k);
                        REQUIRE(std::fabs(rows.columns[k][i] - all[k]) <= 1e-12 * size + 1e-15 * std::min(most, 1e12));
                    }
                }
            }
}

}  // namespace

TEST_CASE("records by registers are those of the careful formulas", "[kernel][life]") {
    compare<detail::ExtremeValue>(StandardLife::extreme_value);
    compare<detail::Logistic>(StandardLife::logistic);
}

TEST_CASE("every instruction set gives the same bits of records", "[kernel][life]") {
    const std::vector<InstructionSet> sets = kernel::sets_that_run();
    REQUIRE(sets.front() == InstructionSet::portable);
    for (const std::size_t count : {1, 3, 8, 31, 1000}) {
        const Records records(count, 20, count);
        for (const StandardLife life : {StandardLife::extreme_value, StandardLife::logistic})
            for (const LifeKind kind : kinds)
                for (const bool late : {false, true}) {
                    const Filled portable = filled(InstructionSet::portable, records, life, kind, late, 0.1);
                    REQUIRE(portable.within);
                    for (const InstructionSet set : sets) {
                        const Filled other = filled(set, records, life, kind, late, 0.1);
                        REQUIRE(other.within);
                        for (std::size_t k = 0; k < 6; ++k)
                            REQUIRE(std::memcmp(portable.columns[k].data(), other.columns[k].data(), count * sizeof(double)) == 0);
                    }
                }
    }
}

TEST_CASE("records out of reach are refused by every instruction set", "[kernel][life]") {
    for (const InstructionSet set : kernel::sets_that_run()) {
        Records records(21, 2, 3);
        REQUIRE(filled(set, records, StandardLife::extreme_value, LifeKind::right, false, 0).within);
        for (const double far : {-301.0, 301.0, std::nan("")}) {
            records.time[20] = records.mu[20] + far;
            for (const StandardLife life : {StandardLife::extreme_value, StandardLife::logistic})
                for (const LifeKind kind : kinds) REQUIRE_FALSE(filled(set, records, life, kind, false, 0).within);
        }
    }
}

TEST_CASE("instruction sets have names, and the one in use runs here", "[kernel]") {
    const std::vector<InstructionSet> sets = kernel::sets_that_run();
    REQUIRE(kernel::name_of(sets.front()) == "portable");
    REQUIRE(std::count(sets.begin(), sets.end(), kernel::chosen_set()) == 1);
}
