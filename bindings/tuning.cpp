// What past inspections teach, in Python.

#include <optional>

#include "bind.hpp"
#include "docs/tuning.hpp"
#include "inputs.hpp"
#include "interval_table.hpp"
#include "libseal/tuning/back_test.hpp"
#include "libseal/tuning/experiment.hpp"
#include "libseal/tuning/history.hpp"
#include "libseal/tuning/recalibrate.hpp"

namespace libseal::python {
namespace {

using Findings = std::vector<Finding>;
using Work = std::optional<std::vector<WorkDone>>;
using Noise = std::optional<std::map<std::string, double>>;

/// The keywords that the calls have in common.
template <class Options>
void take(Options& options, const Work& work_done, const py::object& weather, const Noise& look_noise, std::uint64_t seed, int threads,
          const py::object& progress, const StopToken* stop) {
    if (work_done) options.work_done = *work_done;
    options.weather = weather_by_place(weather);
    if (look_noise) options.look_noise = *look_noise;
    options.seed = seed;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
}

LifeRecords records_of(const Fleet& fleet, const Findings& findings, Date as_of, const Work& work_done, const py::object& weather,
                       const Catalogue* catalogue, const Noise& look_noise, bool from_first_look, const std::shared_ptr<Session>& session,
                       std::uint64_t seed, int threads, const py::object& progress, const StopToken* stop) {
    HistoryOptions options;
    take(options, work_done, weather, look_noise, seed, threads, progress, stop);
    if (catalogue) options.catalogue = *catalogue;
    options.from_first_look = from_first_look;
    options.session = session;
    const py::gil_scoped_release free;
    return life_records(fleet, findings, as_of, options);
}

Recalibration recalibration_of(const Fleet& fleet, const Findings& findings, Date as_of, const Work& work_done, const py::object& weather,
                               const Catalogue* catalogue, const Noise& look_noise, double prior_sd, int least_layers, int least_coaches,
                               int least_due, double largest_sd, const std::shared_ptr<Session>& session, std::uint64_t seed, int threads,
                               const py::object& progress, const StopToken* stop) {
    RecalibrationOptions options;
    take(options, work_done, weather, look_noise, seed, threads, progress, stop);
    if (catalogue) options.catalogue = *catalogue;
    options.prior_sd = prior_sd;
    options.least_layers = least_layers;
    options.least_coaches = least_coaches;
    options.least_due = least_due;
    options.largest_sd = largest_sd;
    options.session = session;
    const py::gil_scoped_release free;
    return recalibrate(fleet, findings, as_of, options);
}

BackTest back_test_of(const Fleet& fleet, const Findings& findings, Date as_of, Date until, const Work& work_done, const py::object& weather,
                      const std::optional<py::dict>& catalogues, const Noise& look_noise, int bins, bool each_alone, std::uint64_t seed, int threads,
                      const py::object& progress, const StopToken* stop) {
    BackTestOptions options;
    take(options, work_done, weather, look_noise, seed, threads, progress, stop);
    if (catalogues)
        for (const auto& [name, catalogue] : *catalogues) options.catalogues.emplace_back(name.cast<std::string>(), catalogue.cast<Catalogue>());
    options.bins = bins;
    options.each_alone = each_alone;
    const py::gil_scoped_release free;
    return back_test(fleet, findings, as_of, until, options);
}

LookExperiment experiment_of(const Fleet& fleet, const Findings& findings, const std::string& family, Date day, const Work& work_done,
                             const py::object& weather, const Catalogue* catalogue, const Noise& look_noise, double width, int most,
                             double prior_sd, const std::shared_ptr<Session>& session, std::uint64_t seed, int threads,
                             const py::object& progress, const StopToken* stop) {
    ExperimentOptions options;
    take(options, work_done, weather, look_noise, seed, threads, progress, stop);
    if (catalogue) options.catalogue = *catalogue;
    options.width = width;
    options.most = most;
    options.prior_sd = prior_sd;
    options.session = session;
    const py::gil_scoped_release free;
    return look_experiment(fleet, findings, family, day, options);
}

void define_records() {
    auto type = known<LifeRecords>();
    field(type, LIBSEAL_FIELD(LifeRecords, coach));
    field(type, LIBSEAL_FIELD(LifeRecords, joint));
    field(type, LIBSEAL_FIELD(LifeRecords, layer));
    field(type, LIBSEAL_FIELD(LifeRecords, generation));
    field(type, LIBSEAL_FIELD(LifeRecords, family));
    field(type, LIBSEAL_FIELD(LifeRecords, joint_type));
    field(type, LIBSEAL_FIELD(LifeRecords, model_line));
    field(type, LIBSEAL_FIELD(LifeRecords, model_year));
    field(type, LIBSEAL_FIELD(LifeRecords, place));
    field(type, LIBSEAL_FIELD(LifeRecords, surface));
    field(type, LIBSEAL_FIELD(LifeRecords, lower));
    field(type, LIBSEAL_FIELD(LifeRecords, upper));
    field(type, LIBSEAL_FIELD(LifeRecords, entry));
    field(type, LIBSEAL_FIELD(LifeRecords, lower_years));
    field(type, LIBSEAL_FIELD(LifeRecords, upper_years));
    field(type, LIBSEAL_FIELD(LifeRecords, entry_years));
    field(type, LIBSEAL_FIELD(LifeRecords, event));
    field(type, LIBSEAL_FIELD(LifeRecords, workmanship));
    field(type, LIBSEAL_FIELD(LifeRecords, looks));
    field(type, LIBSEAL_FIELD(LifeRecords, flag));
    field(type, LIBSEAL_FIELD(LifeRecords, never_seen));
    field(type, LIBSEAL_FIELD(LifeRecords, left_out));
    type.def("__len__", &LifeRecords::size).def("__repr__", [](const LifeRecords& self) {
        return "LifeRecords(" + std::to_string(self.size()) + " lives)";
    });
}

void define_recalibration() {
    auto families = known<FamilyLives>();
    field(families, LIBSEAL_FIELD(FamilyLives, family));
    field(families, LIBSEAL_FIELD(FamilyLives, old_life));
    field(families, LIBSEAL_FIELD(FamilyLives, life));
    field(families, LIBSEAL_FIELD(FamilyLives, life_low));
    field(families, LIBSEAL_FIELD(FamilyLives, life_high));
    field(families, LIBSEAL_FIELD(FamilyLives, prior_sd));
    field(families, LIBSEAL_FIELD(FamilyLives, log_sd));
    field(families, LIBSEAL_FIELD(FamilyLives, layers));
    field(families, LIBSEAL_FIELD(FamilyLives, coaches));
    field(families, LIBSEAL_FIELD(FamilyLives, due));
    field(families, LIBSEAL_FIELD(FamilyLives, first_look));
    field(families, LIBSEAL_FIELD(FamilyLives, last_look));
    field(families, LIBSEAL_FIELD(FamilyLives, years_before));
    field(families, LIBSEAL_FIELD(FamilyLives, years_after));
    field(families, LIBSEAL_FIELD(FamilyLives, verdict));
    families.def("__len__", &FamilyLives::size);
    auto groups = known<GroupLives>();
    field(groups, LIBSEAL_FIELD(GroupLives, family));
    field(groups, LIBSEAL_FIELD(GroupLives, model_line));
    field(groups, LIBSEAL_FIELD(GroupLives, coach));
    field(groups, LIBSEAL_FIELD(GroupLives, layers));
    field(groups, LIBSEAL_FIELD(GroupLives, life));
    field(groups, LIBSEAL_FIELD(GroupLives, life_low));
    field(groups, LIBSEAL_FIELD(GroupLives, life_high));
    field(groups, LIBSEAL_FIELD(GroupLives, ratio));
    groups.def("__len__", &GroupLives::size);
    auto spreads = known<EffectSpreads>();
    field(spreads, LIBSEAL_FIELD(EffectSpreads, model_line_old));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, coach_old));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, joint_old));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, model_line));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, coach));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, joint));
    field(spreads, LIBSEAL_FIELD(EffectSpreads, gain));
    auto type = known<Recalibration>();
    field(type, LIBSEAL_FIELD(Recalibration, families));
    field(type, LIBSEAL_FIELD(Recalibration, model_lines));
    field(type, LIBSEAL_FIELD(Recalibration, coaches));
    field(type, LIBSEAL_FIELD(Recalibration, spreads));
    field(type, LIBSEAL_FIELD(Recalibration, catalogue));
    type.def("__repr__", [](const Recalibration& self) { return "Recalibration(" + std::to_string(self.families.size()) + " families)"; });
}

void define_back_test() {
    auto score = known<CatalogueScore>();
    field(score, LIBSEAL_FIELD(CatalogueScore, catalogue));
    field(score, LIBSEAL_FIELD(CatalogueScore, brier));
    field(score, LIBSEAL_FIELD(CatalogueScore, log_score));
    field(score, LIBSEAL_FIELD(CatalogueScore, sharpness));
    field(score, LIBSEAL_FIELD(CatalogueScore, expected_due));
    field(score, LIBSEAL_FIELD(CatalogueScore, log_gain));
    field(score, LIBSEAL_FIELD(CatalogueScore, log_gain_error));
    field(score, LIBSEAL_FIELD(CatalogueScore, brier_gain));
    field(score, LIBSEAL_FIELD(CatalogueScore, brier_gain_error));
    field(score, LIBSEAL_FIELD(CatalogueScore, bin_chance));
    field(score, LIBSEAL_FIELD(CatalogueScore, bin_share));
    field(score, LIBSEAL_FIELD(CatalogueScore, bin_looks));
    field(score, LIBSEAL_FIELD(CatalogueScore, ranks));
    auto type = known<BackTest>();
    field(type, LIBSEAL_FIELD(BackTest, as_of));
    field(type, LIBSEAL_FIELD(BackTest, until));
    field(type, LIBSEAL_FIELD(BackTest, coach));
    field(type, LIBSEAL_FIELD(BackTest, joint));
    field(type, LIBSEAL_FIELD(BackTest, layer));
    field(type, LIBSEAL_FIELD(BackTest, family));
    field(type, LIBSEAL_FIELD(BackTest, date));
    field(type, LIBSEAL_FIELD(BackTest, lowest));
    field(type, LIBSEAL_FIELD(BackTest, highest));
    field(type, LIBSEAL_FIELD(BackTest, catalogues));
    field(type, LIBSEAL_FIELD(BackTest, chance_due));
    field(type, LIBSEAL_FIELD(BackTest, chance_of_grade));
    field(type, LIBSEAL_FIELD(BackTest, scores));
    field(type, LIBSEAL_FIELD(BackTest, passed_over));
    type.def("__len__", &BackTest::size);
}

void define_experiment() {
    auto type = known<LookExperiment>();
    field(type, LIBSEAL_FIELD(LookExperiment, family));
    field(type, LIBSEAL_FIELD(LookExperiment, day));
    field(type, LIBSEAL_FIELD(LookExperiment, coach));
    field(type, LIBSEAL_FIELD(LookExperiment, joint));
    field(type, LIBSEAL_FIELD(LookExperiment, layer));
    field(type, LIBSEAL_FIELD(LookExperiment, effective_age));
    field(type, LIBSEAL_FIELD(LookExperiment, information));
    field(type, LIBSEAL_FIELD(LookExperiment, log_sd));
    field(type, LIBSEAL_FIELD(LookExperiment, width));
    field(type, LIBSEAL_FIELD(LookExperiment, bits));
    field(type, LIBSEAL_FIELD(LookExperiment, log_sd_before));
    field(type, LIBSEAL_FIELD(LookExperiment, width_before));
    field(type, LIBSEAL_FIELD(LookExperiment, log_sd_all));
    field(type, LIBSEAL_FIELD(LookExperiment, width_all));
    field(type, LIBSEAL_FIELD(LookExperiment, candidates));
    field(type, LIBSEAL_FIELD(LookExperiment, enough));
    type.def("__len__", &LookExperiment::size);
}

}  // namespace

void declare_tuning(py::module_& m) {
    py::class_<LifeRecords>(m, "LifeRecords", doc::LifeRecords);
    py::class_<FamilyLives>(m, "FamilyLives", doc::FamilyLives);
    py::class_<GroupLives>(m, "GroupLives", doc::GroupLives);
    py::class_<EffectSpreads>(m, "EffectSpreads", doc::EffectSpreads);
    py::class_<Recalibration>(m, "Recalibration", doc::Recalibration);
    py::class_<CatalogueScore>(m, "CatalogueScore", doc::CatalogueScore);
    py::class_<BackTest>(m, "BackTest", doc::BackTest);
    py::class_<LookExperiment>(m, "LookExperiment", doc::LookExperiment);
    declare_interval_table(m);
}

void define_tuning(py::module_& m) {
    define_records();
    define_recalibration();
    define_back_test();
    define_experiment();
    define_interval_table(m);
    const auto none = py::none();
    const HistoryOptions h;
    m.def("life_records", &records_of, "fleet"_a, "findings"_a, "as_of"_a, py::kw_only(), "work_done"_a = none, "weather"_a = none,
          "catalogue"_a = none, "look_noise"_a = none, "from_first_look"_a = h.from_first_look, "session"_a = none, "seed"_a = h.seed,
          "threads"_a = h.threads, "progress"_a = none, "stop"_a = none, doc::life_records);
    const RecalibrationOptions r;
    m.def("recalibrate", &recalibration_of, "fleet"_a, "findings"_a, "as_of"_a, py::kw_only(), "work_done"_a = none, "weather"_a = none,
          "catalogue"_a = none, "look_noise"_a = none, "prior_sd"_a = r.prior_sd, "least_layers"_a = r.least_layers,
          "least_coaches"_a = r.least_coaches, "least_due"_a = r.least_due, "largest_sd"_a = r.largest_sd, "session"_a = none,
          "seed"_a = r.seed, "threads"_a = r.threads, "progress"_a = none, "stop"_a = none, doc::recalibrate);
    m.def("recalibration_text", &recalibration_text, "recalibration"_a, doc::recalibration_text);
    m.def("recalibration_json", &recalibration_json, "recalibration"_a, doc::recalibration_json);
    m.def("fitted_overlay", &fitted_overlay, "recalibration"_a, "approved"_a, "by"_a, doc::fitted_overlay);
    const BackTestOptions b;
    m.def("back_test", &back_test_of, "fleet"_a, "findings"_a, "as_of"_a, "until"_a, py::kw_only(), "work_done"_a = none, "weather"_a = none,
          "catalogues"_a = none, "look_noise"_a = none, "bins"_a = b.bins, "each_alone"_a = b.each_alone, "seed"_a = b.seed, "threads"_a = b.threads, "progress"_a = none,
          "stop"_a = none, doc::back_test);
    m.def("back_test_text", &back_test_text, "test"_a, doc::back_test_text);
    const ExperimentOptions e;
    m.def("look_experiment", &experiment_of, "fleet"_a, "findings"_a, "family"_a, "day"_a, py::kw_only(), "work_done"_a = none,
          "weather"_a = none, "catalogue"_a = none, "look_noise"_a = none, "width"_a = e.width, "most"_a = e.most, "prior_sd"_a = e.prior_sd,
          "session"_a = none, "seed"_a = e.seed, "threads"_a = e.threads, "progress"_a = none, "stop"_a = none, doc::look_experiment);
}

}  // namespace libseal::python
