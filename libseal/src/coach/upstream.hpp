#pragma once
// Which joints drain over which, asked for many joints of one coach.

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "libseal/coach/drainage.hpp"

namespace libseal::detail {

/// What `upstream_joints` needs of a drainage, worked out once. The drainage must outlive it.
class Upstream {
public:
    explicit Upstream(const Drainage& drainage);
    /// As `upstream_joints`.
    std::vector<std::string> of(const std::string& joint) const;

private:
    /// Highest point of a joint, then nearest to the ridge: water runs from the greater to the smaller, never round in a circle.
    using Head = std::pair<long, long>;

    const Drainage& drainage_;
    std::map<std::string, Head> heads_;
    std::vector<std::vector<int>> into_;  ///< starts of the links that run over the outside, by their ends
};

}  // namespace libseal::detail
