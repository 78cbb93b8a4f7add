#include "libseal/work/quote.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "work/planning.hpp"
#include "work/pricing.hpp"

namespace libseal {
namespace detail {
namespace {

Money percent_of(Money amount, double percent) {
    return static_cast<Money>(std::llround(static_cast<double>(amount) * percent / 100));
}

Cost operator+(const Cost& a, const Cost& b) { return {a.low + b.low, a.mode + b.mode, a.high + b.high}; }

template <class Function>
Cost each(const Cost& cost, Function function) {
    return {function(cost.low), function(cost.mode), function(cost.high)};
}

Minutes of_people(const Step& step) {
    return {step.minutes.low * step.people, step.minutes.mode * step.people, step.minutes.high * step.people};
}

class Pricer {
public:
    Pricer(const WorkPlan& plan, const Shop& shop) : plan_(plan), shop_(shop) {}

    Priced take(double distance_km) {
        labour();
        material();
        supplies();
        if (shop_.billing.disposal > 0 && !plan_.tasks.empty()) line("disposal", "", "waste and old material", 1, "", same(shop_.billing.disposal));
        if (!std::isnan(distance_km)) trip(distance_km);
        const Money least = plan_.tasks.empty() ? 0 : shop_.minimum_charge;
        const Cost missing = each(sum_, [&](Money before) { return std::max<Money>(0, least - before); });
        if (missing.low > 0 || missing.mode > 0 || missing.high > 0) line("minimum", "", "up to the minimum charge", 1, "", missing);
        priced_.net = sum_;
        priced_.tax = each(sum_, [&](Money before) { return percent_of(before, shop_.tax_percent); });
        if (shop_.tax_percent > 0) line("tax", "", "tax", shop_.tax_percent, "percent", priced_.tax);
        round();
        priced_.total = sum_;
        return std::move(priced_);
    }

private:
    static Cost same(Money amount) { return {amount, amount, amount}; }

    void line(const std::string& kind, const std::string& item, const std::string& text, double quantity, const std::string& unit, const Cost& amount) {
        priced_.lines.push_back({kind, item, text, quantity, unit, amount});
        sum_ = sum_ + amount;
    }

    void labour() {
        for (const Step& step : plan_.steps) {
            if (step.task >= 0 || step.people == 0) continue;
            const Minutes minutes = of_people(step);
            line("set_up", "", plain_words(step.kind), minutes.mode, "person-min", labour_cost(minutes, shop_));
        }
        for (const Task& task : plan_.tasks)
            line("labour", place_of_task(task), plain_words(task.action) + " " + plain_words(place_of_task(task)), task.minutes.mode, "person-min",
                 labour_cost(task.minutes, shop_));
        const Billing& billing = shop_.billing;
        const auto billed = [&](double minutes) {
            if (billing.step_minutes > 0) minutes = std::ceil(minutes / billing.step_minutes - 1e-9) * billing.step_minutes;
            return std::max(minutes, billing.minimum_minutes);
        };
        if (!plan_.tasks.empty() && (billing.step_minutes > 0 || billing.minimum_minutes > 0)) {
            const Minutes& m = plan_.minutes;
            const Cost whole = labour_cost(Minutes{billed(m.low), billed(m.mode), billed(m.high)}, shop_);
            line("time_step", "", "time in whole steps, at least the minimum", billed(m.mode) - m.mode, "person-min",
                 {whole.low - sum_.low, whole.mode - sum_.mode, whole.high - sum_.high});
        }
        priced_.labour = sum_;
    }

    void material() {
        for (const Material& m : plan_.materials) {
            if (!m.priced) continue;
            line("material", m.family, plain_words(m.family), m.packages, "package", same(m.cost));
            priced_.material += m.cost;
        }
    }

    void supplies() {
        const Billing& billing = shop_.billing;
        if (billing.supplies_percent <= 0) return;
        line("supplies", "", "cloths, masking, blades, gloves, screws", billing.supplies_percent, "percent",
             each(priced_.labour, [&](Money labour_part) {
                 const Money share = percent_of(labour_part, billing.supplies_percent);
                 return billing.supplies_cap > 0 ? std::min(share, billing.supplies_cap) : share;
             }));
    }

    void trip(double distance_km) {
        const Billing& billing = shop_.billing;
        const bool miles = billing.distance_unit == "mile";
        const double distance = miles ? distance_km / 1.609344 : distance_km;
        const double beyond = std::max(0.0, distance - billing.trip_free);
        line("trip", "", "trip to the coach", distance, billing.distance_unit,
             same(billing.trip_base + static_cast<Money>(std::llround(beyond * static_cast<double>(billing.trip_rate)))));
    }

    /// To the nearest step of the currency, halves up.
    void round() {
        const Money step = shop_.billing.rounding_step;
        if (step <= 1) return;
        const Cost change = each(sum_, [&](Money amount) { return (amount + step / 2) / step * step - amount; });
        line("rounding", "", "rounding", 0, "", change);
    }

    const WorkPlan& plan_;
    const Shop& shop_;
    Priced priced_;
    Cost sum_;
};

}  // namespace

Priced price(const WorkPlan& plan, const Shop& shop, double distance_km) { return Pricer(plan, shop).take(distance_km); }

}  // namespace detail

namespace {

QuoteItem item_of(const Task& task, const Catalogue& catalogue) {
    QuoteItem item;
    item.place = place_of_task(task);
    item.action = task.action;
    item.reason = task.reason;
    item.urgency = task.urgency;
    item.due = task.due;
    item.options = task.options;
    item.cover_expires = task.cover_expires;
    const int consequence = task.joint_type.empty() ? static_cast<int>(catalogue.number("urgency/part_consequence"))
                                                    : joint_type(catalogue, task.joint_type).consequence;
    item.waiting = catalogue.word("quote/waiting/" + std::to_string(consequence));
    return item;
}

}  // namespace

Quote quote(const WorkPlan& plan, const Shop& shop, const QuoteOptions& options) {
    check_shop(shop);
    if (!std::isnan(options.distance_km)) require_between(options.distance_km, 0, 20000, "distance_km");
    if (options.valid_days < 0 || options.valid_days > 3660)
        throw_value_error("valid_days", "0 to 3660", std::to_string(options.valid_days));
    const Catalogue& c = options.catalogue;
    Quote result;
    result.coach = plan.coach;
    result.shop = shop.name;
    result.currency = shop.currency;
    result.as_of = plan.as_of;
    result.valid_until = plan.as_of + (options.valid_days > 0 ? options.valid_days : static_cast<int>(c.number("quote/valid_days")));
    detail::Priced priced = detail::price(plan, shop, options.distance_km);
    result.lines = std::move(priced.lines);
    result.net = priced.net;
    result.tax = priced.tax;
    result.total = priced.total;
    const Billing& billing = shop.billing;
    result.deposit = detail::percent_of(result.total.mode, billing.deposit_percent);
    Money over = detail::percent_of(result.total.mode, billing.overrun_percent);
    if (billing.overrun_cap > 0) over = std::min(over, billing.overrun_cap);
    result.call_before = result.total.mode + over;
    result.contingency = detail::percent_of(result.total.mode, billing.contingency_percent);
    result.stop_and_call = c.word("quote/stop_and_call");
    result.time_basis = billing.time_basis;
    for (const Task& task : plan.tasks) result.items.push_back(item_of(task, c));
    for (const auto& id : c.ids("quote/exclusion/")) result.exclusions.push_back(c.word(id));
    result.warnings = plan.warnings;
    result.notes = plan.notes;
    result.closing = plan.closing;
    return result;
}

}  // namespace libseal
