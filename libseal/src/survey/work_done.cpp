#include <algorithm>
#include <map>
#include <numeric>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"

namespace libseal {
namespace {

/// Coaches and joints by id, so that long lists of records are checked in one pass.
class FleetIndex {
public:
    explicit FleetIndex(const Fleet& fleet) {
        for (const auto& coach : fleet.coaches) {
            coach_ids_.push_back(coach.id);
            auto& joints = joints_[coach.id];
            for (const auto& joint : coach.joints) joints[joint.id] = &joint;
        }
    }

    /// Notes what of a record is not in the fleet; true if all is.
    bool check(const std::string& coach, const std::string& joint, const std::string& layer, const std::string& field,
               std::vector<Problem>& problems) const {
        const auto found = joints_.find(coach);
        if (found == joints_.end()) {
            add(problems, field + ".coach", "a coach of the fleet", coach, coach_ids_);
            return false;
        }
        const auto place = found->second.find(joint);
        if (place == found->second.end()) {
            std::vector<std::string> ids;
            for (const auto& [id, pointer] : found->second) ids.push_back(id);
            add(problems, field + ".joint", "a joint of coach " + coach, joint, ids);
            return false;
        }
        if (layer.empty() || layer_of(*place->second, layer)) return true;
        std::vector<std::string> kinds;
        for (const auto& own : place->second->layers) kinds.push_back(own.kind);
        std::string list;
        for (const auto& kind : kinds) list += (list.empty() ? "" : ", ") + kind;
        add(problems, field + ".layer", "a layer of joint " + joint + ": " + list, layer, kinds);
        return false;
    }

    static void add(std::vector<Problem>& problems, const std::string& field, const std::string& expected,
                    const std::string& got, const std::vector<std::string>& known) {
        if (problems.size() >= 50) return;
        Problem problem;
        problem.field = field;
        problem.expected = expected;
        problem.got = "\"" + got + "\"";
        const std::string near = nearest_name(got, known);
        if (!near.empty()) problem.hint = "did you mean \"" + near + "\"?";
        problems.push_back(std::move(problem));
    }

private:
    std::vector<std::string> coach_ids_;
    std::map<std::string, std::map<std::string, const Joint*>> joints_;
};

template <class Record>
void check_records(const std::vector<Record>& records, const Fleet& fleet, Date as_of, const char* list) {
    const FleetIndex index(fleet);
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < records.size(); ++i) {
        const Record& record = records[i];
        const std::string field = std::string(list) + "[" + std::to_string(i) + "]";
        index.check(record.coach, record.joint, record.layer, field, problems);
        if (record.date > as_of)
            FleetIndex::add(problems, field + ".date", "a day not after " + to_text(as_of), to_text(record.date), {});
    }
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
