#include "libseal/leak/trace.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "forecast/basis.hpp"
#include "leak/advice.hpp"
#include "leak/model.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"

namespace libseal {
namespace {

constexpr std::size_t most_sightings = 10;  // wet ones; work and memory double with each

void check_word(const std::string& word, const std::vector<std::string>& known, const std::string& field) {
    if (std::find(known.begin(), known.end(), word) != known.end()) return;
    std::string list;
    for (const auto& one : known) list += (list.empty() ? "" : ", ") + one;
    const std::string near = nearest_name(word, known);
    throw_value_error(field, "one of " + list, "\"" + word + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

void check_stain(const Stain& stain, const std::string& field) {
    check_word(stain.kind, {"stain", "soft_spot", "wet_reading", "dirt_run"}, field + ".kind");
    for (const auto& name : stain.appears) check_word(name, detail::circumstance_names(), field + ".appears");
    for (const auto& name : stain.stays_dry) {
        check_word(name, detail::circumstance_names(), field + ".stays_dry");
        if (std::find(stain.appears.begin(), stain.appears.end(), name) != stain.appears.end())
            throw_value_error(field + ".stays_dry", "no circumstance under which it appears", "\"" + name + "\"");
    }
    if (!stain.wet && !stain.appears.empty())
        throw_value_error(field + ".appears", "nothing for a place that was dry", "\"" + stain.appears.front() + "\"", "use stays_dry");
}

std::string text_of(const Finding& finding) { return findings_json({finding}); }

std::vector<Finding> of_coach(const std::vector<Finding>& findings, const std::string& coach) {
    std::vector<Finding> own;
    for (const auto& finding : findings)
        if (finding.coach == coach) own.push_back(finding);
    return own;
}

/// The forecast, with findings worked in that it does not know yet.
Forecast with_findings(const Coach& coach, const std::vector<Finding>& findings, const Forecast& known) {
    std::set<std::string> seen;
    if (known.basis)
        for (const auto& finding : known.basis->options.findings) seen.insert(text_of(finding));
    std::vector<Finding> fresh;
    for (const auto& finding : of_coach(findings, coach.id))
        if (!seen.contains(text_of(finding))) fresh.push_back(finding);
    if (fresh.empty()) return known;
    if (!known.basis)
        throw_value_error("findings", "a forecast made by forecast(), to work them into", std::to_string(fresh.size()) + " findings that it does not know");
    ForecastOptions options = known.basis->options;
    options.findings = of_coach(options.findings, coach.id);
    options.findings.insert(options.findings.end(), fresh.begin(), fresh.end());
    std::erase_if(options.work_done, [&](const WorkDone& work) { return work.coach != coach.id; });
    options.shared = std::make_shared<const SharedEffects>(known.shared_effects());
    return forecast(coach, known.as_of, known.years, options);
}

/// Chance of an open path by joint. [-]
std::vector<double> priors(const Coach& coach, const Forecast& forecast, const Catalogue& catalogue) {
    std::map<std::string, double> open;
    const auto rows = forecast.rows_of(coach.id);
    for (const auto row : rows) open[forecast.joint[static_cast<std::size_t>(row)]] = forecast.open_now[row];
    if (rows.empty() && !coach.joints.empty())
        throw_value_error("forecast", "rows of coach " + coach.id, "none", "forecast the same coach");
    const double other = catalogue.number("leak/prior_without_layers"), highest = catalogue.number("leak/highest_prior");
    std::vector<double> prior;
    for (const auto& joint : coach.joints) {
        const auto found = open.find(joint.id);
        prior.push_back(found == open.end() ? other : std::clamp(found->second, 0.0, highest));
    }
    return prior;
}

}  // namespace

struct LeakTracer::Impl {
    Impl(const Coach& of, const Catalogue& with) : coach(of), catalogue(with), drainage(libseal::drainage(of, with)), ways(drainage) {
        std::map<std::string, std::size_t> number;
        for (std::size_t j = 0; j < coach.joints.size(); ++j) number[coach.joints[j].id] = j;
        for (std::size_t i = 0; i < drainage.places.size(); ++i) {
            if (drainage.places[i].kind != "joint") continue;
            const std::size_t j = number.at(drainage.places[i].joint);
            sources.push_back({static_cast<int>(i), j, ways.from(static_cast<int>(i))});
        }
    }
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;

    std::vector<detail::Sighting> sightings(const std::vector<Stain>& stains) const {
        std::vector<detail::Sighting> all;
        std::size_t wet = 0;
        for (std::size_t k = 0; k < stains.size(); ++k) {
            const Stain& stain = stains[k];
            const std::string field = "stains[" + std::to_string(k) + "]";
            check_stain(stain, field);
            const int at = drainage.nearest(coach, stain.surface, stain.slide, stain.at, stain.inside);
            for (const auto& name : stain.appears) all.push_back({k, at, name, true});
            for (const auto& name : stain.stays_dry) all.push_back({k, at, name, false});
            if (stain.appears.empty() && (stain.wet || stain.stays_dry.empty())) all.push_back({k, at, "", stain.wet});
        }
        for (const auto& sighting : all) wet += sighting.wet;
        if (wet == 0) throw_value_error("stains", "at least one place that was wet", "none");
        if (wet > most_sightings)
            throw_value_error("stains", "at most " + std::to_string(most_sightings) + " wet places times circumstances", std::to_string(wet));
        return all;
    }

    void check_tests(const std::vector<LeakTest>& tests) const {
        for (const auto& test : tests) (void)joint_of(coach, test.joint);
    }

    Coach coach;
    Catalogue catalogue;
    Drainage drainage;
    WaterWays ways;
    std::vector<detail::LeakSource> sources;
};

LeakTracer::LeakTracer(const Coach& coach, const Catalogue& catalogue) : impl_(std::make_shared<const Impl>(coach, catalogue)) {}

const Drainage& LeakTracer::drainage() const { return impl_->drainage; }

LeakTrace LeakTracer::trace(const std::vector<Stain>& stains, const std::vector<Finding>& findings, const Forecast& forecast,
                            const TraceOptions& options) const {
    const Impl& own = *impl_;
    if (options.most < 1) throw_value_error("most", "1 or more", "0");
    own.check_tests(options.tests);
    const auto sightings = own.sightings(stains);
    const Forecast known = with_findings(own.coach, findings, forecast);
    const auto prior = priors(own.coach, known, own.catalogue);
    const detail::LeakInputs inputs{own.coach, own.catalogue, own.drainage, own.sources, prior, stains, sightings, options.tests};
    const detail::LeakModel model = detail::leak_model(inputs);
    const CauseAnswer answer = infer(model.network, model.evidence);
    return detail::told(inputs, model, answer, of_coach(findings, own.coach.id), options.most);
}

LeakTrace trace_leak(const Coach& coach, const std::vector<Stain>& stain, const std::vector<Finding>& findings,
                     const Forecast& forecast, const TraceOptions& options) {
    return LeakTracer(coach, options.catalogue).trace(stain, findings, forecast, options);
}

LeakTrace trace_leak(const Coach& coach, const Stain& stain, const std::vector<Finding>& findings, const Forecast& forecast,
                     const TraceOptions& options) {
    return trace_leak(coach, std::vector<Stain>{stain}, findings, forecast, options);
}

}  // namespace libseal
