#include "libseal/forecast/evidence.hpp"

#include <set>

#include "core/json.hpp"
#include "forecast/basis.hpp"
#include "forecast/input_checks.hpp"

namespace libseal {

std::string Evidence::to_json() const {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/evidence/1");
    out.key("joints");
    out.begin_list();
    for (const auto& joint : joints_) {
        out.begin_object();
        out.member("family", joint.key.family);
        out.member("model_line", joint.key.model_line);
        out.member("coach", joint.key.coach);
        out.member("joint", joint.key.joint);
        out.key("likelihood");
        out.begin_list();
        for (const double value : joint.likelihood) out.value(value);
        out.end_list();
        out.end_object();
    }
    out.end_list();
    out.end_object();
    return out.take();
}

Evidence Evidence::from_json(std::string_view text, const std::string& name) {
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const detail::JsonView root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/evidence/1");
    root.check_keys({"schema", "joints"});
    std::vector<JointEvidence> joints;
    for (const detail::JsonView& view : root.required("joints").items()) {
        view.check_keys({"family", "model_line", "coach", "joint", "likelihood"});
        JointEvidence joint{{view.required("family").text(), view.required("model_line").text(),
                             view.required("coach").text(), view.required("joint").text()}, {}};
        const auto values = view.required("likelihood").items();
        joint.likelihood.resize(static_cast<Eigen::Index>(values.size()));
        for (std::size_t k = 0; k < values.size(); ++k)
            joint.likelihood[static_cast<Eigen::Index>(k)] = values[k].number(0, 1e300, 0);
        joints.push_back(std::move(joint));
    }
    problems.throw_if_any();
    return Evidence(std::move(joints));
}

Evidence collect_evidence(const Fleet& fleet, Date as_of, const ForecastOptions& options) {
    detail::check_fleet_inputs(fleet, options.findings, as_of, options);
    std::set<std::string> seen;
    for (const auto& finding : options.findings) seen.insert(finding.coach);
    Fleet looked_at;
    for (const auto& coach : fleet.coaches)
        if (seen.count(coach.id) > 0) looked_at.coaches.push_back(coach);
    ForecastOptions own = options;
    own.shared = std::make_shared<const SharedEffects>();  // nothing is combined here
    std::erase_if(own.work_done, [&](const WorkDone& work) { return seen.count(work.coach) == 0; });
    const detail::WantedBeliefs named{detail::joints_named(looked_at, own.findings)};
    return Evidence(detail::ForecastBasis(std::move(looked_at), as_of, own, named).evidence(options.watch));
}

SharedEffects combine_evidence(const std::vector<Evidence>& batches, const Catalogue& catalogue) {
    const detail::LifeModel model = detail::life_model(catalogue);
    std::vector<JointEvidence> all;
    for (const auto& batch : batches) all.insert(all.end(), batch.joints().begin(), batch.joints().end());
    return SharedEffects(model.effects, model.prior, std::move(all));
}

}  // namespace libseal
