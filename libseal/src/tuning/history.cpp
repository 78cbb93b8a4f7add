#include "libseal/tuning/history.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/parallel.hpp"
#include "libseal/core/progress.hpp"
#include "tuning/seen.hpp"

namespace libseal {
namespace {

using detail::ForecastBasis;
using detail::SeenGeneration;
using detail::SeenLook;

constexpr double never = std::numeric_limits<double>::infinity();

/// One row before it stands in columns.
struct LifeRow {
    double lower = 0, upper = never, entry = 0;
    double lower_years = 0, upper_years = never, entry_years = 0;
    double workmanship = std::numeric_limits<double>::quiet_NaN();
    std::string event = "sound";
    std::string flag;
    void say(const std::string& text) { flag += (flag.empty() ? "" : "; ") + text; }
};

/// Chance that a due look saw a workmanship defect: what wear makes of it, given the looks before, against what a defect does.
double workmanship_chance(const SeenGeneration& seen, std::size_t at, const detail::LifeModel& model) {
    constexpr double defect_grade = 4;
    Look wear = seen.looks[at].look;
    const double early = std::exchange(wear.early, 0.0);
    const double if_defect = early * look_chance(wear, model.scale, defect_grade);
    const double if_wear = (1 - early) * detail::belief_after(seen, model, at).chance(model.look_tables->table(wear), seen.looks[at].ages);
    return if_defect / (if_defect + if_wear);
}

void doubt(const SeenGeneration& seen, LifeRow& row) {
    bool fell = false, found_due = false, contradicts = false;
    for (const SeenLook& look : seen.looks) {
        fell = fell || (found_due && look.sound());
        found_due = found_due || look.due();
        contradicts = contradicts || look.look.weight < 1;
    }
    if (fell) row.say("a later look found it sound without work in between: the first due look counts");
    else if (contradicts) row.say("looks contradict each other: a grade fell without work in between");
    if (seen.before_fitting) row.say("a look is dated before the layer was fitted and is left out");
    if (seen.layer.installed_to > seen.layer.installed_from)
        row.say("fitted between " + to_text(seen.layer.installed_from) + " and " + to_text(seen.layer.installed_to));
}

LifeRow row_of(const SeenGeneration& seen, const detail::LifeModel& model) {
    LifeRow row;
    const Layer& layer = seen.layer;
    bool seen_sound = false;
    for (std::size_t i = 0; i < seen.looks.size(); ++i) {
        const SeenLook& look = seen.looks[i];
        if (look.due()) {
            row.upper = look.age_high;
            row.upper_years = years_between(layer.installed_from, look.look.date);
            row.event = seen_sound ? "due" : "due_at_first_look";
            row.workmanship = workmanship_chance(seen, i, model);
            break;
        }
        if (!look.sound()) continue;
        seen_sound = true;
        row.lower = look.age_low;
        row.lower_years = std::max(0.0, years_between(layer.installed_to, look.look.date));
    }
    if (row.upper == never && seen.renewed) row.event = "replaced_sound";
    doubt(seen, row);
    return row;
}

/// The row as of a layer that is followed from its first look on; false if it tells nothing then.
bool follow_from_first_look(const SeenGeneration& seen, LifeRow& row) {
    const SeenLook& first = seen.looks.front();
    if (!first.sound() || seen.looks.size() == 1) return false;
    row.entry = first.age_low;
    row.entry_years = std::max(0.0, years_between(seen.layer.installed_to, first.look.date));
    return true;
}

const std::string& place_on(const Coach& coach, Date day) {
    const Stay& stay = coach.stays[static_cast<std::size_t>(months_of_itinerary(coach.stays, day, day + 1).front().stay)];
    return stay.place.empty() ? stay.station : stay.place;
}

void append(const ForecastBasis& basis, const SeenGeneration& seen, LifeRow row, Eigen::Index i, LifeRecords& records) {
    const Coach& coach = basis.standing.coaches[seen.coach];
    const Joint& joint = coach.joints[seen.joint];
    records.coach.push_back(coach.id);
    records.joint.push_back(joint.id);
    records.layer.push_back(seen.layer.kind);
    records.generation.push_back(seen.layer.generation);
    records.family.push_back(seen.layer.family);
    records.joint_type.push_back(joint.type);
    records.model_line.push_back(coach.model_line);
    records.model_year.push_back(coach.model_year);
    records.place.push_back(place_on(coach, seen.looks.back().look.date));
    records.surface.push_back(joint.surface);
    records.lower[i] = row.lower;
    records.upper[i] = row.upper;
    records.entry[i] = row.entry;
    records.lower_years[i] = row.lower_years;
    records.upper_years[i] = row.upper_years;
    records.entry_years[i] = row.entry_years;
    records.event.push_back(std::move(row.event));
    records.workmanship[i] = row.workmanship;
    records.looks.push_back(static_cast<int>(seen.looks.size()));
    records.flag.push_back(std::move(row.flag));
}

}  // namespace

LifeRecords life_records(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const HistoryOptions& options) {
    ForecastOptions chosen = detail::options_for_tuning(options, findings);
    const Fleet looked_at = detail::coaches_looked_at(fleet, findings, as_of, chosen);
    const ForecastBasis basis(looked_at, as_of, chosen, {{}, true});
    std::vector<std::pair<const SeenGeneration*, LifeRow>> rows;
    LifeRecords records;
    const auto by_coach = detail::seen_generations(basis, options.watch);
    std::vector<std::vector<LifeRow>> made(by_coach.size());
    ProgressReporter reporter(options.watch, "records of lives");
    parallel_for(
        made.size(), options.threads,
        [&](std::size_t c) {
            for (const auto& seen : by_coach[c].generations) made[c].push_back(row_of(seen, basis.model));
        },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(made.size())); });
    for (std::size_t c = 0; c < by_coach.size(); ++c) {
        records.never_seen += by_coach[c].never_seen;
        for (std::size_t g = 0; g < made[c].size(); ++g) {
            const SeenGeneration& seen = by_coach[c].generations[g];
            LifeRow row = std::move(made[c][g]);
            const bool tells = options.from_first_look ? follow_from_first_look(seen, row) : row.lower > 0 || row.upper < never;
            if (!tells) ++records.left_out;
            else rows.emplace_back(&seen, std::move(row));
        }
    }
    const auto count = static_cast<Eigen::Index>(rows.size());
    for (auto* column : {&records.lower, &records.upper, &records.entry, &records.lower_years, &records.upper_years, &records.entry_years,
                         &records.workmanship})
        column->resize(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        auto& [seen, row] = rows[static_cast<std::size_t>(i)];
        append(basis, *seen, std::move(row), i, records);
    }
    return records;
}

}  // namespace libseal
