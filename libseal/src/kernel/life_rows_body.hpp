#pragma once
// The body of life_rows.hpp: the pieces of a likelihood for z = (ln t - mu)/sigma within reach.

#include "kernel/lane_dual.hpp"
#include "kernel/life_rows.hpp"

namespace libseal::kernel {
namespace {

constexpr double furthest_life = 300;  // of z and of width/sigma

/// Smallest extreme value: ln t of a Weibull life.
struct ExtremeValueLanes {
    LIBSEAL_LANE static LaneDual log_survival(const LaneDual& z) { return -exp_of(z); }
    LIBSEAL_LANE static LaneDual log_failed(const LaneDual& z) { return log1mexp(exp_of(z)); }
    LIBSEAL_LANE static LaneDual log_density(const LaneDual& z) { return z - exp_of(z); }
    LIBSEAL_LANE static LaneDual log_between(const LaneDual& z, const LaneDual& width) {
        const LaneDual hazard = exp_of(z);
        return log1mexp(hazard * expm1_of(width)) - hazard;
    }
};

struct LogisticLanes {
    LIBSEAL_LANE static LaneDual log_survival(const LaneDual& z) { return -softplus(z); }
    LIBSEAL_LANE static LaneDual log_failed(const LaneDual& z) { return -softplus(-z); }
    LIBSEAL_LANE static LaneDual log_density(const LaneDual& z) { return z - Register(2.0) * softplus(z); }
    LIBSEAL_LANE static LaneDual log_between(const LaneDual& z, const LaneDual& width) {
        return z + width + log1mexp(width) - softplus(z) - softplus(z + width);
    }
};

/// What all records of a call share.
struct LifeShared {
    Register log_sigma, steep;
    explicit LifeShared(double ln) : log_sigma(ln), steep(exponential(Register(-ln))) {}

    /// above/sigma, where above has the slope `by_mu` (0 or -1) along mu.
    LIBSEAL_LANE LaneDual over_sigma(Register above, double by_mu) const {
        const Register z = above * steep, down = Register(-by_mu) * steep;
        return {z, Register(by_mu) * steep, -z, Register(0.0), down, z};
    }
};

/// One register of records, at `at`; false if one is out of reach.
template <class Standard, LifeKind Kind>
LIBSEAL_LANE Mask add_records(const LifeRows& rows, const LifeShared& shared, std::size_t at) {
    const Register mu = Register::load(rows.mu + at), time = Register::load(rows.time + at);
    const LaneDual z = shared.over_sigma(time - mu, -1);
    Register reach = size_of(z.value);
    LaneDual sum;
    if constexpr (Kind == LifeKind::exact) {
        sum = Standard::log_density(z);
        sum.value = sum.value - shared.log_sigma - time;
        sum.b = sum.b - Register(1.0);
    } else if constexpr (Kind == LifeKind::right) {
        sum = Standard::log_survival(z);
    } else if constexpr (Kind == LifeKind::left) {
        sum = Standard::log_failed(z);
    } else {
        const LaneDual width = shared.over_sigma(Register::load(rows.width + at), 0);
        reach = larger(reach, larger(width.value, size_of(z.value + width.value)));
        sum = Standard::log_between(z, width);
    }
    if (rows.entry) {
        const LaneDual begin = shared.over_sigma(Register::load(rows.entry + at) - mu, -1);
        reach = larger(reach, size_of(begin.value));
        sum = sum - Standard::log_survival(begin);
    }
    const Register weight = Register::load(rows.weight + at);
    const Register all[6] = {sum.value, sum.a, sum.b, sum.aa, sum.ab, sum.bb};
    for (std::size_t k = 0; k < 6; ++k) (weight * all[k]).store(rows.out[k] + at);
    return reach < Register(furthest_life);
}

bool all_of(Mask mask) {
    double ones[Register::width];
    either(mask, Register(1.0), Register(0.0)).store(ones);
    for (const double one : ones)
        if (one == 0) return false;
    return true;
}

/// Full registers; the rest of less than one is worked out in a copy.
template <class Standard, LifeKind Kind>
bool life_rows_of(const LifeRows& rows) {
    constexpr std::size_t width = Register::width;
    const LifeShared shared(rows.log_sigma);
    std::size_t at = 0;
    for (; at + width <= rows.count; at += width)
        if (!all_of(add_records<Standard, Kind>(rows, shared, at))) return false;
    if (at == rows.count) return true;
    double in[5][width], out[6][width];
    const double* from[5] = {rows.mu, rows.time, Kind == LifeKind::interval ? rows.width : nullptr, rows.entry, rows.weight};
    for (std::size_t k = 0; k < 5; ++k)
        for (std::size_t i = 0; from[k] && i < width; ++i) in[k][i] = from[k][at + i < rows.count ? at + i : rows.count - 1];
    LifeRows rest = rows;
    rest.mu = in[0], rest.time = in[1], rest.width = in[2], rest.weight = in[4];
    if (rows.entry) rest.entry = in[3];
    for (std::size_t k = 0; k < 6; ++k) rest.out[k] = out[k];
    if (!all_of(add_records<Standard, Kind>(rest, shared, 0))) return false;
    for (std::size_t k = 0; k < 6; ++k)
        for (std::size_t i = 0; at + i < rows.count; ++i) rows.out[k][at + i] = out[k][i];
    return true;
}

template <class Standard>
bool life_rows_by_kind(const LifeRows& rows) {
    switch (rows.kind) {
        case LifeKind::exact: return life_rows_of<Standard, LifeKind::exact>(rows);
        case LifeKind::right: return life_rows_of<Standard, LifeKind::right>(rows);
        case LifeKind::left: return life_rows_of<Standard, LifeKind::left>(rows);
        case LifeKind::interval: return life_rows_of<Standard, LifeKind::interval>(rows);
    }
    return false;
}

bool life_rows(const LifeRows& rows) {
    return rows.life == StandardLife::logistic ? life_rows_by_kind<LogisticLanes>(rows) : life_rows_by_kind<ExtremeValueLanes>(rows);
}

}  // namespace
}  // namespace libseal::kernel
