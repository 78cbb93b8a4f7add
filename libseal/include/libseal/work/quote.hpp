#pragma once
// A price for a plan, line by line: what an owner is shown, and signs.

#include <limits>
#include <string>
#include <vector>

#include "libseal/work/plan.hpp"

namespace libseal {

/// One line of a quote. Low, most likely and high amounts; each column adds up to its total.
struct QuoteLine {
    std::string kind;      ///< "set_up", "labour", "material", "supplies", "disposal", "trip", "time_step", "minimum", "tax", "rounding"
    std::string item;      ///< joint, part, sealant family, or ""
    std::string text;      ///< in words
    double quantity = 0;   ///< most likely [as `unit` says]
    std::string unit;      ///< "person-min", "package", "km", "mile", "percent", ""
    Cost amount;           ///< minor units
};

/// One finding or due joint: what can be done about it, and what waiting means.
struct QuoteItem {
    std::string place;     ///< joint or part
    std::string action;    ///< what the plan does
    std::string reason;
    Urgency urgency = Urgency::next_service;
    Date due{};
    std::vector<ActionOption> options;  ///< the chosen action first
    std::string waiting;   ///< what happens if nothing is done, in words
    Date cover_expires{};  ///< last day of a temporary cover; day 0 without one
};

/// Optional inputs of `quote`; the names are the keywords in Python.
struct QuoteOptions {
    Catalogue catalogue = Catalogue::built_in();
    double distance_km = std::numeric_limits<double>::quiet_NaN();  ///< one way [km], to where the coach stands; NaN: it comes to the shop
    int valid_days = 0;    ///< [d]; 0: the catalogue's
};

/// A quote for one plan.
struct Quote {
    std::string coach;
    std::string shop;
    std::string currency;
    Date as_of{};
    Date valid_until{};    ///< last day
    std::vector<QuoteLine> lines;
    Cost net;              ///< before tax and rounding
    Cost tax;
    Cost total;            ///< sum of all lines
    Money deposit = 0;     ///< to pay beforehand
    Money call_before = 0; ///< the owner is called before the price goes beyond this
    Money contingency = 0; ///< to keep in hand for hidden damage; not in the total
    std::string stop_and_call;            ///< line on hidden damage
    std::string time_basis;               ///< "standard_time" or "clock"
    std::vector<QuoteItem> items;
    std::vector<std::string> exclusions;
    std::vector<std::string> warnings;    ///< of the plan
    std::vector<std::string> notes;       ///< of the plan
    std::string closing;
};

/// Prices a plan.
///
/// Labour: each task and each step of the job, minutes times rate; together at least `minimum_minutes`, in steps of `step_minutes`.
/// Material in whole packages with markup, supplies as a share of labour up to a cap, disposal, trip; then up to the minimum charge,
/// then tax, then rounding to the currency's step. Sums are exact.
/// @throws ValueError  negative distance or days, a shop that `check_shop` refuses.
/// @source  Price structure after public pages of mobile services: docs/quote.md.
/// @threads pure.
Quote quote(const WorkPlan& plan, const Shop& shop, const QuoteOptions& options = {});

/// The quote as JSON, schema `libseal/quote/1`; amounts in units of the currency.
std::string quote_json(const Quote& quote);
/// The lines as CSV, total last: kind, item, text, quantity, unit, low, mode, high.
std::string quote_csv(const Quote& quote);

}  // namespace libseal
