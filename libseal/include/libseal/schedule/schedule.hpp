#pragma once
// When is each step done, by whom, and in which bay?

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/climate/weather.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/schedule/outcome.hpp"
#include "libseal/schedule/time.hpp"
#include "libseal/work/plan.hpp"

namespace libseal {

/// A coach that is to be worked on.
struct Booking {
    WorkPlan plan;
    Minute arrival = 0;    ///< it is there from then on; 0: from the start of the schedule
    Minute promised = 0;   ///< hand-over that was promised, late if it must be; 0 for none
    Minute latest = 0;     ///< it must be done by then; 0 for none
    int bay = -1;          ///< index of the bay that it must stand in; -1: any
};

enum class StepState { planned, started, done };
std::string to_text(StepState state);

/// A step of the plan that is running, or what has become of it. Known by coach and step, so that bookings may come and go.
struct RunningStep {
    std::string coach;
    std::string step;         ///< id in the coach's plan
    Minute start = 0;         ///< [min since 1970-01-01T00:00, local]
    Minute end = 0;           ///< as planned; of a step that is done as it was, of a started one as it is expected
    std::vector<std::string> people;  ///< ids
    std::string bay;          ///< id
    StepState state = StepState::planned;
};

/// Optional inputs of `schedule`; the names are the keywords in Python.
struct ScheduleOptions {
    int work_limit = 200;      ///< generated schedules, >= 1
    std::uint64_t seed = 0;    ///< of the search
    std::vector<Weather> weather;  ///< dated series first, a typical year behind; empty: no weather gates
    Catalogue catalogue = Catalogue::built_in();  ///< thresholds of the gates
    std::map<std::string, std::vector<TimeSpan>> open_hours;  ///< by gate, in order: replaces the weather for that gate outdoors
    std::vector<RunningStep> running;  ///< the plan so far: done and started steps stay, as few others as possible move
    Minute now = 0;            ///< nothing that is still planned starts before; 0: the start
    Watch watch;
};

/// One step in time.
struct StepTime {
    int step = 0;                   ///< index into the plan's steps
    Minute start = 0;               ///< [min since 1970-01-01T00:00, local]
    Minute end = 0;                 ///< as start, does not count
    std::vector<TimeSpan> pieces;   ///< working time, breaks left out; empty for marks in time
    std::vector<int> people;        ///< indices into the shop's people
    std::string waited_for;         ///< in words, what kept it from starting earlier
    bool critical = false;          ///< on the chain that fixes the end of its coach's stay
    int booking = 0;                ///< index of its coach
    bool moved = false;             ///< not where the running plan had it
};

/// How long a coach stands where.
struct BayStay {
    int booking = 0;                ///< index of its coach
    std::string coach;
    int bay = 0;                    ///< index into `bays_of(shop)`, held from begin to end
    Minute begin = 0;               ///< [min since 1970-01-01T00:00, local]
    Minute end = 0;                 ///< as begin, does not count
    Minute late = 0;                ///< after the promised hand-over [min]
    Minute lower_bound = 0;         ///< this coach cannot be done earlier
};

/// What a schedule is judged by, the first that differs decides. Less is better.
struct ScheduleScore {
    Minute broken = 0;         ///< minutes by which longest waits and latest ends are missed; 0 in a valid schedule
    std::int64_t urgent = 0;   ///< days after their due day, over the tasks at once and within 30 days
    Minute late = 0;           ///< minutes after promised hand-overs, over the coaches
    int moved = 0;             ///< steps of the running plan that move
    Minute stay = 0;           ///< minutes from arrival to the end of the work, over the coaches
    int changes = 0;           ///< changes of people between coaches and of ladder work between sides
    auto operator<=>(const ScheduleScore&) const = default;
};

/// Steps of one or more plans in time, or why there is none.
struct Schedule {
    Outcome outcome = Outcome::none_found;
    std::string stopped;            ///< why the search ended, in words
    std::vector<StepTime> steps;    ///< by booking, each in the order of its plan; empty unless there is a schedule
    std::vector<BayStay> stays;        ///< one a booking, in their order
    Minute begin = 0;               ///< start of the first step
    Minute end = 0;                 ///< end of the last
    Minute lower_bound = 0;         ///< no valid schedule ends earlier
    ScheduleScore score;
    ScheduleScore bound;            ///< no valid schedule does better in `urgent`, `late` or `stay`
    std::vector<Date> days;         ///< on which somebody works
    int tried = 0;                  ///< schedules generated
    std::vector<std::string> obstacles;    ///< infeasible: what cannot be met
    std::vector<std::string> relaxations;  ///< infeasible: changes that would help, cheapest first; `explain_conflict` proves them
};

/// Schedules the steps of several plans, whose coaches share people, bays and ladders.
Schedule schedule(const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options = {});

/// Schedules the steps of a plan over the shop's working time.
///
/// People and ladder or platform sets are released at breaks, a bay is held from the first step to the last, cures run
/// through nights. Late urgent work counts first, then late hand-overs, then the stay. Same input, same bits.
/// In Python a list of plans or bookings may stand for the plan.
///
/// @param start  First day on which work may begin.
/// @return       `optimal` if proved, by a bound or by exhaustion; small plans are searched exhaustively.
/// @throws ValueError  unusable shop, options or bookings, work_limit.
/// @source  Serial schedule generation, Kolisch 1996 (EJOR 90, 320-333); calendars and elapsed waits as in general
///          practice of project planning; docs/schedule.md.
/// @threads pure.
Schedule schedule(const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options = {});

/// A schedule as a running plan at a moment: what has ended is done, what has begun is started.
/// @throws ValueError  if the schedule was made for other bookings or another shop.
std::vector<RunningStep> running_steps(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Minute now);

/// The schedule as JSON, schema `libseal/schedule/1`.
/// @throws ValueError  steps that the plan does not have, people that the shop does not have.
std::string schedule_json(const Schedule& schedule, const WorkPlan& plan, const Shop& shop);
/// The same for several coaches.
std::string schedule_json(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop);

/// Reads a schedule written by `schedule_json`; reads back equal. In Python a plan may stand for the bookings.
/// @param bookings  The plans that it was made for: the file knows steps, people and bays by their ids.
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems, such as an id that is not in the plans.
Schedule read_schedule(const std::string& path, const std::vector<Booking>& bookings, const Shop& shop);
/// The same from text in memory; `name` stands for the file in errors.
Schedule read_schedule_text(std::string_view text, const std::string& name, const std::vector<Booking>& bookings, const Shop& shop);

}  // namespace libseal
