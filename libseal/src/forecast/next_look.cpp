#include "libseal/forecast/next_look.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "forecast/look_choice.hpp"
#include "forecast/look_information.hpp"
#include "forecast/look_route.hpp"
#include "forecast/states.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::ForecastBasis;
using detail::JointBelief;

/// A joint with all that the choice and the words need.
struct PossibleLook {
    const Joint* joint = nullptr;
    JointType type;
    detail::WayPoint place;
    double minutes = 0;
    double value = 0;
    detail::LookInformation tells;
    bool has_layers = false;
    std::string overdue;  ///< why, "" if it is not
};

std::string in_words(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

std::string percent(double p) { return number_text(100 * p, p < 0.0995 ? 1 : 0) + " %"; }

/// "1 year", "6 months".
std::string span_text(double years) {
    const double months = 12 * years;
    if (std::abs(months - std::round(months)) < 1e-9 && std::fmod(std::round(months), 12) != 0) {
        const int whole = static_cast<int>(std::round(months));
        return std::to_string(whole) + (whole == 1 ? " month" : " months");
    }
    return number_text(years) + (years == 1 ? " year" : " years");
}

/// Whole months are counted as months, as the forecast counts its horizons.
Date end_of(Date day, double years) {
    const double months = 12 * years;
    return std::abs(months - std::round(months)) < 1e-9 ? add_months(day, static_cast<int>(std::round(months))) : add_years(day, years);
}

/// Noise of the one who looks [grades]; NaN: the usual one.
double noise_of(const ForecastBasis& basis, const std::string& inspector) {
    if (inspector.empty()) return std::nan("");
    const auto& own = basis.options.look_noise;
    if (const auto found = own.find(inspector); found != own.end()) return found->second;
    std::vector<std::string> known;
    for (const auto& [name, noise] : own) known.push_back(name);
    const std::string near = nearest_name(inspector, known);
    throw_value_error("inspector", "one with a noise of their own in the forecast", "\"" + inspector + "\"",
                      near.empty() ? "leave it empty for the usual noise" : "did you mean \"" + near + "\"?");
}

/// Number of the coach in the forecast; the joints with layers must be the same.
std::size_t checked_coach(const Coach& coach, const Forecast& forecast) {
    const ForecastBasis& basis = detail::basis_of(forecast);
    check_coach(coach, basis.options.catalogue);
    const auto& coaches = basis.standing.coaches;
    std::size_t c = 0;
    while (c < coaches.size() && coaches[c].id != coach.id) ++c;
    if (c == coaches.size()) throw_value_error("coach", "a coach of the forecast", "\"" + coach.id + "\"", "forecast the same coach");
    std::set<std::string> forecast_joints;
    for (const auto row : forecast.rows_of(coach.id)) forecast_joints.insert(forecast.joint[static_cast<std::size_t>(row)]);
    for (const auto& joint : coach.joints)
        if (!joint.layers.empty() && forecast_joints.erase(joint.id) == 0)
            throw_value_error("coach.joints", "joints of the forecast", "\"" + joint.id + "\"", "forecast the same coach");
    if (!forecast_joints.empty())
        throw_value_error("coach.joints", "joint \"" + *forecast_joints.begin() + "\" of the forecast", "none", "forecast the same coach");
    return c;
}

Date checked_day(const Forecast& forecast, const InspectionOptions& options) {
    require_above(options.horizon, 0, 50, "horizon");
    require_not_negative(options.least_bits_per_minute, "least_bits_per_minute");
    if (!(options.budget >= 0)) throw_value_error("budget", "0 or more minutes, or infinity", number_text(options.budget));
    const Date day = options.day.value_or(forecast.as_of), last = add_months(forecast.as_of, 12 * 50);
    if (day < forecast.as_of || day > last)
        throw_value_error("day", "a day from " + to_text(forecast.as_of) + " (that of the forecast) to " + to_text(last), to_text(day));
    return day;
}

/// Why the look is overdue; "" if it is not. The layer whose look was wanted first speaks; one that no look sees has no
/// date for its look, but counts when it is likely enough due.
std::string overdue_because(const ForecastBasis& basis, const JointBelief& joint, std::size_t first, const Forecast& forecast, Date day) {
    std::string since, due;
    Date earliest = day + 1;
    double most = 0;
    for (std::size_t l = 0; l < joint.size(); ++l) {
        const std::string kind = in_words(joint.layer(l).layer->kind);
        const double age = forecast.effective_age[static_cast<Eigen::Index>(first + l)];
        const double full_age = detail::utilisation_of(basis, basis.clocks.layers[joint.layer(l).row], age).full_age;
        const Date wanted = detail::is_seen(joint, l) ? detail::look_wanted(basis, joint, l, full_age) : day + 1;
        if (wanted < earliest) {
            earliest = wanted;
            since = wanted == day ? "look due today (" + kind + ")" : "look overdue since " + to_text(wanted) + " (" + kind + ")";
        }
        const double now = joint.due(l, day);
        if (now >= basis.model.target && now > most) {
            most = now;
            due = kind + " is due already with " + percent(now) + ", limit " + percent(basis.model.target);
        }
    }
    return since + (since.empty() || due.empty() ? "" : "; ") + due;
}

std::string told(const detail::LookInformation& tells, double horizon) {
    return "a look would tell " + number_text(tells.bits, 2) + " of " + number_text(tells.open, 2) + " bits: due within " + span_text(horizon) +
           " with " + percent(tells.due);
}

double minutes_of(const Joint& joint, const Catalogue& catalogue) {
    return catalogue.number("labour/survey_item") + catalogue.number("labour/photo_and_record") +
           catalogue.number("labour/survey_walk") * path_length(joint.path);
}

/// All joints of the coach in walking order, with what their looks would tell.
std::vector<PossibleLook> looks_of(const Coach& coach, const Forecast& forecast, std::size_t c, Date day, const InspectionOptions& options) {
    const ForecastBasis& basis = *forecast.basis;
    const Catalogue& catalogue = basis.options.catalogue;
    const double noise = noise_of(basis, options.inspector);
    std::vector<PossibleLook> looks;
    for (const auto& joint : coach.joints) {
        PossibleLook look{&joint, joint_type(catalogue, joint.type), detail::way_point(coach, joint), minutes_of(joint, catalogue), 0, {}, false, ""};
        looks.push_back(std::move(look));
    }
    std::sort(looks.begin(), looks.end(), [](const PossibleLook& a, const PossibleLook& b) { return detail::comes_before(a.place, b.place); });
    const Date until = end_of(day, options.horizon);
    basis.each_joint(c, [&](const JointBelief& belief, std::size_t first) {
        const auto look = std::find_if(looks.begin(), looks.end(), [&](const PossibleLook& one) { return one.joint->id == forecast.joint[first]; });
        look->has_layers = true;
        look->tells = detail::look_information(belief, basis.model, day, until, noise);
        look->overdue = overdue_because(basis, belief, first, forecast, day);
        const std::string weight = "inspection/weight_class_" + std::to_string(look->type.consequence);
        look->value = look->tells.bits * (options.weigh_consequence ? catalogue.number(weight) : 1.0);
    });
    return looks;
}

std::string left_because(const PossibleLook& look, const InspectionOptions& options, bool up) {
    if (!look.has_layers) return "no sealant to look at";
    if (look.value <= options.least_bits_per_minute * look.minutes) return "too little for its minutes: " + told(look.tells, options.horizon);
    const std::string why = look.place.roof && !up ? "not worth the way up to the roof now: " : "no minutes left: ";
    return why + told(look.tells, options.horizon);
}

InspectionPlan written(const Coach& coach, Date day, const std::vector<PossibleLook>& looks, const std::vector<bool>& chosen,
                       const detail::LookCosts& costs, const InspectionOptions& options) {
    InspectionPlan plan;
    plan.coach = coach.id;
    plan.day = day;
    plan.horizon = options.horizon;
    std::vector<detail::WayPoint> ground, roof;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        const PossibleLook& look = looks[i];
        if (!chosen[i]) continue;
        (look.place.roof ? roof : ground).push_back(look.place);
        const std::string reason = (look.overdue.empty() ? "" : look.overdue + "; ") + told(look.tells, options.horizon);
        plan.stops.push_back({look.joint->id, static_cast<int>(plan.stops.size()) + 1, look.place.roof ? "roof" : "ground", look.minutes,
                              look.tells.bits, look.tells.due, !look.overdue.empty(), reason, look.type.cautions});
        plan.minutes += look.minutes;
        plan.bits += look.tells.bits;
    }
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (!chosen[i])
            plan.left_out.push_back({looks[i].joint->id, looks[i].minutes, looks[i].tells.bits, looks[i].tells.bits / looks[i].minutes,
                                     left_because(looks[i], options, !roof.empty())});
    std::stable_sort(plan.left_out.begin(), plan.left_out.end(),
                     [](const JointLeftOut& a, const JointLeftOut& b) { return a.bits_per_minute > b.bits_per_minute; });
    if (!plan.stops.empty()) plan.fixed_minutes = costs.fixed;
    if (!roof.empty()) plan.roof_set_up_minutes = costs.roof_set_up;
    plan.minutes += plan.fixed_minutes + plan.roof_set_up_minutes;
    plan.ground_walk = detail::ground_walk(coach, ground);
    plan.roof_walk = detail::roof_walk(coach, roof);
    return plan;
}

}  // namespace

InspectionPlan inspection_plan(const Coach& coach, const Forecast& forecast, const InspectionOptions& options) {
    const std::size_t c = checked_coach(coach, forecast);
    const Date day = checked_day(forecast, options);
    const std::vector<PossibleLook> looks = looks_of(coach, forecast, c, day, options);
    std::vector<detail::LookCandidate> candidates;
    for (const PossibleLook& look : looks) candidates.push_back({look.value, look.minutes, look.place.roof, !look.overdue.empty()});
    const Catalogue& catalogue = forecast.basis->options.catalogue;
    const detail::LookCosts costs{catalogue.number("labour/survey_fixed"), catalogue.number("labour/roof_trip_set_up"), options.budget,
                                  options.least_bits_per_minute};
    return written(coach, day, looks, detail::choose_looks(candidates, costs), costs, options);
}

}  // namespace libseal
