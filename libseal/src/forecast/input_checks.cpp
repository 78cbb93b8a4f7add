#include "forecast/input_checks.hpp"

#include <string>
#include <string_view>
#include <unordered_set>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/survey/read.hpp"

namespace libseal::detail {
namespace {

/// Rows are asked for by coach: two coaches of one id could not be told apart.
void require_ids_once(const Fleet& fleet) {
    std::unordered_set<std::string_view> seen(fleet.coaches.size());
    for (std::size_t c = 0; c < fleet.coaches.size(); ++c)
        if (!seen.insert(fleet.coaches[c].id).second)
            throw_value_error("fleet.coaches[" + std::to_string(c) + "].id", "an id that no other coach has", '"' + fleet.coaches[c].id + '"');
}

}  // namespace

void check_fleet_inputs(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const ForecastOptions& options) {
    for (const auto& [inspector, noise] : options.look_noise) require_between(noise, 0.1, 2.0, "look_noise[" + inspector + "]");
    require_ids_once(fleet);
    for (const auto& coach : fleet.coaches) check_coach(coach, options.catalogue);
    check_findings(findings, fleet, as_of);
    check_work_done(options.work_done, fleet, as_of);
}

}  // namespace libseal::detail
