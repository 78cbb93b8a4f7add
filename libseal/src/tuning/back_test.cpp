#include "libseal/tuning/back_test.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <tuple>

#include "ageing/age_alike.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "tuning/scores.hpp"
#include "tuning/seen.hpp"

namespace libseal {
namespace {

using namespace detail;

constexpr int grades = 6;  // 0 to 5

/// A look of the span, before anything is forecast.
struct KnownLook {
    std::size_t row = 0;    ///< of the layer in the basis
    std::size_t first = 0;  ///< row of its joint
    Look look;
};

/// Chances that a look with one error reports each grade, at worn shares from as new to open: the same for all looks.
class Reports {
public:
    Reports(const GradeScale& scale, double noise) : scale_(scale) {
        for (int i = 0; i <= count; ++i) {
            const double r = lowest * std::exp(i * step), middle = r * std::exp(-step / 2);
            if (i < count) worn_shares_.push_back(r);
            grade_.push_back(grade_of_worn_share(scale, middle));
            for (int g = 0; g < grades; ++g) wear_.push_back(wear_chance(reported(g), scale, grade_.back(), noise));
        }
        for (int g = 0; g < grades; ++g) workmanship_.push_back(reading_chance(reported(g), workmanship_grade, noise));
    }

    /// Ends of the intervals of the worn share; the last one has no end.
    const std::vector<double>& worn_shares() const { return worn_shares_; }
    std::size_t intervals() const { return grade_.size(); }
    /// @param early  Chance that a workmanship defect is there to be seen.
    double chance(int g, std::size_t interval, double early) const {
        Look look = reported(g);
        look.early = early;
        const auto at = static_cast<std::size_t>(g);
        return whole_chance(look, scale_, grade_[interval], wear_[interval * grades + at], workmanship_[at]);
    }

private:
    static constexpr double lowest = 0.02, step = 0.04;  // of r, and of ln r
    static constexpr int count = 140;                    // up to r = 5
    static Look reported(int g) { return {{}, g, g}; }

    const GradeScale& scale_;
    std::vector<double> worn_shares_, grade_, wear_, workmanship_;
};

/// Chance of each grade that a look on this day would report, as things were believed before.
std::array<double, grades> grade_chances(const JointBelief& joint, std::size_t l, const Look& look, const Reports& reports) {
    const double odds = joint.layer(l).early_odds, early = odds / (1 + odds);
    const std::vector<double> worse = joint.worse_than(l, look.date, reports.worn_shares());
    std::array<double, grades> chances{};
    double beyond = 1;
    for (std::size_t i = 0; i < reports.intervals(); ++i) {
        const double next = i < worse.size() ? worse[i] : 0.0;
        const double mass = std::max(0.0, beyond - next);
        beyond = std::min(beyond, next);
        if (mass <= 0) continue;
        for (int g = 0; g < grades; ++g) chances[static_cast<std::size_t>(g)] += mass * reports.chance(g, i, early);
    }
    double sum = 0;
    for (const double chance : chances) sum += chance;
    for (double& chance : chances) chance /= sum;
    return chances;
}

using LayerName = std::tuple<std::string, std::string, std::string>;  // coach, joint, layer

/// Work of the span, by layer.
std::map<LayerName, std::vector<WorkDone>> work_in(const std::vector<WorkDone>& work, Date from, Date to) {
    std::map<LayerName, std::vector<WorkDone>> by_layer;
    for (const auto& record : work)
        if (record.date > from && record.date <= to) by_layer[{record.coach, record.joint, record.layer}].push_back(record);
    return by_layer;
}

/// The looks of the span at layers that stood on its first day, until they were renewed; a look on the day of work came before it.
std::vector<KnownLook> looks_to_judge(const ForecastBasis& basis, const FleetLooks& looks, const BackTestOptions& options, Date from, Date to,
                                      int& passed_over) {
    const auto work = work_in(options.work_done, from, to);
    std::vector<KnownLook> known;
    for (std::size_t c = 0; c < basis.standing.coaches.size(); ++c) {
        const Coach& coach = basis.standing.coaches[c];
        for (std::size_t first = basis.clocks.first_layer[c]; first < basis.clocks.first_layer[c + 1]; first = basis.end_of_joint(first))
            for (std::size_t row = first; row < basis.end_of_joint(first); ++row) {
                const Joint& joint = coach.joints[basis.clocks.layers[row].joint];
                const Layer& layer = joint.layers[basis.clocks.layers[row].layer];
                const auto own = looks.find({coach.id, joint.id});
                if (own == looks.end() || own->second.layers.count(layer.kind) == 0) continue;
                Date end = to;
                if (const auto done = work.find({coach.id, joint.id, layer.kind}); done != work.end()) {
                    // Cleaning or a touched-up spot is no renewal.
                    const LayerHistory history = layer_history(layer, coach.id, joint.id, done->second, to);
                    if (!history.ended.empty()) end = history.ended.front();
                }
                for (const Look& look : own->second.layers.at(layer.kind)) {
                    if (look.date <= from || look.date > to) continue;
                    if (layer.installed_to <= from && look.date <= end) known.push_back({row, first, look});
                    else ++passed_over;
                }
            }
    }
    return known;
}

/// Errors of the known looks as another catalogue has them; what the looks reported stays as the first catalogue reads it.
void take_errors(const ForecastBasis& basis, const FleetLooks& looks, std::vector<KnownLook>& known) {
    for (KnownLook& one : known) {
        const LayerRow& row = basis.clocks.layers[one.row];
        const Coach& coach = basis.standing.coaches[row.coach];
        const Joint& joint = coach.joints[row.joint];
        const auto own = looks.find({coach.id, joint.id});
        if (own == looks.end()) continue;
        const auto layer = own->second.layers.find(joint.layers[row.layer].kind);
        if (layer == own->second.layers.end()) continue;
        for (const Look& look : layer->second)
            if (look.date == one.look.date) one.look.noise = look.noise;
    }
}

/// Forecasts the known looks with one catalogue.
void judge(const ForecastBasis& basis, const std::vector<KnownLook>& known, Eigen::Index column, const Watch& watch, BackTest& test,
           Eigen::ArrayXXd& below) {
    // Looks of a coach stand together and share its tracks.
    std::vector<std::size_t> starts;
    for (std::size_t i = 0; i < known.size(); ++i)
        if (i == 0 || basis.clocks.layers[known[i].row].coach != basis.clocks.layers[known[i - 1].row].coach) starts.push_back(i);
    starts.push_back(known.size());
    std::map<double, Reports> reports;  // by error of the look
    for (const KnownLook& one : known) {
        const double noise = error_of(one.look, basis.model.scale);
        if (reports.count(noise) == 0) reports.emplace(noise, Reports(basis.model.scale, noise));
    }
    ProgressReporter reporter(watch, "looks of the span");
    parallel_for(
        starts.size() - 1, basis.options.threads,
        [&](std::size_t s) {
            CoachTracks tracks(basis.clocks, basis.clocks.layers[known[starts[s]].row].coach, basis.as_of);
            std::optional<JointBelief> joint;
            for (std::size_t i = starts[s]; i < starts[s + 1]; ++i) {
                if (i == starts[s] || known[i].first != known[i - 1].first) joint.emplace(basis.joint_at(known[i].first, tracks, Columns::dates));
                const auto chances = grade_chances(*joint, known[i].row - known[i].first, known[i].look, reports.at(error_of(known[i].look, basis.model.scale)));
                const auto r = static_cast<Eigen::Index>(i);
                for (int g = 0; g < grades; ++g) {
                    const double chance = chances[static_cast<std::size_t>(g)];
                    if (g >= 3) test.chance_due(r, column) += chance;
                    if (g < known[i].look.lowest) below(r, column) += chance;
                    else if (g <= known[i].look.highest) test.chance_of_grade(r, column) += chance;
                }
            }
        },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(starts.size() - 1)); });
}

void describe(const ForecastBasis& basis, const std::vector<KnownLook>& known, BackTest& test) {
    for (const auto& one : known) {
        const LayerRow& row = basis.clocks.layers[one.row];
        const Coach& coach = basis.standing.coaches[row.coach];
        const Joint& joint = coach.joints[row.joint];
        test.coach.push_back(coach.id);
        test.joint.push_back(joint.id);
        test.layer.push_back(joint.layers[row.layer].kind);
        test.family.push_back(joint.layers[row.layer].family);
        test.date.push_back(to_text(one.look.date));
        test.lowest.push_back(one.look.lowest);
        test.highest.push_back(one.look.highest);
    }
}

struct Span {
    Date from{}, to{};
};

/// What the forecast is told, and what came true.
struct Inputs {
    ForecastOptions chosen;      ///< nothing after the first day of the span
    std::vector<Finding> until;  ///< findings until its last day
    Fleet looked_at;             ///< coaches that those name
};

Inputs inputs_before(const Fleet& fleet, const std::vector<Finding>& findings, Span span, const Catalogue& catalogue, const BackTestOptions& options) {
    Inputs inputs;
    for (const auto& finding : findings) {
        if (finding.date <= span.from) inputs.chosen.findings.push_back(finding);
        if (finding.date <= span.to) inputs.until.push_back(finding);
    }
    for (const auto& record : options.work_done)
        if (record.date <= span.to) inputs.chosen.work_done.push_back(record);
    inputs.chosen.weather = options.weather;
    inputs.chosen.catalogue = catalogue;
    inputs.chosen.look_noise = options.look_noise;
    if (options.each_alone) inputs.chosen.shared = std::make_shared<const SharedEffects>(effect_spread(catalogue));
    inputs.chosen.seed = options.seed;
    inputs.chosen.threads = options.threads;
    inputs.chosen.watch = options.watch;
    inputs.looked_at = coaches_looked_at(fleet, inputs.until, span.to, inputs.chosen);
    std::erase_if(inputs.chosen.work_done, [&](const WorkDone& record) { return record.date > span.from; });
    return inputs;
}

void check_names(const std::vector<std::pair<std::string, Catalogue>>& catalogues) {
    std::set<std::string> names;
    for (const auto& [name, catalogue] : catalogues)
        if (!names.insert(name).second) throw_value_error("catalogues", "each name once", "\"" + name + "\" again");
}

}  // namespace

BackTest back_test(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, Date until, const BackTestOptions& options) {
    if (until <= as_of) throw_value_error("until", "a day after " + to_text(as_of), to_text(until));
    if (options.bins < 2 || options.bins > 100) throw_value_error("bins", "2 to 100", std::to_string(options.bins));
    auto catalogues = options.catalogues;
    if (catalogues.empty()) catalogues.emplace_back("built_in", Catalogue::built_in());
    check_names(catalogues);
    const Span span{as_of, until};
    BackTest test;
    test.as_of = as_of;
    test.until = until;
    std::vector<KnownLook> known;
    std::pair<double, double> errors;  // of looks as `known` has them
    Eigen::ArrayXXd below;
    std::shared_ptr<Session> session;  // of catalogues that differ in lives alone
    for (const auto& named : catalogues) {
        const Catalogue& catalogue = named.second;
        const auto column = static_cast<Eigen::Index>(test.catalogues.size());
        Inputs inputs = inputs_before(fleet, findings, span, catalogue, options);
        if (!session || !age_alike(session->catalogue(), catalogue)) session = std::make_shared<Session>(catalogue);
        inputs.chosen.session = session;
        const ForecastBasis basis(inputs.looked_at, as_of, inputs.chosen, {joints_named(inputs.looked_at, inputs.until)});
        const std::pair own_errors{basis.model.scale.look_noise, basis.model.scale.measured_noise};
        const auto looks = [&] {
            return looks_of_fleet(inputs.until, basis.standing, catalogue, basis.model.scale, options.look_noise, options.work_done, options.threads);
        };
        if (column > 0 && own_errors != errors) take_errors(basis, looks(), known);
        errors = own_errors;
        if (column == 0) {
            known = looks_to_judge(basis, looks(), options, as_of, until, test.passed_over);
            describe(basis, known, test);
            below = Eigen::ArrayXXd::Zero(static_cast<Eigen::Index>(known.size()), static_cast<Eigen::Index>(catalogues.size()));
            test.chance_due = test.chance_of_grade = below;
        }
        test.catalogues.push_back(named.first);
        judge(basis, known, column, options.watch, test, below);
    }
    for (Eigen::Index c = 0; c < below.cols(); ++c) test.scores.push_back(score_of(test, below.col(c), c, options.bins));
    return test;
}

}  // namespace libseal
