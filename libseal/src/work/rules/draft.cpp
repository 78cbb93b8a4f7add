#include "work/rules/draft.hpp"

#include <algorithm>
#include <functional>
#include <queue>

#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

std::size_t as_index(int i) { return static_cast<std::size_t>(i); }

bool contains(const std::vector<std::string>& list, const char* name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

}  // namespace

OrderDraft::OrderDraft(std::vector<Step>& steps, const Coach& the_coach, const Catalogue& the_catalogue, const OrderOptions& the_options,
                       const std::vector<Edge>& given)
    : coach(the_coach), catalogue(the_catalogue), options(the_options), steps_(steps), after_(steps.size()) {
    std::map<int, std::size_t> index;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const Step& step = steps[i];
        if (step.task < 0) {
            if (step.id == "visit/" + step.kind) job_[step.kind] = static_cast<int>(i);
            continue;
        }
        const auto [at, fresh] = index.emplace(step.task, works_.size());
        if (fresh) {
            works_.push_back({});
            works_.back().of_part = !step.part.empty();
            works_.back().place = place_of(coach, place_of_step(step));
            works_.back().live = true;  // behind a part without a joint anything may lie
            if (!step.joint.empty()) {
                const JointType& type = joint_type(catalogue, joint_of(coach, step.joint).type);
                works_.back().live = contains(type.cautions, "electricity") || contains(type.cautions, "gas");
            }
        }
        note(works_[at->second], step, static_cast<int>(i));
    }
    for (const Edge& edge : given) {
        for (const int end : {edge.from, edge.to})
            if (end < 0 || as_index(end) >= steps.size())
                throw_value_error("given", "steps from 0 to " + std::to_string(steps.size() - 1), std::to_string(end));
        edges_.push_back(edge);
        after_[as_index(edge.from)].push_back(edge.to);
    }
}

/// The step's joint; for a part that no joint seals, something that lies where the part does.
const Joint& OrderDraft::place_of_step(const Step& step) {
    if (!step.joint.empty()) return joint_of(coach, step.joint);
    Joint stand_in;
    stand_in.id = step.part;
    for (const Part& part : coach.parts)
        if (part.id == step.part) {
            stand_in.surface = part.surface;
            stand_in.slide = part.slide;
            stand_in.path = {part.low, part.high};
        }
    stand_ins_.push_back(std::move(stand_in));
    return stand_ins_.back();
}

void OrderDraft::note(JointWork& work, const Step& step, int i) {
    const bool first = work.steps.empty();
    work.steps.push_back(i);
    const std::string& kind = step.kind;
    if (kind == "wash") work.wash = i;
    if (kind == "strip" || kind == "remove_part") {
        if (work.cut < 0) work.cut = i;
        work.last_cut = i;
    }
    if (kind == "prime") work.prime = i;
    if (kind == "fasten") work.fasten = i;
    if (kind == "seal_fasteners") work.seal_fasteners = i;
    if (kind == "bed") work.bed = i;
    if (kind == "cap") work.cap = i;
    if (kind == "unmask") work.unmask = i;
    if (kind == "cure") work.cure = i;
    if (kind == "water_test") work.test = i;
    if (kind == "coat") work.coat = i;
    if (kind == "roll_tape") (work.wash < 0 ? work.cover : work.tape) = i;
    if (kind == "inspect_substrate" && first) work.survey = i;
    if (kind != "bed" && kind != "cap" && i != work.tape) return;
    if (work.first_bead < 0) work.first_bead = i;
    work.last_bead = i;
    work.family = step.family;
    if (kind == "cap") work.silicone = step.family.find("silicone") != std::string::npos;
}

std::map<std::string, std::vector<const JointWork*>> OrderDraft::areas() const {
    std::map<std::string, std::vector<const JointWork*>> areas;
    for (const JointWork& work : works_) areas[work.place.area].push_back(&work);
    return areas;
}

int OrderDraft::job(const std::string& kind) const {
    const auto found = job_.find(kind);
    return found == job_.end() ? -1 : found->second;
}

double OrderDraft::gate(const std::string& name) const { return catalogue.number("gate/" + name); }

int OrderDraft::add_step(Step step) {
    steps_.push_back(std::move(step));
    after_.emplace_back();
    return static_cast<int>(steps_.size()) - 1;
}

const std::vector<Stream>& OrderDraft::streams() {
    if (!streams_) streams_ = streams_of(*this);
    return *streams_;
}

int OrderDraft::mark(const std::string& name) {
    Step step;
    step.id = "stage/" + name;
    step.kind = "stage";
    step.people = 0;
    return add_step(std::move(step));
}

void OrderDraft::put(int from, int to, const Why& why) {
    edges_.push_back({from, to, why.rule, why.strength, why.lag, why.reason, why.clock, why.longest});
    after_[as_index(from)].push_back(to);
}

void OrderDraft::edge(int from, int to, const Why& why) { ahead({from}, {to}, "", why); }

void OrderDraft::ahead(const std::vector<int>& before, const std::vector<int>& after, const std::string& name, const Why& why) {
    if (before.empty() || after.empty()) return;
    Group group{before, after, name, why};
    if (why.strength == Strength::hard) put_all(group);
    else waiting_.push_back(std::move(group));
}

void OrderDraft::put_all(const Group& group) {
    if (group.before.size() * group.after.size() <= group.before.size() + group.after.size()) {
        for (const int from : group.before)
            for (const int to : group.after) put(from, to, group.why);
        return;
    }
    const int stage = mark(group.name);
    Why at_once = group.why;
    at_once.lag = 0;
    for (const int from : group.before) put(from, stage, at_once);
    for (const int to : group.after) put(stage, to, group.why);
}

std::vector<char> OrderDraft::reached_from(int step) const {
    std::vector<char> reached(after_.size(), 0);
    std::vector<int> stack{step};
    reached[as_index(step)] = 1;
    while (!stack.empty()) {
        const int here = stack.back();
        stack.pop_back();
        for (const int next : after_[as_index(here)])
            if (!reached[as_index(next)]) {
                reached[as_index(next)] = 1;
                stack.push_back(next);
            }
    }
    return reached;
}

/// What may follow all goes through one mark; what must come before some of them is paired with the rest.
void OrderDraft::put_waiting(const Group& group) {
    Group free = group;
    free.after.clear();
    for (const int to : group.after) {
        const std::vector<char> reached = reached_from(to);
        const auto loops = [&](int from) { return reached[as_index(from)] != 0; };
        if (std::none_of(group.before.begin(), group.before.end(), loops)) {
            free.after.push_back(to);
            continue;
        }
        for (const int from : group.before) {
            if (!loops(from)) put(from, to, group.why);
            else gave_way_.push_back({from, to, group.why.rule, group.why.strength, group.why.lag, group.why.reason});
        }
    }
    if (!free.after.empty()) put_all(free);
}

void OrderDraft::settle() {
    for (const Strength strength : {Strength::firm, Strength::soft})
        for (const Group& group : waiting_)
            if (group.why.strength == strength) put_waiting(group);
    waiting_.clear();
}

std::vector<int> OrderDraft::places(const std::vector<int>& rank) const {
    std::vector<int> waits(steps_.size(), 0), places(steps_.size(), -1);
    for (const Edge& edge : edges_) ++waits[as_index(edge.to)];
    using Next = std::pair<int, int>;
    std::priority_queue<Next, std::vector<Next>, std::greater<>> ready;
    const auto push = [&](int step) { ready.push({as_index(step) < rank.size() ? rank[as_index(step)] : -1, step}); };
    for (std::size_t i = 0; i < waits.size(); ++i)
        if (waits[i] == 0) push(static_cast<int>(i));
    int place = 0;
    while (!ready.empty()) {
        const int here = ready.top().second;
        ready.pop();
        places[as_index(here)] = place++;
        for (const int next : after_[as_index(here)])
            if (--waits[as_index(next)] == 0) push(next);
    }
    return places;
}

StepOrder OrderDraft::take() { return {std::move(edges_), std::move(gave_way_), std::move(warnings_), {}}; }

}  // namespace libseal::detail
