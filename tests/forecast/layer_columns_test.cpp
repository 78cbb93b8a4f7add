// Forecasts of columns are those of coaches with one layer each. Synthetic: the library against itself.
#include "libseal/forecast/layer_columns.hpp"

#include <cmath>
#include <cstring>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/exposure/plane.hpp"
#include "libseal/survey/grade.hpp"
#include "support/bits.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"
#include "support/trailers.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 11, 25);

/// One layer of one joint of a coach, as a coach and as a row.
struct Sample {
    Coach coach;
    LayerKey key;
    Date installed{};
    std::vector<Finding> looks;
    std::vector<int> grades;
};

Sample sample_of(const Coach& whole, std::size_t joint, std::size_t layer, const std::string& station, Date installed) {
    Sample sample;
    sample.coach = whole;
    Joint only = whole.joints[joint];
    only.layers = {only.layers[layer]};
    only.layers[0].installed_from = only.layers[0].installed_to = installed;
    sample.coach.joints = {only};
    sample.coach.stays = {libseal_test::stay_since(make_date(1990, 1, 1), station, 30)};
    const Plane plane = plane_of(only.surface, 30);
    const Finish coat = finish(Catalogue::built_in(), surface_of(sample.coach, only.surface, only.slide).finish);
    sample.key.tilt = plane.tilt;
    sample.key.azimuth = plane.azimuth;
    sample.key.absorptance = coat.absorptance;
    sample.key.emittance = coat.emittance;
    sample.key.family = only.layers[0].family;
    sample.key.layer = only.layers[0].kind;
    sample.installed = installed;
    return sample;
}

void look(Sample& sample, const char* date, const std::string& sign, const std::string& size) {
    const Joint& joint = sample.coach.joints[0];
    Finding finding;
    finding.coach = sample.coach.id;
    finding.joint = joint.id;
    finding.layer = joint.layers[0].kind;
    finding.sign = sign;
    finding.size = size;
    finding.date = parse_date(date);
    const Grade seen = grade({finding}, joint_type(Catalogue::built_in(), joint.type), Catalogue::built_in());
    sample.looks.push_back(finding);
    sample.grades.push_back(seen.cap);
}

std::vector<Sample> samples() {
    LayoutOptions options;
    options.id = "t1";
    const Coach whole = travel_trailer(8.0, options);
    const std::string stations[] = {"725350", "722780"};
    std::vector<Sample> all;
    for (std::size_t j = 0; j < whole.joints.size(); j += 3)
        for (std::size_t l = 0; l < whole.joints[j].layers.size(); ++l) {
            if (whole.joints[j].layers[l].kind == "bedding") continue;  // alone it would lie bare
            all.push_back(sample_of(whole, j, l, stations[j % 2], make_date(2012 + static_cast<int>(j % 13), 1 + static_cast<int>(j % 12), 7)));
            Sample& sample = all.back();
            if (sample.key.layer != "cap_bead") continue;
            if (j % 4 > 0) look(sample, "2025-10-02", "gap", "none");
            if (j % 4 > 1) look(sample, "2026-05-11", "gap", "clear");
            if (j % 4 > 2) look(sample, "2026-09-30", "gap", "none");  // contradicts
        }
    return all;
}

/// Rows in the order given, of all stations. A clean look would say something of the appearance too, which columns do not know.
LayerColumns columns_of(const std::vector<Sample>& all, const std::vector<double>& movement) {
    LayerColumns columns;
    columns.stations = {find_station("725350"), find_station("722780")};
    const auto count = static_cast<Eigen::Index>(all.size());
    columns.key.resize(count);
    columns.installed.resize(count);
    columns.length.resize(count);
    columns.movement_factor = Eigen::Map<const Column>(movement.data(), count);
    std::vector<std::int32_t> row, date, seen;
    for (Eigen::Index i = 0; i < count; ++i) {
        const Sample& sample = all[static_cast<std::size_t>(i)];
        columns.keys.push_back(sample.key);
        columns.keys.back().station = sample.coach.stays[0].station == "725350" ? 0 : 1;
        columns.key[i] = static_cast<std::int32_t>(i);
        columns.installed[i] = sample.installed.days;
        columns.length[i] = sample.coach.joints[0].length;
        for (std::size_t k = 0; k < sample.looks.size(); ++k) {
            row.push_back(static_cast<std::int32_t>(i));
            date.push_back(sample.looks[k].date.days);
            seen.push_back(sample.grades[k]);
        }
    }
    const auto looks = static_cast<Eigen::Index>(row.size());
    columns.look_row = Eigen::Map<const IndexColumn>(row.data(), looks);
    columns.look_date = Eigen::Map<const DateColumn>(date.data(), looks);
    columns.look_grade = Eigen::Map<const IndexColumn>(seen.data(), looks);
    return columns;
}

bool same_bits(const LayerForecast& a, const LayerForecast& b) {
    using libseal_test::same_bits;
    return same_bits(a.age, b.age) && same_bits(a.effective_age, b.effective_age) && same_bits(a.condition, b.condition) &&
           same_bits(a.due_now, b.due_now) && same_bits(a.due_90_days, b.due_90_days) && same_bits(a.due_1_year, b.due_1_year) &&
           same_bits(a.due_2_years, b.due_2_years) && same_bits(a.due_5_years, b.due_5_years) && same_bits(a.due_10, b.due_10) &&
           same_bits(a.due_50, b.due_50) && same_bits(a.due_90, b.due_90);
}

}  // namespace

TEST_CASE("columns of layers have the forecasts of coaches with one layer", "[forecast][columns]") {
    const std::vector<Sample> all = samples();
    std::vector<Forecast> wanted;
    std::vector<double> movement;
    int seen = 0, contradicted = 0;
    for (const Sample& sample : all) {
        ForecastOptions options;
        options.findings = sample.looks;
        wanted.push_back(forecast(sample.coach, as_of, 5, options));
        REQUIRE(wanted.back().size() == 1);
        movement.push_back(wanted.back().movement_factor[0]);
        seen += !sample.looks.empty();
        contradicted += wanted.back().flag[0].find("contradict") != std::string::npos;
    }
    REQUIRE(all.size() >= 20);
    REQUIRE(seen >= 6);
    REQUIRE(contradicted >= 1);
    const LayerForecast found = forecast_layers(columns_of(all, movement), as_of);
    REQUIRE(found.size() == static_cast<Eigen::Index>(all.size()));
    for (Eigen::Index i = 0; i < found.size(); ++i) {
        const Forecast& one = wanted[static_cast<std::size_t>(i)];
        INFO(all[static_cast<std::size_t>(i)].coach.joints[0].id << " " << all[static_cast<std::size_t>(i)].key.layer << " looks "
                                                                 << all[static_cast<std::size_t>(i)].looks.size());
        // Looks that contradict each other count by a power, which `forecast` takes at the nodes of its table and this at each cell.
        const double margin = one.flag[0].find("contradict") == std::string::npos ? 1e-9 : 5e-5;
        CHECK(found.age[i] == one.age[0]);
        CHECK(found.effective_age[i] == Approx(one.effective_age[0]).epsilon(1e-10));
        CHECK(found.condition[i] == Approx(one.condition[0]).margin(1e-4));
        CHECK(found.due_now[i] == Approx(one.due_now[0]).margin(margin));
        CHECK(found.due_90_days[i] == Approx(one.due_90_days[0]).margin(margin));
        CHECK(found.due_1_year[i] == Approx(one.due_1_year[0]).margin(margin));
        CHECK(found.due_2_years[i] == Approx(one.due_2_years[0]).margin(margin));
        CHECK(found.due_5_years[i] == Approx(one.due_5_years[0]).margin(margin));
        CHECK(std::abs(found.due_10[i] - one.due_10[0]) <= 1);
        CHECK(std::abs(found.due_50[i] - one.due_50[0]) <= 1);
        CHECK(std::abs(found.due_90[i] - one.due_90[0]) <= 1);
    }
}

TEST_CASE("columns give the same bits for any number of threads, in parts and with a session", "[forecast][columns]") {
    const std::vector<Sample> all = samples();
    const std::vector<double> movement(all.size(), 1.0);
    const LayerColumns whole = columns_of(all, movement);
    LayerOptions one;
    one.threads = 1;
    const LayerForecast wanted = forecast_layers(whole, as_of, one);
    LayerOptions many;
    many.threads = 5;
    many.session = std::make_shared<Session>();
    CHECK(same_bits(wanted, forecast_layers(whole, as_of, many)));
    CHECK(many.session->clock_count() > 0);
    const std::size_t clocks = many.session->clock_count();
    CHECK(same_bits(wanted, forecast_layers(whole, as_of, many)));
    CHECK(many.session->clock_count() == clocks);
    for (std::size_t i = 0; i < all.size(); i += 7) {
        const LayerForecast part = forecast_layers(columns_of({all[i]}, {1.0}), as_of, many);
        const auto row = static_cast<Eigen::Index>(i);
        CHECK(part.due_now[0] == wanted.due_now[row]);
        CHECK(part.condition[0] == wanted.condition[row]);
        CHECK(part.due_90[0] == wanted.due_90[row]);
    }
}

TEST_CASE("columns that do not fit are refused with their place", "[forecast][columns]") {
    const std::vector<Sample> all = samples();
    const LayerColumns good = columns_of(all, std::vector<double>(all.size(), 1.0));
    const auto field_of = [&](const auto& change) {
        LayerColumns columns = good;
        change(columns);
        try {
            forecast_layers(columns, as_of);
        } catch (const ValueError& error) {
            return error.problems().front().field;
        }
        return std::string("none");
    };
    CHECK(field_of([](LayerColumns& c) { c.key[3] = 999; }) == "key[3]");
    CHECK(field_of([](LayerColumns& c) { c.key[3] = -1; }) == "key[3]");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].station = 2; }) == "keys[2].station");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].tilt = 181; }) == "keys[2].tilt");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].absorptance = std::nan(""); }) == "keys[2].absorptance");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].layer = "paint"; }) == "keys[2].layer");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].cover = "tent"; }) == "keys[2].cover");
    CHECK(field_of([](LayerColumns& c) { c.keys[2].family = "glue"; }) == "keys[2].family");
    CHECK(field_of([](LayerColumns& c) { c.installed[1] = as_of.days + 1; }) == "installed[1]");
    CHECK(field_of([](LayerColumns& c) { c.installed.resize(2); }) == "installed");
    CHECK(field_of([](LayerColumns& c) { c.movement_factor[4] = 0; }) == "movement_factor[4]");
    CHECK(field_of([](LayerColumns& c) { c.length[4] = -1; }) == "length[4]");
    CHECK(field_of([](LayerColumns& c) { c.look_row[0] = 20; }) == "look_row[1]");
    CHECK(field_of([](LayerColumns& c) { c.look_grade[0] = 6; }) == "look_grade[0]");
    CHECK(field_of([](LayerColumns& c) { c.look_date[0] = as_of.days + 1; }) == "look_date[0]");
    // Two looks of one layer on one day are two looks; only a step back is out of order. The second look of the first layer that has two:
    const auto two_looks = [](const LayerColumns& c) {
        Eigen::Index second = 1;
        while (c.look_row[second] != c.look_row[second - 1]) ++second;
        return second;
    };
    CHECK(field_of([&](LayerColumns& c) { c.look_date[two_looks(c)] = c.look_date[two_looks(c) - 1]; }) == "none");
    CHECK(field_of([&](LayerColumns& c) { c.look_date[two_looks(c)] = c.look_date[two_looks(c) - 1] - 1; }) == "look_date[" + std::to_string(two_looks(good)) + "]");
    CHECK(forecast_layers(LayerColumns{}, as_of).size() == 0);
    // A key as it is made names what the catalogue has.
    LayerColumns plain;
    plain.stations = {find_station("725350")};
    plain.keys = {LayerKey{}};
    plain.key = IndexColumn::Zero(1);
    plain.installed = DateColumn::Constant(1, as_of.days - 1000);
    CHECK(forecast_layers(plain, as_of).effective_age[0] > 0);
}

TEST_CASE("a look before a layer was fitted leaves those after it as they are", "[forecast][columns][law]") {
    const auto due = [](const std::vector<std::pair<const char*, int>>& looks) {
        LayerColumns columns;
        columns.stations = {find_station("725350")};
        columns.keys = {LayerKey{}};
        columns.key = IndexColumn::Zero(1);
        columns.installed = DateColumn::Constant(1, make_date(2020, 5, 1).days);
        const auto count = static_cast<Eigen::Index>(looks.size());
        columns.look_row = IndexColumn::Zero(count);
        columns.look_date.resize(count);
        columns.look_grade.resize(count);
        for (Eigen::Index k = 0; k < count; ++k) {
            columns.look_date[k] = parse_date(looks[static_cast<std::size_t>(k)].first).days;
            columns.look_grade[k] = looks[static_cast<std::size_t>(k)].second;
        }
        return forecast_layers(columns, as_of).due_1_year[0];
    };
    const double clean = due({{"2025-05-01", 0}});
    CHECK(due({{"2019-05-01", 5}, {"2025-05-01", 0}}) == clean);
    CHECK(due({{"2020-05-01", 5}, {"2025-05-01", 0}}) == clean);  // the day of the work: the old one
    CHECK(due({{"2020-05-02", 5}, {"2025-05-01", 0}}) != clean);
    CHECK(due({{"2019-05-01", 5}}) == due({}));
}
