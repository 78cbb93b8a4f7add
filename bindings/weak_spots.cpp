// Designs that come due more often than their ages explain, in Python.

#include <optional>

#include "bind.hpp"
#include "docs/tuning.hpp"
#include "libseal/tuning/weak_spots.hpp"

namespace libseal::python {
namespace {

WeakSpots spots_of(const LifeRecords& history, double alpha, bool by_year, double confidence, double power, double largest_workmanship, const std::optional<Fleet>& fleet,
                   const Catalogue* catalogue) {
    WeakSpotOptions options;
    options.alpha = alpha;
    options.by_year = by_year;
    options.confidence = confidence;
    options.power = power;
    options.largest_workmanship = largest_workmanship;
    options.fleet = fleet;
    if (catalogue) options.catalogue = *catalogue;
    const py::gil_scoped_release free;
    return weak_spots(history, options);
}

void define_parts() {
    auto baselines = known<LifeBaselines>();
    field(baselines, LIBSEAL_FIELD(LifeBaselines, family));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, layer));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, layers));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, due));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, median_life));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, catalogue_life));
    field(baselines, LIBSEAL_FIELD(LifeBaselines, early_share));
    baselines.def("__len__", &LifeBaselines::size);
    auto sisters = known<SisterCoaches>();
    field(sisters, LIBSEAL_FIELD(SisterCoaches, design));
    field(sisters, LIBSEAL_FIELD(SisterCoaches, coach));
    field(sisters, LIBSEAL_FIELD(SisterCoaches, joints));
    field(sisters, LIBSEAL_FIELD(SisterCoaches, never_seen));
}

void define_spots() {
    auto type = known<WeakSpots>();
    field(type, LIBSEAL_FIELD(WeakSpots, model_line));
    field(type, LIBSEAL_FIELD(WeakSpots, model_year));
    field(type, LIBSEAL_FIELD(WeakSpots, joint_type));
    field(type, LIBSEAL_FIELD(WeakSpots, layers));
    field(type, LIBSEAL_FIELD(WeakSpots, coaches));
    field(type, LIBSEAL_FIELD(WeakSpots, due));
    field(type, LIBSEAL_FIELD(WeakSpots, expected));
    field(type, LIBSEAL_FIELD(WeakSpots, ratio));
    field(type, LIBSEAL_FIELD(WeakSpots, ratio_low));
    field(type, LIBSEAL_FIELD(WeakSpots, ratio_high));
    field(type, LIBSEAL_FIELD(WeakSpots, shrunk));
    field(type, LIBSEAL_FIELD(WeakSpots, shrunk_low));
    field(type, LIBSEAL_FIELD(WeakSpots, shrunk_high));
    field(type, LIBSEAL_FIELD(WeakSpots, above));
    field(type, LIBSEAL_FIELD(WeakSpots, p));
    field(type, LIBSEAL_FIELD(WeakSpots, adjusted));
    field(type, LIBSEAL_FIELD(WeakSpots, funnel_low));
    field(type, LIBSEAL_FIELD(WeakSpots, funnel_high));
    field(type, LIBSEAL_FIELD(WeakSpots, more_layers));
    field(type, LIBSEAL_FIELD(WeakSpots, weak));
    field(type, LIBSEAL_FIELD(WeakSpots, verdict));
    field(type, LIBSEAL_FIELD(WeakSpots, workmanship));
    field(type, LIBSEAL_FIELD(WeakSpots, baselines));
    field(type, LIBSEAL_FIELD(WeakSpots, sisters));
    field(type, LIBSEAL_FIELD(WeakSpots, alike));
    type.def("__len__", &WeakSpots::size);
}

}  // namespace

void declare_weak_spots(py::module_& m) {
    py::class_<LifeBaselines>(m, "LifeBaselines", doc::LifeBaselines);
    py::class_<SisterCoaches>(m, "SisterCoaches", doc::SisterCoaches);
    py::class_<WeakSpots>(m, "WeakSpots", doc::WeakSpots);
}

void define_weak_spots(py::module_& m) {
    define_parts();
    define_spots();
    const WeakSpotOptions o;
    m.def("weak_spots", &spots_of, "history"_a, "alpha"_a = o.alpha, py::kw_only(), "by_year"_a = o.by_year, "confidence"_a = o.confidence,
          "power"_a = o.power, "largest_workmanship"_a = o.largest_workmanship, "fleet"_a = py::none(), "catalogue"_a = py::none(), doc::weak_spots);
    m.def("weak_spots_text", &weak_spots_text, "spots"_a, doc::weak_spots_text);
}

}  // namespace libseal::python
