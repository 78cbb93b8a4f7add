#include "life/law_kinds.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/quadrature.hpp"

namespace libseal::detail {
namespace {

/// A life that is stretched in time.
struct StretchedBody final : LawBody {
    StretchedBody(std::shared_ptr<const LawBody> b, double f) : base(std::move(b)), factor(require_positive(f, "stretch")) {}
    double survival(double t) const override { return base->survival(t / factor); }
    double density(double t) const override { return base->density(t / factor) / factor; }
    double hazard(double t) const override { return base->hazard(t / factor) / factor; }
    double area(double t) const override { return factor * base->area(t / factor); }
    double mean() const override { return factor * base->mean(); }
    double quantile(double p) const override { return factor * base->quantile(p); }
    bool smooth() const override { return base->smooth(); }
    std::vector<std::string> names() const override { return {"stretch"}; }
    std::vector<double> values() const override { return {factor}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<StretchedBody>(base, v[0]);
    }
    std::shared_ptr<const LawBody> base;
    double factor;
};

/// A survival that somebody wrote; its area is summed once over panels that double in width.
struct FormulaBody final : LawBody {
    using Function = std::function<double(double)>;
    FormulaBody(Function s, Function d) : formula(std::move(s)), slope(std::move(d)) {
        if (!formula) throw_value_error("survival", "a function of time", "none");
        if (checked(0) < 1 - 1e-9)
            throw_value_error("survival", "1 at age 0", number_text(checked(0)), "give the survival, not the failed share");
        const double middle = find_middle();
        double end = middle;
        for (int k = 0; checked(end) > 1e-13; ++k, end *= 2)
            if (k > 60 || !std::isfinite(end))
                throw_value_error("survival", "a survival that falls to 0", number_text(checked(end)) + " at age " + number_text(end),
                                  "something that may last for ever has no mean life");
        for (double t = end; t > middle * 1e-9; t /= 2) edge.push_back(t);
        edge.push_back(0);
        std::reverse(edge.begin(), edge.end());
        sum.assign(1, 0);
        double last = 1;
        for (std::size_t i = 1; i < edge.size(); ++i) {
            sum.push_back(sum.back() + integral(edge[i - 1], edge[i]));
            for (int k = 1; k <= 16; ++k) {
                const double now = checked(edge[i - 1] + (edge[i] - edge[i - 1]) * k / 16);
                if (now > last + 1e-12) throw_value_error("survival", "a survival that never rises", "a rise at age " + number_text(edge[i]));
                last = now;
            }
        }
    }

    double checked(double t) const {
        const double value = formula(t);
        if (!(value >= -1e-12 && value <= 1 + 1e-12))
            throw_value_error("survival", "0 to 1 at age " + number_text(t), number_text(value));
        return std::clamp(value, 0.0, 1.0);
    }

    double find_middle() const {
        double t = 1;
        int k = 0;
        while (checked(t) > 0.5 && ++k < 400) t *= 2;
        while (checked(t) <= 0.5 && ++k < 800) t /= 2;
        if (k >= 400) throw_value_error("survival", "a survival that falls from 1 to 0", "no age that half reach");
        return t;
    }

    /// Eight panels of a rule with ten nodes.
    double integral(double from, double to) const {
        const double half = (to - from) / 16;
        double total = 0;
        for (int panel = 0; panel < 8; ++panel)
            for (Eigen::Index k = 0; k < rule.node.size(); ++k)
                total += rule.weight[k] * checked(from + half * (2 * panel + 1 + rule.node[k]));
        return total * half;
    }

    double survival(double t) const override { return checked(t); }
    double density(double t) const override {
        if (slope) {
            const double value = slope(t);
            if (!(value >= 0)) throw_value_error("density", "a number >= 0 at age " + number_text(t), number_text(value));
            return value;
        }
        // Central difference of fourth order; the step balances it against rounding.
        const double h = t > 0 ? 1e-3 * t : 1e-6 * edge[1];
        const double near = checked(t + h) - checked(std::max(t - h, 0.0)), far = checked(t + 2 * h) - checked(std::max(t - 2 * h, 0.0));
        return t > 0 ? std::max(0.0, -(8 * near - far) / (12 * h)) : std::max(0.0, -near / h);
    }
    double area(double t) const override {
        if (t >= edge.back()) return sum.back();
        const auto i = static_cast<std::size_t>(std::upper_bound(edge.begin(), edge.end(), t) - edge.begin()) - 1;
        return sum[i] + integral(edge[i], t);
    }
    double mean() const override { return sum.back(); }
    std::vector<std::string> names() const override { return {"stretch"}; }
    std::vector<double> values() const override { return {1}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<StretchedBody>(std::make_shared<FormulaBody>(*this), v[0]);
    }

    Function formula, slope;
    Quadrature rule = gauss_legendre(10);
    std::vector<double> edge, sum;  ///< edges of panels from 0, area up to each
};

struct TableBody final : LawBody {
    TableBody(ConstColumn ages, ConstColumn shares) {
        if (ages.size() == 0) throw_value_error("age", "at least one age", "none");
        if (shares.size() != ages.size())
            throw_value_error("survival", std::to_string(ages.size()) + " values, as many as ages", std::to_string(shares.size()));
        age.assign(1, 0);
        share.assign(1, 1);
        for (Eigen::Index i = 0; i < ages.size(); ++i) {
            const std::string row = "[" + std::to_string(i) + "]";
            if (require_positive(ages[i], "age" + row) <= age.back())
                throw_value_error("age" + row, "an age above the one before", number_text(ages[i]), "sort the table by age");
            if (require_between(shares[i], 0, 1, "survival" + row) > share.back())
                throw_value_error("survival" + row, "a survival not above the one before", number_text(shares[i]));
            age.push_back(ages[i]);
            share.push_back(shares[i]);
        }
        if (share.back() == 1) throw_value_error("survival", "a table in which something fails", "1 at every age");
        sum.assign(1, 0);
        for (std::size_t i = 1; i < age.size(); ++i)
            sum.push_back(sum.back() + 0.5 * (share[i] + share[i - 1]) * (age[i] - age[i - 1]));
        if (share.back() > 0) {
            const double half = 0.5 * age.back(), there = inside(half);
            rest = there > share.back() ? std::log(there / share.back()) / half : -std::log(share.back()) / age.back();
        }
    }

    std::size_t cell(double t) const {
        const auto i = static_cast<std::size_t>(std::upper_bound(age.begin(), age.end(), t) - age.begin());
        return std::min(i, age.size() - 1);
    }
    double inside(double t) const {
        const std::size_t i = cell(t);
        return share[i - 1] + (share[i] - share[i - 1]) * (t - age[i - 1]) / (age[i] - age[i - 1]);
    }
    double tail(double t) const { return share.back() == 0 ? 0 : share.back() * std::exp(-rest * (t - age.back())); }
    double survival(double t) const override { return t >= age.back() ? tail(t) : inside(t); }
    double density(double t) const override {
        if (t >= age.back()) return rest * tail(t);
        const std::size_t i = cell(t);
        return (share[i - 1] - share[i]) / (age[i] - age[i - 1]);
    }
    double area(double t) const override {
        if (t >= age.back()) return sum.back() + (rest > 0 ? (share.back() - tail(t)) / rest : 0);
        const std::size_t i = cell(t);
        return sum[i - 1] + 0.5 * (share[i - 1] + inside(t)) * (t - age[i - 1]);
    }
    double mean() const override { return sum.back() + (rest > 0 ? share.back() / rest : 0); }
    bool smooth() const override { return false; }
    std::vector<std::string> names() const override { return {"stretch"}; }
    std::vector<double> values() const override { return {1}; }
    std::shared_ptr<const LawBody> with(const std::vector<double>& v) const override {
        return std::make_shared<StretchedBody>(std::make_shared<TableBody>(*this), v[0]);
    }

    std::vector<double> age, share, sum;
    double rest = 0;  ///< hazard after the last age
};

}  // namespace

std::shared_ptr<const LawBody> formula_body(std::function<double(double)> survival, std::function<double(double)> density) {
    return std::make_shared<FormulaBody>(std::move(survival), std::move(density));
}

std::shared_ptr<const LawBody> table_body(ConstColumn age, ConstColumn survival) {
    return std::make_shared<TableBody>(age, survival);
}

}  // namespace libseal::detail
