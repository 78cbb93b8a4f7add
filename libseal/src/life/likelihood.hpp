#pragma once
// ln likelihood of records with its derivatives, exact by automatic differentiation.

#include <functional>
#include <memory>

#include "libseal/life/quadrature.hpp"
#include "life/fit_data.hpp"
#include "life/newton.hpp"

namespace libseal::detail {

/// ln likelihoods of some rows with their derivatives along the local variables: mu of the row first, then the parameters
/// that all rows share.
struct RowTable {
    double value = 0;
    Eigen::ArrayXXd slope{};  ///< a column per local variable
    Eigen::ArrayXXd bend{};   ///< a column per pair (0,0) (0,1) ... (1,1) ...
    Eigen::ArrayXXd by_row{}; ///< room to work in
};

/// Fills a table for the rows [begin, begin + mu.size()) at these mu.
class RowModel {
public:
    virtual ~RowModel() = default;
    virtual int locals() const = 0;
    virtual void fill(const Eigen::VectorXd& shared, std::size_t begin, const Eigen::VectorXd& mu, RowTable& out) const = 0;
};
std::unique_ptr<RowModel> row_model(const FitRecords& data);

/// ln likelihood of all records as a function of the parameters of `FitLayout`. @threads  safe.
class Likelihood {
public:
    Likelihood(std::shared_ptr<const FitRecords> data, int nodes, int threads);
    /// @param meanwhile  called from the caller's thread now and then; what it throws ends the evaluation
    void operator()(const Eigen::VectorXd& parameters, CurvedValue& out, const std::function<void()>& meanwhile = nullptr) const;
    const FitRecords& data() const { return *data_; }

private:
    struct Work;
    void add_rows(const Eigen::VectorXd& parameters, std::size_t begin, std::size_t end, double effect, Work& work) const;
    void add_group(const Eigen::VectorXd& parameters, std::size_t begin, std::size_t end, Work& work) const;
    void centre_of(const Eigen::VectorXd& parameters, std::size_t begin, std::size_t end, Work& work, double& centre, double& spread) const;

    std::shared_ptr<const FitRecords> data_;
    std::unique_ptr<RowModel> model_;
    std::vector<int> local_;  ///< parameter of each shared local variable
    Quadrature rule_;         ///< Gauss-Hermite, with the weight function taken out
    int threads_;
};

}  // namespace libseal::detail
