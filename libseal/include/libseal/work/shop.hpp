#pragma once
// The shop: people, bays, hours, closed days and prices.

#include <array>
#include <cstdint>
#include <limits>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/core/date.hpp"

namespace libseal {

/// Money in minor units (cents) of the shop's currency, so that sums are exact.
using Money = std::int64_t;

/// Decimals of a currency's minor unit: 0, 2 or 3; 2 for codes that are not on the list.
/// @source  ISO 4217 list of currencies, minor units; from memory.
int minor_digits(const std::string& currency);

/// "1234.50 USD", "1234 JPY", "1.234 KWD".
std::string money_text(Money amount, const std::string& currency);

/// Somebody who works at the shop.
struct Person {
    std::string id;                    ///< unique within the shop
    std::vector<std::string> skills;   ///< in the shop's own words, for example "sealing", "gas"
    int from = 8 * 60;                 ///< start of the shift [min after midnight]
    int to = 17 * 60;                  ///< end of the shift [min after midnight]
};

/// Days on which no sealing is done: a trade fair, a repair of the hall, deep winter.
struct ClosedSpan {
    Date from{};         ///< first day
    Date to{};           ///< day after the last
    std::string reason;
};

/// A place where a coach stands while it is worked on, held from its first step to its last, nights and cures included.
struct Bay {
    std::string id;          ///< unique within the shop
    bool roofed = true;      ///< no rain, dew or wind on the work
    bool heated = false;     ///< at the shop's bay_temperature all year; then neither weather nor sealing months count
};

/// Somebody is away: [from, to) in local minutes since 1970-01-01T00:00, as in schedule/time.hpp.
struct Absence {
    std::string person;      ///< id
    std::int64_t from = 0;   ///< [min since 1970-01-01T00:00, local]
    std::int64_t to = 0;     ///< [min since 1970-01-01T00:00, local]
    std::string reason{};
};

/// Somebody works outside the shift or the opening hours: [from, to) as for absences, within one day.
struct Overtime {
    std::string person;      ///< id
    std::int64_t from = 0;   ///< [min since 1970-01-01T00:00, local]
    std::int64_t to = 0;     ///< [min since 1970-01-01T00:00, local]
};

/// How a shop makes a price out of minutes and packages. By default nothing is added.
struct Billing {
    double step_minutes = 0;      ///< labour is billed in steps of so many person-minutes [person-min], for example 15; 0: exact
    double minimum_minutes = 0;   ///< least labour of a visit, for example 60 [person-min]
    double markup_percent = 0;    ///< on material [%], 0 to 500
    double supplies_percent = 0;  ///< cloths, masking, blades, screws: share of labour [%], 0 to 100
    Money supplies_cap = 0;       ///< at most this; 0: no cap
    Money disposal = 0;           ///< of waste, per visit
    Money trip_base = 0;          ///< for going to the coach
    Money trip_rate = 0;          ///< per km or mile beyond `trip_free`
    double trip_free = 0;         ///< distance that the base covers [as `distance_unit` says]
    std::string distance_unit = "km";  ///< "km" or "mile"
    Money rounding_step = 1;      ///< the total is rounded to it, halves up: 5 where cash has no single cents
    double deposit_percent = 0;   ///< of the most likely total [%], 0 to 100
    double overrun_percent = 10;  ///< the owner is called before the total grows by more [%], 0 to 100
    Money overrun_cap = 0;        ///< or by more than this; 0: no cap
    double contingency_percent = 0;  ///< for hidden damage, beside the total [%], 0 to 100
    std::string time_basis = "standard_time";  ///< "standard_time" (minutes of the catalogue) or "clock" (what it took)
};

/// Settings of a shop. The defaults are common practice, no source.
struct Shop {
    std::string name;
    std::string place;                 ///< city, for people
    std::string currency = "USD";      ///< ISO 4217
    Money labour_rate_per_h = 0;       ///< per person and hour
    double tax_percent = 0;            ///< on labour and material [%]
    Money minimum_charge = 0;          ///< of a visit, before tax
    double waste_percent = std::numeric_limits<double>::quiet_NaN();  ///< [%]; NaN: the catalogue's
    std::map<std::string, Money> package_price;  ///< by sealant or layer family, per package
    std::vector<Person> people;
    int bays = 1;                      ///< number of equal bays, where `bay_list` is empty
    std::vector<Bay> bay_list{};       ///< bays one by one; empty: `bays` equal ones, heated and roofed if `heated_bay`, else in the open
    int ladders = 2;                   ///< ladder sets, for steps with reach "ladder"
    int platforms = 1;                 ///< platform sets, for steps with reach "roof"
    std::vector<Absence> absences{};
    std::vector<Overtime> overtime{};
    std::array<bool, 7> working_days{true, true, true, true, true, false, false};  ///< Monday first
    int open_from = 8 * 60;            ///< [min after midnight]
    int open_to = 17 * 60;             ///< [min after midnight]
    int break_from = 12 * 60;          ///< midday break [min after midnight]; equal to break_to for none
    int break_to = 12 * 60 + 30;       ///< [min after midnight]
    std::vector<Date> holidays;        ///< in order, no doubles
    std::vector<std::string> holiday_rules{};  ///< names of `holiday_rules`, observed beside `holidays`
    std::vector<ClosedSpan> closed;
    double visit_setup_minutes = std::numeric_limits<double>::quiet_NaN();  ///< [min]; NaN: the catalogue's
    std::vector<int> sealing_months{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};  ///< in which sealing outdoors is allowed
    bool heated_bay = false;           ///< then sealing is allowed in every month, in all bays
    double bay_temperature = 20;       ///< at which beads cure [degC]
    Billing billing{};                 ///< how prices are made
    std::string catalogue;             ///< path of the shop's own overlay, "" for none; read it with `read_catalogue`
};

/// The bays one by one.
std::vector<Bay> bays_of(const Shop& shop);

/// Shifts cut to the opening hours, weekdays and holidays: does anybody work on this day?
bool works_on(const Shop& shop, Date day);
/// May beads be laid on this day, in one bay at least? False in closed spans and, without a heated bay, out of season.
bool seals_on(const Shop& shop, Date day);
/// The same in a certain bay: out of season only if it is heated, or if the shop says `heated_bay`.
bool seals_on(const Shop& shop, Date day, const Bay& bay);
/// Why beads may not be laid on this day in any bay, in words; "" if they may.
std::string no_sealing_reason(const Shop& shop, Date day);

/// Reads a shop, schema `libseal/shop/1`.
/// @throws FileError, ValueError  with file, line, column and field of up to 50 problems.
/// @threads pure.
Shop read_shop(const std::string& path);
/// The same from text in memory; `name` stands for the file in errors.
Shop read_shop_text(std::string_view text, const std::string& name);
/// The shop as text that reads back equal.
std::string shop_json(const Shop& shop);

/// @throws ValueError  naming the field: nobody works, no bay, shift outside the day, no working day.
void check_shop(const Shop& shop);

}  // namespace libseal
