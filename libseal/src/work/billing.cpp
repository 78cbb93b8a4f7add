#include "work/billing.hpp"

#include <algorithm>
#include <cmath>

#include "core/problem.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace detail {
namespace {

double scale_of(const std::string& currency) { return std::pow(10.0, minor_digits(currency)); }

void note(std::vector<Problem>& problems, const std::string& field, const std::string& expected, const std::string& got) {
    problems.push_back(field_problem("billing." + field, expected, got));
}

struct Percent {
    const char* name;
    double Billing::*member;
    double highest;
};
const std::vector<Percent>& percents() {
    static const std::vector<Percent> all{{"markup_percent", &Billing::markup_percent, 500},     {"supplies_percent", &Billing::supplies_percent, 100},
                                          {"deposit_percent", &Billing::deposit_percent, 100},   {"overrun_percent", &Billing::overrun_percent, 100},
                                          {"contingency_percent", &Billing::contingency_percent, 100}, {"step_minutes", &Billing::step_minutes, 1440},
                                          {"minimum_minutes", &Billing::minimum_minutes, 1440},  {"trip_free", &Billing::trip_free, 20000}};
    return all;
}

struct Amount {
    const char* name;
    Money Billing::*member;
};
const std::vector<Amount>& amounts() {
    static const std::vector<Amount> all{{"supplies_cap", &Billing::supplies_cap}, {"disposal", &Billing::disposal},
                                         {"trip_base", &Billing::trip_base},       {"trip_rate", &Billing::trip_rate},
                                         {"overrun_cap", &Billing::overrun_cap},   {"rounding_step", &Billing::rounding_step}};
    return all;
}

const std::vector<std::string> distance_units{"km", "mile"}, time_bases{"standard_time", "clock"};

}  // namespace

Money money(const JsonView& view, Money fallback, const std::string& currency) {
    if (!view.present()) return fallback;
    const double scale = scale_of(currency), amount = view.number(0, 1e9, 0), minor = std::round(amount * scale);
    if (std::abs(amount * scale - minor) > 1e-6 * std::max(1.0, amount)) {
        const int digits = minor_digits(currency);
        view.fail(digits == 0 ? "a whole amount" : "an amount with at most " + std::string(digits == 2 ? "two" : "three") + " decimals", view.shown());
    }
    return static_cast<Money>(minor);
}

double in_units(Money minor, const std::string& currency) { return static_cast<double>(minor) / scale_of(currency); }

void read_billing(const JsonView& view, Shop& shop) {
    if (!view.present()) return;
    std::vector<std::string> keys{"distance_unit", "time_basis"};
    for (const Percent& one : percents()) keys.push_back(one.name);
    for (const Amount& one : amounts()) keys.push_back(one.name);
    view.check_keys(keys);
    Billing& billing = shop.billing;
    for (const Percent& one : percents()) billing.*one.member = view.member(one.name).number(0, one.highest, billing.*one.member);
    for (const Amount& one : amounts()) billing.*one.member = money(view.member(one.name), billing.*one.member, shop.currency);
    if (const JsonView unit = view.member("distance_unit"); unit.present()) billing.distance_unit = unit.word(distance_units, "km");
    if (const JsonView basis = view.member("time_basis"); basis.present()) billing.time_basis = basis.word(time_bases, time_bases[0]);
}

void write_billing(JsonWriter& out, const Shop& shop) {
    const Billing& billing = shop.billing;
    out.key("billing");
    out.begin_object();
    for (const Percent& one : percents()) out.member(one.name, billing.*one.member);
    for (const Amount& one : amounts()) out.member(one.name, in_units(billing.*one.member, shop.currency));
    out.member("distance_unit", billing.distance_unit);
    out.member("time_basis", billing.time_basis);
    out.end_object();
}

void check_billing(const Billing& billing, std::vector<Problem>& problems) {
    for (const Percent& one : percents())
        if (!(billing.*one.member >= 0 && billing.*one.member <= one.highest))
            note(problems, one.name, "0 to " + number_text(one.highest), number_text(billing.*one.member));
    for (const Amount& one : amounts())
        if (billing.*one.member < 0) note(problems, one.name, "not below zero", std::to_string(billing.*one.member));
    if (billing.rounding_step < 1) note(problems, "rounding_step", "at least one minor unit", std::to_string(billing.rounding_step));
    if (std::find(distance_units.begin(), distance_units.end(), billing.distance_unit) == distance_units.end())
        note(problems, "distance_unit", "km or mile", "\"" + billing.distance_unit + "\"");
    if (std::find(time_bases.begin(), time_bases.end(), billing.time_basis) == time_bases.end())
        note(problems, "time_basis", "standard_time or clock", "\"" + billing.time_basis + "\"");
}

}  // namespace detail

int minor_digits(const std::string& currency) {
    static const std::vector<std::string> none{"BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF",
                                               "UGX", "VND", "VUV", "XAF", "XOF", "XPF"},
        three{"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"};
    const auto in = [&](const std::vector<std::string>& list) { return std::find(list.begin(), list.end(), currency) != list.end(); };
    return in(none) ? 0 : in(three) ? 3 : 2;
}

}  // namespace libseal
