#pragma once
// How often to look and when to reseal, by climate, joint type and family: what it saves and what it risks against fixed rules.

#include <cstdint>
#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"

namespace libseal {

/// Optional inputs of `interval_table`; the names are the keywords in Python. Costs are in any one unit, given all or none:
/// what the catalogue says is in hours of work. NaN: the catalogue's.
struct IntervalTableOptions {
    std::vector<std::string> stations;     ///< names or ids; empty: the places of the calibration table
    std::vector<std::string> joint_types;  ///< with a cap bead; empty: all of them
    std::vector<std::string> families;     ///< of the cap, each a row; empty: the usual one of the type
    std::string cover = "open";            ///< where the coach stands
    double heading = std::numeric_limits<double>::quiet_NaN();  ///< of its front, its curb wall is the wall [deg]; NaN: unknown
    std::string finish;                    ///< "": the usual one of what the usual joint sits on
    double reseal_cost = std::numeric_limits<double>::quiet_NaN();  ///< of a planned reseal of one joint [unit of cost], > 0
    double look_cost = std::numeric_limits<double>::quiet_NaN();    ///< of a look at one joint [unit of cost], > 0
    std::vector<double> failure_cost;      ///< of an open joint with all that follows [unit of cost], by consequence class 1 to 4; empty: the catalogue's
    double detection = std::numeric_limits<double>::quiet_NaN();    ///< chance that a look finds what is there [-], 0.01 to 1
    int found_grade = 3;                   ///< a look can find the layer from this grade on, and it is resealed: 2 to 4
    double years = 20;                     ///< simulated and counted [yr], 1 to 200
    int layers = 2000;                     ///< simulated in each row, 2 to 1000000
    Catalogue catalogue = Catalogue::built_in();
    std::shared_ptr<Session> session;      ///< keeps what is worked out for later calls; null: nothing is kept
    std::uint64_t seed = 0;                ///< of the typical years and of the simulation
    int threads = 0;                       ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// One row a station, joint type and family of its cap. Simulated, not observed: costs and risks of the model.
///
/// Columns of the matrices are `policies`: "run_to_failure", "every_90_days", "half_yearly", "yearly", "best_interval",
/// "best_age". All policies see the same lives and the same luck of looks, in all rows.
struct IntervalTable {
    std::string cost_unit;              ///< "h" of work by the catalogue, "" as the costs were given
    double years = 0;                   ///< counted of each layer [yr]
    int layers = 0;                     ///< simulated in each row
    std::vector<std::string> station;
    std::vector<std::string> climate;   ///< in words: "hot, sunny, dry"
    std::vector<std::string> joint_type;
    std::vector<std::string> family;
    std::vector<std::string> layer;
    std::vector<std::string> surface;   ///< "roof", "wall" or "underside"
    std::vector<int> consequence;       ///< class 1 to 4
    Column rate;                        ///< years of the clock in a calendar year, movement in it [yr/yr]
    Column life;                        ///< median until due (grade 3) [yr]
    Column open_life;                   ///< median until open (grade 5) [yr]
    Column reseal_cost;                 ///< [as `cost_unit` says]
    Column look_cost;                   ///< [as `cost_unit` says]
    Column failure_cost;                ///< [as `cost_unit` says]
    Column formula_age;                 ///< `best_replacement_age` of the marginal life until open [yr]; infinite: none
    Column formula_age_cost;            ///< its cost [per yr]
    Column formula_interval;            ///< `best_inspection_interval` from `found_grade` to open [d]; infinite: no look pays
    Column formula_interval_cost;       ///< its cost [per yr]
    Column best_interval;               ///< cheapest simulated one of `intervals` and the formula's [d]; infinite: no look pays
    std::vector<std::string> best;      ///< name of the cheapest policy
    std::vector<std::string> policies;
    Eigen::ArrayXXd cost;               ///< [per joint and year]
    Eigen::ArrayXXd cost_error;         ///< standard errors [per joint and year], layers being independent
    Eigen::ArrayXXd failures;           ///< joints open before anybody resealed them [per 1000 joints and year]
    Eigen::ArrayXXd failures_error;     ///< [per 1000 joints and year]
    Eigen::ArrayXXd found;              ///< share of ends of lives that a look or the age came before the water [-]; NaN: no end
    Eigen::ArrayXXd looks;              ///< [per joint and year]
    Eigen::ArrayXXd reseals;            ///< planned or found [per joint and year]
    Eigen::ArrayXXd saving;             ///< of `best` against each policy, >= 0 [per joint and year]
    Eigen::ArrayXXd saving_error;       ///< of pairs of the same layers [per joint and year]
    Eigen::ArrayXXd more_failures;      ///< of `best` against each policy: its risk, or below 0 its gain [per 1000 joints and year]
    Eigen::ArrayXXd more_failures_error;  ///< [per 1000 joints and year]
    Column intervals;                   ///< that were tried, the same in all rows [d]
    Eigen::ArrayXXd interval_cost;      ///< by row and interval [per joint and year]
    Eigen::ArrayXXd interval_cost_error;  ///< [per joint and year]
    Eigen::ArrayXXd interval_failures;  ///< [per 1000 joints and year]

    Eigen::Index size() const { return rate.size(); }
    /// Row of a cell, -1 if there is none. @param of_family  "": the first one of the type.
    Eigen::Index row(const std::string& at_station, const std::string& of_type, const std::string& of_family = "") const;
    /// Column of a policy. @throws ValueError  unknown name.
    Eigen::Index policy(const std::string& name) const;
};

/// The usual joint of each type at each station, under each rule, on the same simulated years.
///
/// A joint keeps its ln(phi) (all shared effects together), each generation draws a new threshold; grade k is reached at the worn share
/// of the catalogue. A look finds what is past `found_grade` with the chance `detection` and it is resealed at once; at
/// grade 5 it is open, found by its water and resealed. Looks come at even intervals from a random first one. Years before the counted
/// ones let ages settle. Wear of the cap alone: no workmanship defects, no bedding, no false alarms. Standard errors are those of the
/// simulation, not of what the catalogue does not know.
///
/// The formulas take lives of one joint as independent and defects as coming at an even rate: they are a check and a start.
/// @throws ValueError  unknown station, type, family, cover or finish; a type without cap; costs given in part; a number out of range.
/// @source  Barlow & Proschan 1965 (age); Christer & Waller 1984 (delay time); costs: interval/..., labour/..., visit/... of the catalogue.
/// @threads pure; same bits for any number of threads.
IntervalTable interval_table(const IntervalTableOptions& options = {});

/// The table for reading: one line a row.
std::string interval_table_text(const IntervalTable& table);

}  // namespace libseal
