// ln likelihood of single rows: the pieces of each kind of record, for each family.

#include <vector>

#include "life/likelihood.hpp"

namespace libseal::detail {
namespace {

/// ln of the sum of exponentials.
template <class T>
T log_sum(const T& a, const T& b) {
    if (value_of(a) == -std::numeric_limits<double>::infinity()) return b;
    if (value_of(b) == -std::numeric_limits<double>::infinity()) return a;
    return value_of(a) >= value_of(b) ? a + softplus(T(b - a)) : b + softplus(T(a - b));
}

template <class Life, class T>
T log_between(const Life& life, const Moment& a, const Moment& b) {
    return a.t > 0 ? life.log_between(a, b) : life.log_failed(b);
}

/// Found at the last look, or never: the defect may have come before any of the looks that missed it.
template <class Life, class T>
T log_looks(const Life& life, const LifeRow& row, const std::vector<Moment>& looks, const T& log_found, const T& log_missed) {
    const std::size_t count = row.end_look - row.first_look;
    const auto nothing = T(-std::numeric_limits<double>::infinity());
    T sum = nothing;
    Moment before = row.late ? row.entry : Moment{};
    for (std::size_t j = 0; j < count; ++j) {
        const Moment& here = looks[row.first_look + j];
        const double later = static_cast<double>(count - j - (row.found ? 1 : 0));  // looks that missed it
        if (here.t > before.t && (later == 0 || value_of(log_missed) > -1e300)) {
            T term = log_between<Life, T>(life, before, here);
            if (later > 0) term += later * log_missed;
            sum = log_sum(sum, term);
        }
        before = here;
    }
    if (row.found) return sum + log_found;
    return count ? log_sum(sum, T(life.log_survival(before))) : T(0.0);
}

template <class Life, class T>
T log_row(const Life& life, const LifeRow& row, const std::vector<Moment>& looks, const T& log_found, const T& log_missed) {
    T sum(0.0);
    switch (row.kind) {
        case FitRecordKind::exact: sum = life.log_density(row.lower); break;
        case FitRecordKind::right: sum = life.log_survival(row.lower); break;
        case FitRecordKind::left: sum = life.log_failed(row.upper); break;
        case FitRecordKind::interval: sum = life.log_between(row.lower, row.upper); break;
        case FitRecordKind::looks: sum = log_looks(life, row, looks, log_found, log_missed); break;
    }
    return row.late ? sum - life.log_survival(row.entry) : sum;
}

/// `Build` makes a life from duals; variable 0 is mu. Detect: the chance of detection is the last variable.
template <class Build, int N, bool Detect>
class RowModelOf final : public RowModel {
public:
    explicit RowModelOf(const FitRecords& data) : data_(data) {}
    int locals() const override { return N; }

    void fill(const Eigen::VectorXd& shared, std::size_t begin, const Eigen::VectorXd& mu, RowTable& out) const override {
        using T = Dual<N>;
        T variable[N];
        for (int k = 0; k < N; ++k) variable[k] = T::variable(k ? shared[k - 1] : 0.0, k);
        auto life = Build::template make<T>(variable);
        T log_found(std::log(data_.detection)), log_missed(std::log1p(-data_.detection));
        if constexpr (Detect) {
            log_found = -softplus(T(-variable[N - 1]));
            log_missed = -softplus(variable[N - 1]);
        }
        const Eigen::Index count = mu.size();
        out.value = 0;
        out.slope.resize(count, N);
        out.bend.resize(count, N * (N + 1) / 2);
        for (Eigen::Index i = 0; i < count; ++i) {
            const LifeRow& row = data_.rows[begin + static_cast<std::size_t>(i)];
            Build::mu(life).value = mu[i];
            const T value = log_row(life, row, data_.looks, log_found, log_missed);
            out.value += row.weight * value.value;
            int pair = 0;
            for (int a = 0; a < N; ++a) {
                out.slope(i, a) = row.weight * value.slope[a];
                for (int b = a; b < N; ++b) out.bend(i, pair++) = row.weight * value.bend(a, b);
            }
        }
    }

private:
    const FitRecords& data_;
};

struct BuildExponential {
    template <class T>
    static LogLocationScale<ExtremeValue, T> make(const T* v) {
        return {v[0], T(0.0), T(1.0)};
    }
    template <class Life>
    static auto& mu(Life& life) { return life.mu; }
};
template <class Standard>
struct BuildLocationScale {
    template <class T>
    static LogLocationScale<Standard, T> make(const T* v) {
        return {v[0], v[1], exp_of(T(-v[1]))};
    }
    template <class Life>
    static auto& mu(Life& life) { return life.mu; }
};
struct BuildEarly {
    template <class T>
    static EarlyAndWearOut<T> make(const T* v) {
        return {{v[0], v[1], exp_of(T(-v[1]))}, v[2], v[3]};
    }
    template <class Life>
    static auto& mu(Life& life) { return life.wear.mu; }
};

template <class Build, int N>
std::unique_ptr<RowModel> with_detection(const FitRecords& data) {
    if (data.layout.detection >= 0) return std::make_unique<RowModelOf<Build, N + 1, true>>(data);
    return std::make_unique<RowModelOf<Build, N, false>>(data);
}

}  // namespace

std::unique_ptr<RowModel> row_model(const FitRecords& data) {
    switch (data.family) {
        case LifeFamily::exponential: return with_detection<BuildExponential, 1>(data);
        case LifeFamily::weibull: return with_detection<BuildLocationScale<ExtremeValue>, 2>(data);
        case LifeFamily::lognormal: return with_detection<BuildLocationScale<Normal>, 2>(data);
        case LifeFamily::loglogistic: return with_detection<BuildLocationScale<Logistic>, 2>(data);
        case LifeFamily::early_and_wear_out: return with_detection<BuildEarly, 4>(data);
    }
    return nullptr;
}

}  // namespace libseal::detail
