#include "libseal/work/quote.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// One task of 100 person-minutes and a step of 20 of the job; one family of two packages.
WorkPlan small_plan() {
    WorkPlan plan;
    plan.coach = "c";
    plan.currency = "USD";
    plan.as_of = sample_day();
    Step look;
    look.kind = "photograph";
    look.minutes = {15, 20, 30};
    plan.steps.push_back(look);
    Task task;
    task.joint = "window_1";
    task.joint_type = "window_frame";
    task.action = "cut_out_and_reseal";
    task.minutes = {80, 100, 150};
    plan.tasks.push_back(task);
    Material material;
    material.family = "non_sag_lap";
    material.packages = 2;
    material.priced = true;
    material.cost = 2400;
    plan.materials.push_back(material);
    plan.minutes = {95, 120, 180};
    return plan;
}

const QuoteLine& line_of(const Quote& quote, const std::string& kind) {
    for (const QuoteLine& line : quote.lines)
        if (line.kind == kind) return line;
    FAIL("no line " << kind);
    return quote.lines.front();
}

Cost sum_of(const Quote& quote) {
    Cost sum;
    for (const QuoteLine& line : quote.lines) {
        sum.low += line.amount.low;
        sum.mode += line.amount.mode;
        sum.high += line.amount.high;
    }
    return sum;
}

}  // namespace

TEST_CASE("a quote worked by hand", "[work]") {
    Shop shop = sample_shop();  // 150.00 an hour
    Billing& b = shop.billing;
    b.step_minutes = 15;
    b.minimum_minutes = 60;
    b.supplies_percent = 8;
    b.supplies_cap = 2000;
    b.disposal = 500;
    b.trip_base = 7500;
    b.trip_rate = 300;
    b.trip_free = 10;
    b.distance_unit = "mile";
    b.rounding_step = 5;
    b.deposit_percent = 50;
    b.overrun_percent = 10;
    b.overrun_cap = 2500;
    b.contingency_percent = 15;
    shop.tax_percent = 7;
    QuoteOptions options;
    options.distance_km = 25 * 1.609344;
    const Quote q = quote(small_plan(), shop, options);
    // 20 min and 100 min at 2.50 a minute; 120 min are eight quarters of an hour. 95 and 180 min are billed as 105 and 180.
    CHECK(line_of(q, "set_up").amount.mode == 5000);
    CHECK(line_of(q, "labour").amount.mode == 25000);
    CHECK(line_of(q, "time_step").amount.low == 10 * 250);
    CHECK(line_of(q, "time_step").amount.mode == 0);
    CHECK(line_of(q, "time_step").amount.high == 0);
    CHECK(line_of(q, "material").amount.mode == 2400);
    CHECK(line_of(q, "supplies").amount.mode == 2000);  // 8 % of 300.00 is 24.00, capped
    CHECK(line_of(q, "disposal").amount.mode == 500);
    CHECK(line_of(q, "trip").quantity == Approx(25).margin(1e-9));
    CHECK(line_of(q, "trip").amount.mode == 7500 + 15 * 300);
    CHECK(q.net.mode == 30000 + 2400 + 2000 + 500 + 12000);
    CHECK(q.tax.mode == 3283);  // 7 % of 469.00
    CHECK(q.total.mode == 50185);  // 501.83 to the next 0.05
    CHECK(line_of(q, "rounding").amount.mode == 2);
    CHECK(q.deposit == 25093);  // half of it, half a cent up
    CHECK(q.call_before == 50185 + 2500);
    CHECK(q.contingency == 7528);
    CHECK(q.valid_until == sample_day() + 30);
    CHECK(q.items.at(0).waiting.find("core of a wall") != std::string::npos);
    CHECK(q.exclusions.size() == 6);
    CHECK_FALSE(q.stop_and_call.empty());
}

TEST_CASE("an hour at the published rates costs what the pages print", "[work][published]") {
    // Pages of mobile services: 150 to 165 USD an hour, one hour at least, then quarters; 75 to 100 USD for the trip, 2 to 4 USD a mile.
    WorkPlan plan = small_plan();
    plan.materials.clear();
    plan.steps.clear();
    plan.tasks[0].minutes = plan.minutes = {30, 40, 61};
    Shop shop = sample_shop();
    shop.billing.step_minutes = 15;
    shop.billing.minimum_minutes = 60;
    CHECK(quote(plan, shop).total.mode == 15000);
    CHECK(quote(plan, shop).total.low == 15000);
    CHECK(quote(plan, shop).total.high == 18750);  // 61 minutes are five quarters
    shop.labour_rate_per_h = 16500;
    CHECK(quote(plan, shop).total.mode == 16500);
    // Ontario: at most ten per cent above the estimate; Colorado: ten per cent or 25 USD, whichever is less.
    CHECK(quote(plan, shop).call_before == 18150);
    shop.billing.overrun_cap = 2500;
    CHECK(quote(plan, shop).call_before == 18150);
    plan.minutes = plan.tasks[0].minutes = {300, 300, 300};
    CHECK(quote(plan, shop).call_before == 82500 + 2500);
    count_published("Pages of mobile services on rates; price rules of Ontario and Colorado", 4);
}

TEST_CASE("the lines of a quote add up to its total, for any plan, shop and currency", "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 13));
    RandomStream random(seed, 9);
    const Coach coach = sample_trailer(seed);
    Shop shop = sample_shop();
    shop.currency = std::vector<std::string>{"USD", "JPY", "KWD"}[seed % 3];
    shop.labour_rate_per_h = static_cast<Money>(random.below(40000));
    shop.tax_percent = static_cast<double>(random.below(250)) / 10;
    shop.minimum_charge = static_cast<Money>(random.below(3)) * 200000;
    Billing& b = shop.billing;
    b.step_minutes = static_cast<double>(random.below(3)) * 15;
    b.minimum_minutes = static_cast<double>(random.below(2)) * 60;
    b.markup_percent = static_cast<double>(random.below(60));
    b.supplies_percent = static_cast<double>(random.below(11));
    b.supplies_cap = static_cast<Money>(random.below(2)) * 5000;
    b.disposal = static_cast<Money>(random.below(3000));
    b.trip_rate = 275;
    b.rounding_step = static_cast<Money>(1 + random.below(2) * 4);
    const WorkPlan plan = plan_work(coach, sample_findings(coach, seed, 10), sample_forecast(coach, seed), shop, sample_day());
    QuoteOptions options;
    if (random.below(2) == 1) options.distance_km = 37.3;
    const Quote q = quote(plan, shop, options);
    const Cost sum = sum_of(q);
    CHECK(sum.low == q.total.low);
    CHECK(sum.mode == q.total.mode);
    CHECK(sum.high == q.total.high);
    CHECK((q.total.low <= q.total.mode && q.total.mode <= q.total.high));
    CHECK(q.total.mode % b.rounding_step == 0);
    CHECK(std::abs(q.total.mode - q.net.mode - q.tax.mode) <= b.rounding_step / 2);
    CHECK(q.net.low >= shop.minimum_charge);
    for (const QuoteItem& item : q.items) {
        if (!item.options.empty()) CHECK((item.options.front().chosen && item.options.front().action == item.action));
        CHECK_FALSE(item.waiting.empty());
    }
    if (std::isnan(options.distance_km)) CHECK(plan.total.mode == q.total.mode);
    CHECK(quote_json(q) == quote_json(quote(plan, shop, options)));
    CHECK(quote_csv(q).find("total,") != std::string::npos);
}

TEST_CASE("currencies without cents and with mills are written and read as they are", "[work]") {
    CHECK(minor_digits("JPY") == 0);
    CHECK(minor_digits("KWD") == 3);
    CHECK(minor_digits("EUR") == 2);
    CHECK(money_text(1234, "JPY") == "1234 JPY");
    CHECK(money_text(5, "KWD") == "0.005 KWD");
    CHECK(money_text(-5, "USD") == "-0.05 USD");
    for (const char* currency : {"JPY", "KWD", "CHF"}) {
        Shop shop = sample_shop();
        shop.currency = currency;
        shop.billing.trip_base = 1234;
        shop.billing.rounding_step = 5;
        shop.billing.markup_percent = 30;
        shop.billing.distance_unit = "mile";
        const Shop back = read_shop_text(shop_json(shop), "shop");
        CHECK(back.labour_rate_per_h == shop.labour_rate_per_h);
        CHECK(back.package_price == shop.package_price);
        CHECK(back.billing.trip_base == 1234);
        CHECK(back.billing.rounding_step == 5);
        CHECK(back.billing.distance_unit == "mile");
        CHECK(shop_json(back) == shop_json(shop));
    }
}

TEST_CASE("prices that make no sense are refused by name", "[work][bad_input]") {
    Shop shop = sample_shop();
    shop.billing.markup_percent = -1;
    CHECK_THROWS_AS(check_shop(shop), ValueError);
    shop.billing = {};
    shop.billing.rounding_step = 0;
    CHECK_THROWS_AS(check_shop(shop), ValueError);
    shop.billing = {};
    shop.billing.distance_unit = "league";
    CHECK_THROWS_AS(check_shop(shop), ValueError);
    shop.billing = {};
    for (const char* basis : {"standard_time", "clock"}) {
        shop.billing.time_basis = basis;
        CHECK_NOTHROW(check_shop(shop));
    }
    shop.billing.time_basis = "guess";
    try {
        check_shop(shop);
        FAIL("accepted");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 1);
        CHECK(error.problems()[0].field.find("time_basis") != std::string::npos);
        CHECK(error.problems()[0].expected == "standard_time or clock");
    }
    QuoteOptions options;
    options.distance_km = -1;
    CHECK_THROWS_AS(quote(small_plan(), sample_shop(), options), ValueError);
    options = {};
    options.valid_days = -1;
    CHECK_THROWS_AS(quote(small_plan(), sample_shop(), options), ValueError);
    const std::string head = "{\"schema\": \"libseal/shop/1\", \"name\": \"x\", \"labour_rate_per_h\": 1, \"people\": [{\"id\": \"a\"}], \"billing\": ";
    CHECK_THROWS_AS(read_shop_text(head + "{\"markup\": 3}}", "shop"), ValueError);
    CHECK_THROWS_AS(read_shop_text(head + "{\"disposal\": 3.001}}", "shop"), ValueError);
    CHECK_THROWS_AS(read_shop_text(head + "{\"supplies_percent\": 101}}", "shop"), ValueError);
}
