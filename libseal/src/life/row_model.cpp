// ln likelihood of single rows: the pieces of each kind of record, for each family.

#include <algorithm>
#include <cmath>
#include <vector>

#include "kernel/kernels.hpp"
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

/// Lives of two parameters without looks, by registers; by `careful` where records lie too far out for that.
class LaneRowModel final : public RowModel {
public:
    LaneRowModel(const FitRecords& data, int locals, kernel::StandardLife life, std::unique_ptr<RowModel> careful)
        : data_(data), locals_(locals), life_(life), careful_(std::move(careful)), columns_(static_cast<Eigen::Index>(data.rows.size()), 4) {
        for (std::size_t i = 0; i < data.rows.size(); ++i) {
            const LifeRow& row = data.rows[i];
            const bool left = row.kind == FitRecordKind::left;
            columns_.row(static_cast<Eigen::Index>(i)) << (left ? row.upper : row.lower).log_t, row.upper.log_t - row.lower.log_t,
                row.entry.log_t, row.weight;
            if (i == 0 || !like(data.rows[i - 1], row)) run_begin_.push_back(i);
        }
        run_begin_.push_back(data.rows.size());
    }
    int locals() const override { return locals_; }

    void fill(const Eigen::VectorXd& shared, std::size_t begin, const Eigen::VectorXd& mu, RowTable& out) const override {
        const Eigen::Index count = mu.size();
        out.slope.resize(count, locals_);
        out.bend.resize(count, locals_ * (locals_ + 1) / 2);
        out.by_row.resize(count, 4);  // what an exponential life does not ask for has room here
        const std::size_t end = begin + static_cast<std::size_t>(count);
        auto run = std::upper_bound(run_begin_.begin(), run_begin_.end(), begin);
        for (std::size_t i = begin; i < end; i = *run++)
            if (!fill_run(shared, i, std::min(end, *run), begin, mu, out)) return careful_->fill(shared, begin, mu, out);
        out.value = out.by_row.col(0).sum();
    }

private:
    static bool like(const LifeRow& a, const LifeRow& b) { return a.kind == b.kind && a.late == b.late; }

    /// Records [from, to) of one kind, in a table that begins at `begin`.
    bool fill_run(const Eigen::VectorXd& shared, std::size_t from, std::size_t to, std::size_t begin, const Eigen::VectorXd& mu,
                  RowTable& out) const {
        static constexpr kernel::LifeKind kinds[] = {kernel::LifeKind::exact, kernel::LifeKind::right, kernel::LifeKind::left,
                                                     kernel::LifeKind::interval};
        const auto at = static_cast<Eigen::Index>(from - begin), row = static_cast<Eigen::Index>(from);
        const auto column = [&](Eigen::Index k) { return &columns_(row, k); };
        kernel::LifeRows rows;
        rows.life = life_;
        rows.kind = kinds[static_cast<int>(data_.rows[from].kind)];
        rows.count = to - from;
        rows.log_sigma = locals_ > 1 ? shared[0] : 0;
        rows.mu = &mu[at];
        rows.time = column(0);
        rows.width = column(1);
        rows.entry = data_.rows[from].late ? column(2) : nullptr;
        rows.weight = column(3);
        const auto room = [&](Eigen::ArrayXXd& table, Eigen::Index k, Eigen::Index spare) {
            return k < table.cols() ? &table(at, k) : &out.by_row(at, spare);
        };
        double* const to_fill[6] = {&out.by_row(at, 0),     room(out.slope, 0, 0), room(out.slope, 1, 1),
                                    room(out.bend, 0, 0), room(out.bend, 1, 2),  room(out.bend, 2, 3)};
        std::copy(std::begin(to_fill), std::end(to_fill), std::begin(rows.out));
        return kernel::kernels().life_rows(rows);
    }

    const FitRecords& data_;
    int locals_;
    kernel::StandardLife life_;
    std::unique_ptr<RowModel> careful_;
    std::vector<std::size_t> run_begin_;  ///< of records alike, with the end of all
    Eigen::ArrayXXd columns_;             ///< a row a record: ln time, ln upper less ln lower, ln entry, weight
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

namespace {

std::unique_ptr<RowModel> careful_row_model(const FitRecords& data) {
    switch (data.family) {
        case LifeFamily::exponential: return with_detection<BuildExponential, 1>(data);
        case LifeFamily::weibull: return with_detection<BuildLocationScale<ExtremeValue>, 2>(data);
        case LifeFamily::lognormal: return with_detection<BuildLocationScale<Normal>, 2>(data);
        case LifeFamily::loglogistic: return with_detection<BuildLocationScale<Logistic>, 2>(data);
        case LifeFamily::early_and_wear_out: return with_detection<BuildEarly, 4>(data);
    }
    return nullptr;
}

}  // namespace

std::unique_ptr<RowModel> row_model(const FitRecords& data) {
    std::unique_ptr<RowModel> careful = careful_row_model(data);
    const bool logistic = data.family == LifeFamily::loglogistic;
    const bool covered = logistic || data.family == LifeFamily::weibull || data.family == LifeFamily::exponential;
    const bool looks = std::any_of(data.rows.begin(), data.rows.end(), [](const LifeRow& row) { return row.kind == FitRecordKind::looks; });
    if (!covered || looks || data.layout.detection >= 0) return careful;
    const auto life = logistic ? kernel::StandardLife::logistic : kernel::StandardLife::extreme_value;
    const int locals = careful->locals();
    return std::make_unique<LaneRowModel>(data, locals, life, std::move(careful));
}

}  // namespace libseal::detail
