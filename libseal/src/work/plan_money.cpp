// Material, supplies and prices of a plan.

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/sealant.hpp"
#include "work/planning.hpp"
#include "work/pricing.hpp"

namespace libseal::detail {
namespace {

double waste_percent(const Job& job, double mean_length) {
    if (!std::isnan(job.shop.waste_percent)) return job.shop.waste_percent;
    const Catalogue& c = job.options.catalogue;
    return 100 * c.number(mean_length < c.number("take_off/short_item_m") ? "take_off/waste_short" : "take_off/waste_long");
}

/// What one task takes of one family: a volume of sealant, or a length of tape, insert or seal.
struct Amount {
    std::string family;
    double volume_ml = 0;  ///< 0 for what comes by length
    double length = 0;
};

std::vector<Amount> amounts_of(const Task& task, const Coach& coach) {
    std::vector<Amount> amounts;
    if (!task.family.empty()) amounts.push_back({task.family, task.volume_ml, task.length});
    if (!task.bedding.empty()) amounts.push_back({task.bedding, 0, task.length});
    if (task.action == "temporary_cover" || task.action == "cover_with_tape") {
        amounts.push_back({"seam_tape", 0, task.length});
        return amounts;
    }
    for (const auto& kind : task.renewed) {
        const Layer* layer = layer_of(joint_of(coach, task.joint), kind);
        if (layer && kind != "cap_bead" && kind != "bedding") amounts.push_back({layer->family, 0, task.length});
    }
    return amounts;
}

/// Lengths of one family, by joint, in the order of the tasks.
struct Use {
    double volume_ml = 0;
    std::vector<double> lengths;
};

std::map<std::string, Use> uses_of(const Job& job) {
    std::map<std::string, Use> all;
    for (const Task& task : job.plan.tasks)
        for (const Amount& amount : amounts_of(task, job.coach)) {
            Use& use = all[amount.family];
            use.volume_ml += amount.volume_ml;
            use.lengths.push_back(amount.length);
        }
    return all;
}

/// Roll or cartridge of a family [m] or [mL].
double package_of(const std::string& family, bool bead, const Catalogue& c) {
    if (bead) return sealant(c, family).package_ml;
    return c.number(family == "seam_tape" ? "take_off/cover_tape_roll_m" : family == "pvc_insert" ? "take_off/insert_roll_m" : "take_off/butyl_roll_m");
}

double order_length(const std::string& family, double length, double roll, const Catalogue& c) {
    if (family == "seam_tape") return cover_tape_length(length, roll, c);
    return family == "pvc_insert" ? insert_length(length, c) : tape_length(length, c);
}

void take_off(Job& job) {
    WorkPlan& plan = job.plan;
    for (const auto& [family, use] : uses_of(job)) {
        const bool bead = use.volume_ml > 0;
        Material m;
        m.family = family;
        m.volume_ml = use.volume_ml;
        for (const double length : use.lengths) m.length_m += length;
        m.package_size = package_of(family, bead, job.options.catalogue);
        if (bead) {
            m.waste_percent = waste_percent(job, m.length_m / static_cast<double>(use.lengths.size()));
            m.ordered = m.volume_ml * (1 + m.waste_percent / 100);
        } else {
            for (const double length : use.lengths) m.ordered += order_length(family, length, m.package_size, job.options.catalogue);
            m.waste_percent = m.length_m > 0 ? 100 * (m.ordered / m.length_m - 1) : 0;
        }
        m.packages = packages_for(m.ordered, m.package_size, 0);
        const auto price = job.shop.package_price.find(family);
        m.priced = price != job.shop.package_price.end();
        if (m.priced)
            m.cost = marked_up(price->second * m.packages, job.shop);
        else
            plan.notes.push_back("the shop has no price for " + family + ": its " + std::to_string(m.packages) +
                                 " packages are not in the sum");
        plan.materials.push_back(m);
    }
}

/// Screws that a step of a task takes, 0 for none.
int screws_renewed(const Task& task, const Job& job, const std::string& kind) {
    if (kind != "fasten" || task.joint.empty() || !task.part.empty()) return 0;
    const Joint& joint = joint_of(job.coach, task.joint);
    if (joint.screw_spacing <= 0) return 0;
    return screws_to_order(joint.length, joint.screw_spacing, job.options.catalogue);
}

/// Screws of parts that come off or are screwed on again, wipes, masking, blades, gloves.
void add_supplies(Job& job) {
    const Catalogue& c = job.options.catalogue;
    double wipes = 0, masking = 0, stripped = 0;
    int screws = 0, gloves = 0;
    for (const Task& task : job.plan.tasks) {
        bool gloved = false;
        for (const int i : task.steps) {
            const Step& step = job.plan.steps[static_cast<std::size_t>(i)];
            if (step.kind == "wipe") wipes += task.length * c.number("take_off/wipes_per_m");
            if (step.kind == "mask") masking += task.length * c.number("take_off/mask_per_m");
            if (step.kind == "strip") stripped += task.length;
            if (step.kind == "wipe" || step.kind == "cap" || step.kind == "bed") gloved = true;
            screws += screws_renewed(task, job, step.kind);
        }
        if (gloved) gloves += static_cast<int>(c.number("take_off/gloves_per_task"));
    }
    const double blades = std::ceil(stripped / c.number("take_off/bead_per_blade_m") - 1e-9);
    for (const Supply& one : {Supply{"stainless_screws", static_cast<double>(screws), "each"}, Supply{"wipes", std::ceil(wipes - 1e-9), "each"},
                              Supply{"masking_tape", masking, "m"}, Supply{"blades", blades, "each"},
                              Supply{"gloves", static_cast<double>(gloves), "pair"}})
        if (one.amount > 0) job.plan.supplies.push_back(one);
}

/// A task's part of the packages of its families, by volume or length.
Money material_share(const Task& task, const Job& job) {
    double share = 0;
    for (const Amount& amount : amounts_of(task, job.coach))
        for (const Material& m : job.plan.materials) {
            if (m.family != amount.family) continue;
            if (m.volume_ml > 0) share += static_cast<double>(m.cost) * amount.volume_ml / m.volume_ml;
            else if (m.length_m > 0) share += static_cast<double>(m.cost) * amount.length / m.length_m;
        }
    return static_cast<Money>(std::llround(share));
}

}  // namespace

Money labour_cost(double person_minutes, const Shop& shop) {
    return static_cast<Money>(std::llround(person_minutes * static_cast<double>(shop.labour_rate_per_h) / 60));
}

Cost labour_cost(const Minutes& m, const Shop& shop) {
    return {labour_cost(m.low, shop), labour_cost(m.mode, shop), labour_cost(m.high, shop)};
}

Money marked_up(Money price, const Shop& shop) {
    return price + static_cast<Money>(std::llround(static_cast<double>(price) * shop.billing.markup_percent / 100));
}

Money material_price(const Task& task, const Job& job) {
    const Catalogue& c = job.options.catalogue;
    double sum = 0;
    for (const Amount& amount : amounts_of(task, job.coach)) {
        const auto price = job.shop.package_price.find(amount.family);
        if (price == job.shop.package_price.end()) continue;
        const bool bead = amount.volume_ml > 0;
        const double package = package_of(amount.family, bead, c);
        const double ordered = bead ? amount.volume_ml * (1 + waste_percent(job, task.length) / 100)
                                    : order_length(amount.family, amount.length, package, c);
        sum += static_cast<double>(price->second) * ordered / package;
    }
    return marked_up(static_cast<Money>(std::llround(sum)), job.shop);
}

void add_money(Job& job) {
    WorkPlan& plan = job.plan;
    take_off(job);
    add_supplies(job);
    for (const Step& step : plan.steps) {
        plan.minutes.low += step.minutes.low * step.people;
        plan.minutes.mode += step.minutes.mode * step.people;
        plan.minutes.high += step.minutes.high * step.people;
    }
    for (Task& task : plan.tasks) {
        task.cost = labour_cost(task.minutes, job.shop);
        const Money share = material_share(task, job);
        for (Money* part : {&task.cost.low, &task.cost.mode, &task.cost.high}) *part += share;
    }
    const Priced priced = price(plan, job.shop);
    plan.labour = priced.labour;
    plan.material = priced.material;
    plan.total = priced.total;
}

}  // namespace libseal::detail
