// Looks at all joints of a coach, between the visits.

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "calendar/draft.hpp"
#include "libseal/survey/grade.hpp"

namespace libseal::detail {
namespace {

/// Days before its due date from which an inspection counts. Judgement of this project.
constexpr int inspection_lead_days = 60;
/// Days by which a look may wait for a visit that comes anyway, unless a warranty sets its day. Judgement of this project.
constexpr int inspection_wait_days = 30;

Money price_of(double minutes, const Shop& shop) {
    const Money labour = std::max(static_cast<Money>(std::llround(minutes * static_cast<double>(shop.labour_rate_per_h) / 60)),
                                  shop.minimum_charge);
    return labour + static_cast<Money>(std::llround(static_cast<double>(labour) * shop.tax_percent / 100));
}

/// The look of the calendar that was sent out before which was due at about the same time: looks have no tasks to be known again by, and how many came
/// before it in the year changes as they are done. Those past keep what they were.
const Visit* previous_look(const YearFrame& frame, const std::string& coach, Date due, int most_days) {
    const Visit* best = nullptr;
    const auto before = frame.previous.find(coach);
    if (before == frame.previous.end()) return best;
    const auto apart = [&](const Visit* look) { return std::abs(look->window.latest - due); };
    for (const Visit* old : before->second)
        if (old->kind == "inspection" && !old->cancelled && old->last >= frame.as_of && apart(old) <= most_days && (!best || apart(old) < apart(best))) best = old;
    return best;
}

}  // namespace

CoachFacts facts_of(const Coach& coach, const Forecast& forecast, const YearFrame& frame) {
    CoachFacts facts;
    facts.id = coach.id;
    facts.label = coach.label;
    if (frame.options.show_owners) facts.owner = coach.owner;
    for (Eigen::Index i = 0; i < forecast.size(); ++i)
        if (i == 0 || Date{forecast.inspect_by(i)} < facts.inspect_by) facts.inspect_by = Date{forecast.inspect_by(i)};
    double metres = 0;
    for (const Joint& joint : coach.joints) metres += joint.length;
    const Catalogue& c = frame.options.catalogue;
    const auto sum = [&](double SourcedValue::*part) {
        return c.at("labour/survey_fixed").*part + c.at("labour/survey_walk").*part * metres +
               c.at("labour/survey_item").*part * static_cast<double>(coach.parts.size());
    };
    facts.minutes = {sum(&SourcedValue::low), sum(&SourcedValue::value), sum(&SourcedValue::high)};
    if (const auto own = frame.findings.find(coach.id); own != frame.findings.end())
        facts.flags = not_inspected(own->second, coach.id, frame.as_of);
    return facts;
}

VisitDraft inspection_draft(const CoachFacts& coach, const YearFrame& frame, const std::vector<Date>& visit_days, int number) {
    VisitDraft draft;
    if (coach.inspect_by == Date{}) return draft;
    Date due = std::max(coach.inspect_by, frame.first + 30);  // what is overdue gets a month
    int interval = static_cast<int>(frame.options.catalogue.number("inspection/base_days"));
    if (frame.options.warranty_days > 0) {
        interval = std::min(interval, frame.options.warranty_days);
        if (number == 1) due = std::min(due, std::max(frame.as_of + interval, frame.first));
        else if (std::count(visit_days.begin(), visit_days.end(), coach.inspect_by - interval) > 0) due = coach.inspect_by;  // counted from the look before
    }
    const int wait = frame.options.warranty_days > 0 ? 0 : inspection_wait_days;
    // Every visit is also a look; each one in time moves the next inspection on.
    for (const Date day : visit_days)
        if (day <= due + wait) due = std::max(due, day + interval);
    if (due > frame.last) return draft;
    Visit& visit = draft.visit;
    visit.kind = "inspection";
    visit.coach = coach.id;
    visit.label = coach.label;
    visit.owner = coach.owner;
    visit.minutes = coach.minutes;
    visit.cost = {price_of(coach.minutes.low, frame.shop), price_of(coach.minutes.mode, frame.shop), price_of(coach.minutes.high, frame.shop)};
    visit.window = {std::max(frame.first, due - std::min(inspection_lead_days, interval / 2)), due};
    visit.why = "next look at all joints by " + to_text(due) +
                (frame.options.warranty_days > 0 && interval == frame.options.warranty_days
                     ? ": the warranty asks for one every " + std::to_string(interval) + " days"
                     : "");
    visit.flags = coach.flags;
    visit.uid = visit_uid("inspection", coach.id, "", frame.year * 100 + number);
    draft.preferred = due;
    draft.dates = frame.dates_of(coach.id);
    draft.previous = previous_look(frame, coach.id, due, interval / 2);
    if (draft.previous && draft.previous->first >= visit.window.earliest && draft.previous->first <= due) draft.preferred = draft.previous->first;
    return draft;
}

}  // namespace libseal::detail
