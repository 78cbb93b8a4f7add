#include "core/json.hpp"
#include "libseal/work/plan.hpp"

namespace libseal {
namespace {

class PlanWriter {
public:
    explicit PlanWriter(const WorkPlan& plan) : plan_(plan) {}

    std::string text() {
        w_.begin_object();
        word("schema", "libseal/work_plan/1");
        word("coach", plan_.coach);
        word("as_of", to_text(plan_.as_of));
        tasks();
        steps();
        edges();
        materials();
        minutes("minutes", plan_.minutes);
        cost("cost", plan_.total);
        w_.key("cautions");
        w_.begin_list();
        for (const auto& caution : plan_.cautions) w_.value(caution.text);
        w_.end_list();
        texts("notes", plan_.notes);
        word("closing", plan_.closing);
        w_.end_object();
        return w_.take();
    }

private:
    void word(const char* key, const std::string& value) {
        w_.key(key);
        w_.value(value);
    }
    void number(const char* key, double value) {
        w_.key(key);
        w_.value(value);
    }
    void texts(const char* key, const std::vector<std::string>& list) {
        w_.key(key);
        w_.begin_list();
        for (const auto& item : list) w_.value(item);
        w_.end_list();
    }
    void minutes(const char* key, const Minutes& m) {
        w_.key(key);
        w_.begin_object();
        number("low", m.low);
        number("mode", m.mode);
        number("high", m.high);
        w_.end_object();
    }
    void cost(const char* key, const Cost& c) {
        w_.key(key);
        w_.begin_object();
        word("low", money_text(c.low, plan_.currency));
        word("mode", money_text(c.mode, plan_.currency));
        word("high", money_text(c.high, plan_.currency));
        w_.end_object();
    }
    void tasks() {
        w_.key("tasks");
        w_.begin_list();
        for (const Task& t : plan_.tasks) {
            w_.begin_object();
            word("joint", t.joint);
            word("layer", t.layer);
            word("action", t.action);
            word("family", t.family);
            word("bedding", t.bedding);
            word("reason", t.reason);
            if (!t.refused.empty()) word("refused", t.refused);
            word("due", to_text(t.due));
            word("urgency", to_text(t.urgency));
            number("length_m", t.length);
            number("volume_ml", t.volume_ml);
            minutes("minutes", t.minutes);
            cost("cost", t.cost);
            w_.end_object();
        }
        w_.end_list();
    }
    void steps() {
        w_.key("steps");
        w_.begin_list();
        for (const Step& s : plan_.steps) {
            w_.begin_object();
            word("id", s.id);
            word("kind", s.kind);
            minutes("minutes", s.minutes);
            number("people", s.people);
            if (!s.family.empty()) word("family", s.family);
            texts("cautions", s.cautions);
            if (!s.note.empty()) word("note", s.note);
            w_.end_object();
        }
        w_.end_list();
        w_.key("order");
        w_.begin_list();
        for (const int s : plan_.order) w_.value(plan_.steps[static_cast<std::size_t>(s)].id);
        w_.end_list();
    }
    void edges() {
        w_.key("edges");
        w_.begin_list();
        for (const Edge& e : plan_.edges) {
            w_.begin_object();
            word("from", plan_.steps[static_cast<std::size_t>(e.from)].id);
            word("to", plan_.steps[static_cast<std::size_t>(e.to)].id);
            word("rule", e.rule);
            word("strength", to_text(e.strength));
            number("lag_min", e.lag);
            word("reason", e.reason);
            w_.end_object();
        }
        w_.end_list();
    }
    void materials() {
        w_.key("materials");
        w_.begin_list();
        for (const Material& m : plan_.materials) {
            w_.begin_object();
            word("family", m.family);
            number("volume_ml", m.volume_ml);
            number("length_m", m.length_m);
            number("packages", m.packages);
            word("cost", m.priced ? money_text(m.cost, plan_.currency) : "no price");
            w_.end_object();
        }
        w_.end_list();
    }

    const WorkPlan& plan_;
    detail::JsonWriter w_;
};

}  // namespace

std::string work_plan_json(const WorkPlan& plan) { return PlanWriter(plan).text(); }

}  // namespace libseal
