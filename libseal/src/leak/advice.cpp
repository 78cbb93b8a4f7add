#include "leak/advice.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/text.hpp"
#include "survey/size_class.hpp"

namespace libseal::detail {
namespace {

constexpr double worth_a_test = 0.03;  // [-]

std::string plain(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

std::string percent(double p) { return number_text(std::round(p * 100), 0) + " %"; }

double of(const CauseAnswer& answer, int node) { return answer.probability[static_cast<std::size_t>(node)]; }

class Teller {
public:
    Teller(const LeakInputs& in, const LeakModel& model, const CauseAnswer& answer, const std::vector<Finding>& findings)
        : in_(in), model_(model), answer_(answer), findings_(findings) {}

    LeakTrace tell(std::size_t most) const {
        LeakTrace trace;
        trace.evidence = answer_.evidence;
        for (std::size_t j = 0; j < in_.coach.joints.size(); ++j)
            if (model_.made[j] >= 0) trace.candidates.push_back(candidate(j));
        std::stable_sort(trace.candidates.begin(), trace.candidates.end(), [](const auto& a, const auto& b) {
            return a.probability != b.probability ? a.probability > b.probability : a.joint < b.joint;
        });
        for (const auto& nodes : model_.others)
            if (nodes.made >= 0)
                trace.others.push_back({nodes.name, of(answer_, nodes.made), in_.catalogue.word("leak/other/" + nodes.name + "/check")});
        std::stable_sort(trace.others.begin(), trace.others.end(), [](const auto& a, const auto& b) { return a.probability > b.probability; });
        trace.tests = tests(trace.candidates);
        if (trace.candidates.size() > most) trace.candidates.resize(most);
        for (auto& one : trace.candidates) explain(one);
        return trace;
    }

private:
    const Joint& joint(const std::string& id) const { return joint_of(in_.coach, id); }

    LeakCandidate candidate(std::size_t j) const {
        LeakCandidate one;
        one.joint = in_.coach.joints[j].id;
        one.probability = of(answer_, model_.made[j]);
        one.open = 1 - (1 - of(answer_, model_.any_open[j])) * left_out_shut(j);
        one.before = in_.prior[j];
        return one;
    }

    /// Chance that all runs are shut whose water gets to no mark: the model leaves them out, for the marks say nothing of them.
    double left_out_shut(std::size_t j) const {
        const auto all = std::count_if(in_.sources.begin(), in_.sources.end(), [&](const LeakSource& source) { return source.joint == j; });
        const auto in = std::count_if(model_.sources.begin(), model_.sources.end(), [&](const SourceNodes& nodes) { return in_.sources[nodes.source].joint == j; });
        return std::pow(1 - in_.prior[j], static_cast<double>(all - in) / static_cast<double>(all));
    }

    /// The run and mark that the water most probably came from and went to.
    void explain(LeakCandidate& one) const {
        const SourceNodes* best = nullptr;
        const Contribution* mark = nullptr;
        for (const auto& nodes : model_.sources) {
            if (in_.coach.joints[in_.sources[nodes.source].joint].id != one.joint) continue;
            for (const auto& made : nodes.marks)
                if (in_.sightings[made.sighting].wet && (!mark || of(answer_, made.node) > of(answer_, mark->node))) {
                    best = &nodes;
                    mark = &made;
                }
        }
        if (!best) return;
        const LeakSource& source = in_.sources[best->source];
        const Sighting& sighting = in_.sightings[mark->sighting];
        const WaterPlace& from = in_.drainage.places[static_cast<std::size_t>(source.run)];
        one.path.push_back({from, ""});
        for (const int link : source.tree.path_to(in_.drainage, sighting.place)) {
            const WaterLink& step = in_.drainage.links[static_cast<std::size_t>(link)];
            one.path.push_back({in_.drainage.places[static_cast<std::size_t>(step.to)], step.way});
        }
        give_reasons(one, source, sighting);
    }

    void give_reasons(LeakCandidate& one, const LeakSource& source, const Sighting& sighting) const {
        const Place from = one.path.front().place.place, to = one.path.back().place.place;
        one.reasons.push_back("open with " + percent(one.before) + " before the marks, " + percent(one.open) + " with them");
        const double up = from.z - to.z, away = std::hypot(from.x - to.x, from.y - to.y);
        one.reasons.push_back(number_text(away, 1) + " m away" +
                              (std::abs(up) < 0.05 ? std::string(", at the same height") : ", " + number_text(std::abs(up), 1) + " m " + (up > 0 ? "above" : "below")) +
                              "; of its water " + percent(source.tree.probability[static_cast<std::size_t>(sighting.place)]) + " gets there");
        if (!sighting.when.empty())
            one.reasons.push_back(plain(sighting.when) + ": an open joint here lets water in with " +
                                  percent(in_.catalogue.number("leak/when/" + one.path.front().place.exposure + "/" + sighting.when)));
        for (const auto& finding : findings_)
            if (finding.joint == one.joint && finding.sign != "clean_look" && finding.sign != "not_inspected" && is_there(finding, in_.catalogue))
                one.reasons.push_back(plain(finding.sign) + " seen on " + to_text(finding.date));
    }

    double lowest(const std::string& id) const {
        double z = 1e9;
        for (const auto& source : in_.sources)
            if (in_.coach.joints[source.joint].id == id) z = std::min(z, in_.drainage.places[static_cast<std::size_t>(source.run)].place.z);
        return z;
    }

    std::string how(const Joint& j) const {
        if (j.type == "slide_bulb_seal" || j.type == "slide_wiper_seal")
            return "gentle spray from above, slide-out first extended, then retracted; a seal that moves is not hose-tested";
        if (j.type == "air_conditioner_gasket")
            return "run the cooling on a dry roof first; then wet the roof round the unit, never under pressure";
        if (j.type == "entrance_door_frame" || j.type == "baggage_door_frame")
            return "hose on the frame alone, not on the seal of the door; second person inside";
        return "hose, nozzle square and 0.3 m away, 5 min for each 1.5 m, upwards; second person inside";
    }

    /// Joints worth a test, lowest first: what is above stays dry until what is below has been cleared.
    std::vector<TestStep> tests(const std::vector<LeakCandidate>& candidates) const {
        std::vector<TestStep> steps;
        const double finds = in_.catalogue.number("leak/test/finds"), mistaken = in_.catalogue.number("leak/test/mistaken");
        for (const auto& one : candidates) {
            if (one.probability < worth_a_test) continue;
            const Joint& j = joint(one.joint);
            const double wet = 1 - (1 - mistaken) * (1 - finds * one.open);
            steps.push_back({one.joint, wet, in_.catalogue.number("labour/hose_test") * j.length, how(j)});
        }
        std::stable_sort(steps.begin(), steps.end(), [&](const auto& a, const auto& b) { return lowest(a.joint) < lowest(b.joint); });
        return steps;
    }

    const LeakInputs& in_;
    const LeakModel& model_;
    const CauseAnswer& answer_;
    const std::vector<Finding>& findings_;
};

}  // namespace

LeakTrace told(const LeakInputs& inputs, const LeakModel& model, const CauseAnswer& answer, const std::vector<Finding>& findings,
               std::size_t most) {
    return Teller(inputs, model, answer, findings).tell(most);
}

}  // namespace libseal::detail
