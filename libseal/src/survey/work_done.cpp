#include <algorithm>
#include <map>
#include <numeric>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/survey/read.hpp"
#include "survey/check.hpp"

namespace libseal {
namespace {

template <class Record>
void check_records(const std::vector<Record>& records, const Fleet& fleet, Date as_of, const std::string& list) {
    const detail::RecordCheck check(fleet, as_of);
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < records.size() && problems.size() < limits::problems; ++i) {
        const detail::Note note = [&](const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
            problems.push_back(detail::field_problem(list + "[" + std::to_string(i) + "]." + field, expected, got, hint));
        };
        detail::check_content(records[i], note);
        check.check(records[i], note);
    }
    if (problems.size() > limits::problems) problems.resize(limits::problems);
    if (!problems.empty()) throw ValueError(std::move(problems));
}

/// In order of date; records of one day in the order given, so that the last of a day stands.
std::vector<std::size_t> order_of_days(const std::vector<WorkDone>& work) {
    std::vector<std::size_t> order(work.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return work[a].date < work[b].date; });
    return order;
}

/// Looking, cleaning, a touched-up spot and a temporary cover leave the layer its age.
bool renews(const WorkDone& record, Date as_of) {
    static const std::vector<std::string> renewing = {"reseal_over", "cut_out_and_reseal", "rebed",
                                                      "refasten_and_seal", "replace_part", "cover_with_tape"};
    return !record.declined && record.date <= as_of &&
           std::find(renewing.begin(), renewing.end(), record.action) != renewing.end();
}

/// Gives a layer its next generation; false if the record is older than the layer.
bool renew(Layer& layer, const WorkDone& record) {
    if (record.date < layer.installed_from) return false;
    // A second record of the same renewal, or the same records once more, make no further generation.
    const bool renewed_that_day =
        layer.generation > 1 && layer.installed_from == record.date && layer.installed_to == record.date;
    if (!renewed_that_day) ++layer.generation;
    layer.installed_from = layer.installed_to = record.date;
    if (!record.family.empty()) layer.family = record.family;
    return true;
}

}  // namespace

void check_findings(const std::vector<Finding>& findings, const Fleet& fleet, Date as_of) {
    check_records(findings, fleet, as_of, "findings");
}

void check_work_done(const std::vector<WorkDone>& work, const Fleet& fleet, Date as_of) {
    check_records(work, fleet, as_of, "work_done");
}

LayerHistory layer_history(const Layer& first, const std::string& coach, const std::string& joint,
                           const std::vector<WorkDone>& work, Date as_of) {
    LayerHistory history{{first}, {}};
    for (const std::size_t i : order_of_days(work)) {
        const WorkDone& record = work[i];
        if (record.coach != coach || record.joint != joint || record.layer != first.kind || !renews(record, as_of)) continue;
        Layer next = history.generations.back();
        if (!renew(next, record)) continue;
        if (next.generation == history.generations.back().generation) {
            history.generations.back() = next;
        } else {
            history.generations.push_back(next);
            history.ended.push_back(record.date);
        }
    }
    return history;
}

Fleet with_work_done(const Fleet& fleet, const std::vector<WorkDone>& work, Date as_of) {
    Fleet result = fleet;
    std::map<std::pair<std::string, std::string>, Joint*> joints;
    for (auto& coach : result.coaches)
        for (auto& joint : coach.joints) joints[{coach.id, joint.id}] = &joint;
    for (const std::size_t i : order_of_days(work)) {
        const WorkDone& record = work[i];
        const auto place = joints.find({record.coach, record.joint});
        if (!renews(record, as_of) || place == joints.end()) continue;
        for (auto& layer : place->second->layers)
            if (layer.kind == record.layer) renew(layer, record);
    }
    return result;
}

}  // namespace libseal
