#include "forecast/doubts.hpp"

#include <map>

#include "core/problem.hpp"
#include "libseal/survey/read.hpp"

namespace libseal::detail {
namespace {

using LayerKey = std::pair<std::string, std::string>;  // coach, joint

std::map<LayerKey, const Joint*> joints_of(const Fleet& fleet) {
    std::map<LayerKey, const Joint*> joints;
    for (const auto& coach : fleet.coaches)
        for (const auto& joint : coach.joints) joints[{coach.id, joint.id}] = &joint;
    return joints;
}

void add_layer_doubts(const Coach& coach, Date as_of, std::vector<Problem>& doubts) {
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers)
            if (layer.installed_from > as_of)
                doubts.push_back(field_problem(coach.id + "." + joint.id + "." + layer.kind + ".installed", "a day not after " + to_text(as_of),
                                               to_text(layer.installed_from), "the layer is forecast as new on that day"));
    if (!coach.stays.empty() && coach.stays.back().to < as_of)
        doubts.push_back(field_problem(coach.id + ".stays", "stays until " + to_text(as_of),
                                       "the last one ends on " + to_text(coach.stays.back().to),
                                       "whole years of the round repeat, or the last stay goes on"));
}

template <class Record>
void add_early_records(const std::vector<Record>& records, const std::string& list, const std::string& hint,
                       const std::map<LayerKey, const Joint*>& joints, std::vector<Problem>& doubts) {
    for (std::size_t i = 0; i < records.size(); ++i) {
        const auto place = joints.find({records[i].coach, records[i].joint});
        if (place == joints.end()) continue;
        const Layer* layer = layer_of(*place->second, records[i].layer);
        if (layer && records[i].date < layer->installed_from)
            doubts.push_back(field_problem(list + "[" + std::to_string(i) + "].date",
                                           "a day not before " + to_text(layer->installed_from) + ", when the layer was fitted",
                                           to_text(records[i].date), hint));
    }
}

}  // namespace

std::vector<Problem> doubts_of(const Fleet& fleet, Date as_of, const ForecastOptions& options) {
    std::vector<Problem> doubts;
    for (const auto& coach : fleet.coaches) add_layer_doubts(coach, as_of, doubts);
    const auto joints = joints_of(fleet);
    add_early_records(options.findings, "findings", "it says nothing about the layer", joints, doubts);
    add_early_records(options.work_done, "work_done", "the record is passed over", joints, doubts);
    return doubts;
}

}  // namespace libseal::detail
