#pragma once
// The work on one coach: tasks, steps, order, material, minutes, cost, cautions.

#include <limits>
#include <map>
#include <string>
#include <vector>

#include "libseal/forecast/forecast.hpp"
#include "libseal/work/cautions.hpp"
#include "libseal/work/rules.hpp"
#include "libseal/work/shop.hpp"

namespace libseal {

/// Optional inputs of `plan_work`; the names are the keywords in Python.
struct PlanOptions {
    Catalogue catalogue = Catalogue::built_in();
    Date due_before{};                 ///< forecast due dates (50 %) up to this day are taken; day 0: as_of + 365
    Date work_day{};                   ///< when the work is done, for season and closed days; day 0: as_of
    std::vector<std::string> joints;   ///< only these; with `parts` empty for all
    std::vector<std::string> parts;    ///< work on these parts alone; with `joints` empty for all
    std::vector<WorkDone> work_done;   ///< a look before a repair of its joint no longer counts
    std::map<std::string, std::string> families;  ///< the user's sealant family by joint
    std::vector<DroppedEdge> dropped;  ///< firm or soft edges to do without
    double longest_cure_wait = 72;     ///< that the coach may be held for a cure [h]
    bool exposed_soon = true;          ///< rain or a trip is due within 14 days
    int opportunistic_days = 365;      ///< what is due this long after `due_before` is done now if that saves more than it wastes [d]; 0: off
    double temperature = std::numeric_limits<double>::quiet_NaN();  ///< at the work, for cure and minutes [degC]; NaN: the shop's bay_temperature
    double roof_slope = 0;             ///< of roof and slide roofs as the coach stands [deg]
    bool corrugated_skin = false;      ///< walls of corrugated sheet take longer
    OrderOptions order;                ///< shade, frost, settling of beddings; its work_day follows `work_day`
    Watch watch;
};

/// What work done early saves, and what it throws away.
struct Saving {
    double minutes = 0;   ///< person-minutes not needed again [person-min]
    Money money = 0;      ///< their price
    Money lost = 0;       ///< worth of the life thrown away
};

/// Something that may be done at a joint, with its price.
struct ActionOption {
    std::string action;
    std::string family;        ///< of the new bead, "" for none
    bool chosen = false;       ///< what the plan does
    Minutes minutes;           ///< person-minutes
    Cost cost;                 ///< labour, and material by volume or length, before tax
    double cure_hours = 0;     ///< that the coach stays for a cure [h]
    std::string reason;        ///< in words
};

/// One action on one joint, or on one part.
struct Task {
    std::string coach;
    std::string joint;                 ///< "" where a part is worked on that no joint seals
    std::string part;                  ///< for work on a part alone its id, or that of the joint where the coach has no part; else ""
    std::string joint_type;
    std::string layer;                 ///< the layer that called for the work
    int generation = 1;                ///< of that layer
    std::string action;
    std::vector<std::string> renewed;  ///< layers that get a new generation
    std::string family;                ///< of the new bead, "" for none
    std::string bedding;               ///< of the new bedding, "" for none
    std::string reason;                ///< in words
    std::string refused;               ///< what may not be done here and what is done instead; "" if nothing
    Date due{};                        ///< by which day
    Urgency urgency = Urgency::next_service;
    bool observed = false;             ///< a finding called for it; else the forecast
    bool cover_now = false;            ///< an open path: a temporary cover until the work is done
    double length = 0;                 ///< worked on [m]
    double volume_ml = 0;              ///< wet volume of the bead, without waste [mL]
    Minutes minutes;                   ///< person-minutes
    Cost cost;                         ///< labour and its part of the material, before tax
    std::vector<std::string> cautions;
    std::vector<int> steps;            ///< indices into the plan's steps
    bool opportunistic = false;        ///< due later, done now because the part is off or the set-up is there
    Saving saving;                     ///< of an opportunistic task
    std::string with_joint;            ///< joint whose work takes the part off for this one; "" else
    std::string follow_up;             ///< lasting action that a temporary cover waits for; "" for other actions
    Date follow_up_from{};             ///< first day on which it can be done; day 0: none within a year, or no follow-up
    Date cover_expires{};              ///< last day of the temporary cover; day 0 without one
    std::vector<ActionOption> options; ///< the chosen action first, then what reaches deeper, then a cover
};

/// The id that people know a task by: its part for work on a part alone, else its joint.
const std::string& place_of_task(const Task& task);

/// A joint or part that was considered and needs no work now.
struct Watched {
    std::string joint;    ///< or the part, where no joint seals it
    std::string layer;
    std::string reason;
};

/// All work on one coach, in order, with material, time, cost and cautions.
struct WorkPlan {
    std::string coach;
    Date as_of{};
    std::string currency;
    std::vector<Task> tasks;           ///< most urgent first, then by due date and joint
    std::vector<Step> steps;
    std::vector<Edge> edges;           ///< heed all of them
    std::vector<Edge> drawn_edges;     ///< the reduced ones, for drawing
    std::vector<int> order;            ///< a sequence of steps that heeds all edges
    std::vector<Watched> watched;
    std::vector<Material> materials;   ///< by family
    std::vector<Supply> supplies;      ///< screws, wipes, masking, gloves, blades: without a price of their own
    Minutes minutes;                   ///< person-minutes of all steps
    Cost labour;
    Money material = 0;                ///< whole packages
    Cost total;                        ///< labour and material, at least the minimum charge, with tax
    std::vector<Caution> cautions;
    std::string closing;               ///< line to print under every plan
    std::vector<std::string> warnings; ///< before anybody starts: what was not inspected, is isolated, is sealed shut, must be signed for
    std::vector<std::string> notes;    ///< what the reader of the plan must know, for example prices that are missing
};

/// From findings and forecast to ordered work.
///
/// @param coach     The coach as it stands.
/// @param findings  Looks at it; those of other coaches are passed over.
/// @param forecast  With rows for this coach; it may have none if the findings suffice.
/// @return          Tasks for what was seen or comes due; no steps at all if nothing does.
/// @throws ValueError  unknown joints, impossible families, dropped hard edges, a cycle of rules.
/// @source  Actions, steps and rules: docs/work.md; minutes: catalogue, judgement to be replaced by the shop's clock.
/// @threads pure.
WorkPlan plan_work(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop,
                   Date as_of, const PlanOptions& options = {});

/// The plan as JSON, schema `libseal/work_plan/1`.
std::string work_plan_json(const WorkPlan& plan);

}  // namespace libseal
