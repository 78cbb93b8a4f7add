// Why a task is not done on its own best day.

#include "calendar/draft.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// What keeps beads from being laid on a day; "" if nothing does.
std::string closed_because(const VisitDraft& draft, Date day, const YearFrame& frame) {
    if (const OwnerDates* trip = trip_on(draft.dates, day))
        return "the coach is away from " + to_text(trip->from) + " to " + to_text(trip->to - 1) +
               (trip->reason.empty() ? "" : " (" + trip->reason + ")");
    return no_sealing_reason(frame.shop, day);
}

bool is_full(const VisitDraft& draft, const YearFrame& frame) {
    return draft.week >= 0 && monday_of(frame.as_of + 1) + 7 * draft.week != monday_of(draft.preferred);
}

}  // namespace

std::string why_moved(const VisitTask& task, const VisitDraft& draft, const Visit& visit, const YearFrame& frame) {
    if (task.best_date == Date{} || (visit.first <= task.best_date && task.best_date <= visit.last)) return "";
    std::string text = "best on " + to_text(task.best_date) + ", done ";
    const int days = visit.first - task.best_date;
    text += std::to_string(days < 0 ? -days : days) + (days == 1 || days == -1 ? " day " : " days ") + (days < 0 ? "earlier" : "later");
    std::vector<std::string> reasons;
    if (const std::string closed = closed_because(draft, task.best_date, frame); !closed.empty()) reasons.push_back(closed);
    if (draft.previous && visit.first == draft.previous->first)
        reasons.push_back("it stays on the day that was given out before");
    else if (visit.first != draft.preferred)
        reasons.push_back(is_full(draft, frame) ? "the week of " + to_text(draft.preferred) + " is full"
                                                : "no bay or nobody free on " + to_text(draft.preferred));
    const std::size_t others = visit.tasks.size() - 1;
    if (others > 0)
        reasons.push_back("done together with " + std::to_string(others) + (others == 1 ? " other task" : " other tasks") +
                          ", which saves a visit (" + money_text(static_cast<Money>(frame.set_up), frame.shop.currency) + " to set up)");
    else if (reasons.empty())
        reasons.push_back("the visit costs less on that day");
    for (std::size_t i = 0; i < reasons.size(); ++i) text += (i ? "; " : ": ") + reasons[i];
    return text;
}

}  // namespace libseal::detail
