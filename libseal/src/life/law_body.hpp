#pragma once
// What stands behind a LifeLaw.

#include <memory>
#include <string>
#include <vector>

namespace libseal::detail {

/// Life of one kind. Times are > 0 where not said otherwise; the border is LifeLaw.
struct LawBody {
    virtual ~LawBody() = default;
    virtual double survival(double t) const = 0;
    virtual double density(double t) const = 0;
    virtual double hazard(double t) const;
    virtual double area(double t) const = 0;
    virtual double mean() const = 0;
    virtual double quantile(double p) const;
    virtual bool smooth() const { return true; }
    virtual std::vector<std::string> names() const = 0;
    virtual std::vector<double> values() const = 0;
    virtual std::shared_ptr<const LawBody> with(const std::vector<double>& values) const = 0;
};

}  // namespace libseal::detail
