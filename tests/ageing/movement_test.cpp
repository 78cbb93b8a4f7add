#include "support/catch.hpp"

#include <cmath>
#include <limits>
#include <numbers>

#include "libseal/ageing/joint_width.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

Column column(std::initializer_list<double> values) {
    Column result(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), result.data());
    return result;
}

/// A year of hours: yearly and daily swing and noise on top. Synthetic.
Column year_of_temperature(double yearly, double daily) {
    Column hours(8760);
    for (Eigen::Index h = 0; h < hours.size(); ++h) {
        const double t = static_cast<double>(h);
        hours[h] = 12 - yearly * std::cos(2 * std::numbers::pi * t / 8760) - daily * std::cos(2 * std::numbers::pi * t / 24) +
                   std::sin(1e4 * std::sin(t));
    }
    return hours;
}

/// The rig of the Forest Products Laboratory: a plastic pipe moves a sealant of 12.7 mm by 1/105 cm a kelvin.
JointMovement rig() { return {"butt", 0.0127, {0.01 / 105, 1, 0, 0}, {0, 1, 0, 0}, 0}; }

JointMovement aluminium_on_laminate(const std::string& form, double width, double length) {
    return {form, width, {23.6e-6, length, 0.35, 0.9}, {28e-6, length, 0.35, 0.9}, 0};
}

/// Amplitude that `movement` has in the synthetic year, everything at one temperature.
double amplitude(const JointMovement& movement, const Column& temperature, double exponent = 0.3, Corner corner = Corner::side) {
    return strain_summary(movement, temperature, temperature, 20, corner, exponent).amplitude;
}

/// Plus or minus `strain`, switched every `hours`, through a year.
Column switched(double strain, Eigen::Index hours) {
    Column series(8760);
    for (Eigen::Index h = 0; h < series.size(); ++h) series[h] = h / hours % 2 ? -strain : strain;
    return series;
}

}  // namespace

TEST_CASE("the outdoor rig in Wisconsin moves as its builders say", "[published]") {
    // ASTM STP 1545 (2012), Forest Products Laboratory: displacement in cm = -(T - 4.5)/105, hot is compression.
    const Column temperature = column({-10, 4.5, 30, 45});
    const Column strain = strain_series(rig(), temperature, temperature, 4.5, Corner::side);
    const double millimetres[] = {1.381, 0, -2.429, -3.857}, percent[] = {10.87, 0, -19.12, -30.37};
    for (Eigen::Index i = 0; i < 4; ++i) {
        CHECK(strain[i] * 12.7 == Approx(millimetres[i]).epsilon(0.001).margin(1e-12));
        CHECK(strain[i] * 100 == Approx(percent[i]).epsilon(0.001).margin(1e-12));
    }
    libseal_test::count_published("ASTM STP 1545 outdoor rig", 8);
}

TEST_CASE("how often a movement is switched does not matter, its amplitude does", "[published]") {
    // Enomoto, Ito & Tanaka (ASTM STP 1545): monthly, weekly and twice weekly switching cracked alike over 12 months.
    const Catalogue catalogue = Catalogue::built_in();
    for (const char* family : {"polyurethane", "silyl_modified", "self_levelling_lap"}) {
        const MovementLaw law = movement_law(catalogue, family);
        const auto factor = [&](double strain, Eigen::Index hours) {
            const double a = strain_summary("butt", switched(strain, hours), law.d).amplitude;
            return movement_factor(law, a, law.low);
        };
        for (const double strain : {0.15, 0.30}) {
            const double monthly = factor(strain, 730);
            CHECK(factor(strain, 168) == Approx(monthly).epsilon(1e-12));
            CHECK(factor(strain, 84) == Approx(monthly).epsilon(1e-12));
        }
        CHECK(factor(0.30, 730) > factor(0.15, 730));
    }
    libseal_test::count_published("ASTM STP 1545 switching", 2);
}

TEST_CASE("ripples do not dilute the swing that holds them", "[law]") {
    const Column slow = switched(0.15, 730);
    Column rippled = slow;
    for (Eigen::Index h = 731; h < rippled.size(); ++h)
        if (h % 24 == 12) rippled[h] *= 0.9;
    for (const double exponent : {0.3, 1.0, 2.2}) {
        const StrainSummary plain = strain_summary("butt", slow, exponent), with = strain_summary("butt", rippled, exponent);
        CHECK(plain.amplitude == Approx(0.15).epsilon(1e-12));
        CHECK(with.cycles > 50 * plain.cycles);
        CHECK(with.amplitude == Approx(plain.amplitude).epsilon(0.03));
        CHECK(with.largest == plain.largest);
    }
    const JointMovement dome{"strip", 0.038, {72e-6, 0.76, 0, 0}, {6.1e-6, 0.76, 0, 0}, 0};
    double last = 0;
    for (const double daily : {0.0, 1.0, 3.0, 10.0, 20.0}) {
        const double now = amplitude(dome, year_of_temperature(15, daily));
        CHECK(now > last);
        last = now;
    }
}

TEST_CASE("the day on which a year is cut hardly matters", "[law]") {
    const Column year = year_of_temperature(15, 12);
    const JointMovement dome = usual_movement("skylight_flange", Catalogue::built_in());
    const double whole = amplitude(dome, year);
    for (const Eigen::Index shift : {1000, 3000, 4380, 7000}) {
        Column turned(year.size());
        turned << year.tail(year.size() - shift), year.head(shift);
        CHECK(amplitude(dome, turned) == Approx(whole).epsilon(0.15));
    }
}

TEST_CASE("a swing through the set position is one swing, also in shear", "[law]") {
    const JointMovement lap = aluminium_on_laminate("lap", 0.002, 1.0);
    const Column warm = column({0, 20, 40, 20, 0});
    const Column strain = strain_series(lap, warm, warm, 20, Corner::side);
    const double slide = differential_movement(23.6e-6, 28e-6, 1.0, 20);
    CHECK(strain[0] == Approx(-shear_strain(0.002, slide)));
    CHECK(strain[1] == 0);
    CHECK(strain[2] == Approx(shear_strain(0.002, slide)));
    const StrainSummary summary = strain_summary(lap, warm, warm, 20, Corner::side, 1);
    CHECK(summary.cycles == 1);
    CHECK(summary.amplitude == Approx(shear_strain(0.002, slide)));
    CHECK(summary.largest == Approx(shear_strain(0.002, slide)));
    CHECK(strain_of_movement("fillet", -0.3) == -0.3);
    CHECK(strain_of_movement("lap", -0.3) == Approx(-shear_strain(1, 0.3)));
}

TEST_CASE("cold opens and heat closes", "[law]") {
    for (const char* form : {"butt", "fillet", "strip"}) {
        // A part that grows more than its skin pushes against the bead when warm.
        const JointMovement dome{form, 0.01, {72e-6, 0.76, 0, 0}, {6.1e-6, 0.76, 0, 0}, 0};
        const Column temperature = column({-20, 20, 60});
        const Column strain = strain_series(dome, temperature, temperature, 20, Corner::side);
        CHECK(strain[0] > 0);
        CHECK(strain[1] == 0);
        CHECK(strain[2] == Approx(-strain[0]));
        CHECK(strain[0] == Approx(butt_strain(0.01, differential_movement(72e-6, 6.1e-6, 0.76, 40))));
    }
}

TEST_CASE("a corner moves by the resultant of both directions", "[law]") {
    JointMovement frame = aluminium_on_laminate("fillet", 0.005, 0.8);
    frame.across = 0.6;
    const Column temperature = column({-10, 20, 50});
    const Column side = strain_series(frame, temperature, temperature, 20, Corner::side);
    const Column corner = strain_series(frame, temperature, temperature, 20, Corner::corner);
    for (Eigen::Index i = 0; i < 3; ++i) CHECK(corner[i] == Approx(side[i] * std::hypot(0.8, 0.6) / 0.8));
    frame.form = "lap";
    const Column sheared = strain_series(frame, temperature, temperature, 20, Corner::corner);
    const double x = 30 * 4.4e-6 * 0.8 / 0.005, y = 30 * 4.4e-6 * 0.6 / 0.005;
    CHECK(sheared[2] == Approx(std::sqrt(1 + x * x + y * y) - 1));
    frame.across = 0;
    CHECK((strain_series(frame, temperature, temperature, 20, Corner::corner) ==
           strain_series(frame, temperature, temperature, 20, Corner::side))
              .all());
    // Parts of unlike temperature, one of which stands still along the side.
    const JointMovement odd{"butt", 1, {1e-5, 0, 0, 0}, {0, 0, 0, 0}, 1};
    CHECK(relative_movement(odd, column({10}), column({0}), 0, Corner::corner)[0] == Approx(-1e-4));
}

TEST_CASE("more expansion, more length, more swing and more temperature difference never age a joint less", "[law]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Column year = year_of_temperature(15, 12);
    for (const char* form : {"lap", "butt", "fillet", "strip"})
        for (const char* family : {"self_levelling_lap", "polyurethane", "silyl_modified", "neutral_cure_silicone"}) {
            const MovementLaw law = movement_law(catalogue, family);
            double length_first = -1, length_last = 0, expansion_last = 0, swing_last = 0, corner_last = 0;
            for (const double k : {1.0, 1.3, 2.0, 5.0, 60.0}) {
                JointMovement movement{form, 0.004, {24e-6, 0.1, 0, 0}, {6e-6, 0.1, 0, 0}, 0.05};
                const auto factor = [&](const JointMovement& m, const Column& t, Corner corner) {
                    return movement_factor(law, amplitude(m, t, law.d, corner), 0.05);
                };
                const double at_side = factor(movement, year, Corner::side);
                CHECK(factor(movement, year, Corner::corner) >= at_side);
                JointMovement longer = movement;
                longer.a.restraint = longer.b.restraint = 0.1 * k;
                CHECK(factor(longer, year, Corner::side) >= length_last);
                length_last = factor(longer, year, Corner::side);
                if (length_first < 0) length_first = length_last;
                JointMovement stretchy = movement;
                stretchy.a.expansion = 6e-6 + 18e-6 * k;
                CHECK(factor(stretchy, year, Corner::side) >= expansion_last);
                expansion_last = factor(stretchy, year, Corner::side);
                CHECK(factor(movement, 20 + k * (year - 20), Corner::side) >= swing_last);
                swing_last = factor(movement, 20 + k * (year - 20), Corner::side);
                JointMovement wide = movement;
                wide.across = 0.05 * k;
                CHECK(factor(wide, year, Corner::corner) >= corner_last);
                corner_last = factor(wide, year, Corner::corner);
            }
            if (law.c > 0) CHECK(length_last > length_first);
        }
}

TEST_CASE("the factor is the ratio of times to one crack rating", "[published]") {
    // Enomoto, Ito & Tanaka, ASTM STP 1514 (2010): a t^b (1 + c e^d); PU-2 at 2 years 2.11, 3.10, 3.71 at 0, 15, 30 %.
    const double b = 0.7, c = 0.07, d = 0.7, rating = 1.3 * std::pow(2, b) * (1 + c * std::pow(15, d));
    CHECK(rating == Approx(3.10).epsilon(0.01));
    const double factor = movement_factor(b, c, d, 0.15, 0.30, 0.02, 0.30);
    CHECK(1.3 * std::pow(2 / factor, b) * (1 + c * std::pow(15, d)) == Approx(3.71).epsilon(0.01));
    libseal_test::count_published("Enomoto Ito Tanaka 2010", 2);
    CHECK(movement_factor(b, c, d, 0.15, 0.15, 0.02, 0.30) == 1);
    CHECK(movement_factor(b, c, d, 0.15, 0.05, 0.02, 0.30) * movement_factor(b, c, d, 0.05, 0.15, 0.02, 0.30) == Approx(1));
}

TEST_CASE("the movement of every product of the test programme has the published weight", "[published]") {
    // Same chapter: 1 + c e^d at 15 % and 30 %, as derived from the printed constants.
    struct Row { double c, d, at_15, at_30, margin; };
    for (const Row& row : {Row{2.2, 0.5, 9.5, 13.1, 0.1}, Row{27.4, 0.3, 63, 77, 0.5}, Row{0.3, 0.9, 4.4, 7.4, 0.05},
                           Row{5.4, 0.4, 17, 22, 0.5}, Row{1.5, 0.3, 4.4, 5.2, 0.05}, Row{0.07, 0.7, 1.5, 1.8, 0.05},
                           Row{0.003, 2.2, 2.2, 6.3, 0.05}}) {
        // With b = 1 the factor between two amplitudes is the ratio of the weights.
        const double ratio = movement_factor(1, row.c, row.d, 0.30, 0.15, 0.02, 0.30);
        CHECK(ratio == Approx(row.at_30 / row.at_15).epsilon(row.margin / row.at_15 + row.margin / row.at_30));
    }
    libseal_test::count_published("Enomoto Ito Tanaka 2010", 14);
    CHECK(movement_factor(1, 0, 1, 0.30, 0.02, 0.02, 0.30) == 1);  // silicone did not crack
}

TEST_CASE("amplitudes outside the tests are held at their edge and flagged", "[ageing]") {
    const MovementLaw law = movement_law(Catalogue::built_in(), "self_levelling_lap");
    CHECK(law.low == 0.02);
    CHECK(law.high == 0.30);
    CHECK(movement_factor(law, 0.001, 0.01) == 1);
    CHECK(movement_factor(law, 0.5, 0.1) == movement_factor(law, 0.3, 0.1));
    CHECK(movement_flag(0.01, law.low, law.high).find("below 2 %") != std::string::npos);
    CHECK(movement_flag(0.31, law.low, law.high).find("above 30 %") != std::string::npos);
    CHECK(movement_flag(0.02, law.low, law.high).empty());
    CHECK(utilisation(0.05, 0.10) == 0.5);
}

TEST_CASE("the bead round a floating acrylic dome moves more than one round a screwed metal flange", "[law]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Column year = year_of_temperature(15, 15);
    const JointMovement dome = usual_movement("skylight_flange", catalogue);
    JointMovement flange = usual_movement("roof_exhaust_base", catalogue);
    flange.a.expansion = catalogue.number("substrate/mill_aluminium/expansion") * 1e-6;
    CHECK(dome.form == flange.form);
    CHECK(dome.width == flange.width);
    for (const Corner corner : {Corner::side, Corner::corner})
        CHECK(amplitude(dome, year, 0.3, corner) > 5 * amplitude(flange, year, 0.3, corner));
    CHECK(amplitude(dome, year, 0.3, Corner::corner) > 1.2 * amplitude(dome, year, 0.3, Corner::side));
}

TEST_CASE("screws shorten what moves, missing screws lengthen it, up to the part", "[ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = travel_trailer(7.5);
    const Joint& window = joint_of(coach, "window_2");
    const JointMovement held = movement_of_joint(coach, window, catalogue);
    CHECK(held.form == "fillet");
    CHECK(held.width == window.bead.thickness);
    CHECK(held.a.restraint == window.screw_spacing);
    CHECK(held.across == window.screw_spacing);
    MovementOptions options;
    options.screw_spacing = 2 * window.screw_spacing;
    CHECK(movement_of_joint(coach, window, catalogue, options).a.restraint == 2 * window.screw_spacing);
    options.screw_spacing = 5;
    CHECK(movement_of_joint(coach, window, catalogue, options).a.restraint == Approx(0.76));
    CHECK(movement_of_joint(coach, window, catalogue, options).across == Approx(0.56));
    options.screw_spacing = 0;
    CHECK(movement_of_joint(coach, window, catalogue, options).a.restraint == Approx(0.76));

    const Joint& edge = joint_of(coach, "roof_edge_curb");
    CHECK(movement_of_joint(coach, edge, catalogue).a.restraint == edge.screw_spacing);
    CHECK(movement_of_joint(coach, edge, catalogue).across == 0);
    CHECK(movement_of_joint(coach, edge, catalogue, options).a.restraint == Approx(7.5));

    const JointMovement dome = movement_of_joint(coach, joint_of(coach, "skylight"), catalogue);
    CHECK(dome.form == "strip");
    CHECK(dome.width == Approx(0.038));
    CHECK(dome.a.restraint == Approx(0.76));
    CHECK(dome.across == Approx(0.61));
    // The membrane is glued to its deck.
    CHECK(dome.b.expansion == Approx(6.1e-6));
    options.layer = "bedding";
    const JointMovement bed = movement_of_joint(coach, joint_of(coach, "skylight"), catalogue, options);
    CHECK(bed.form == "lap");
    CHECK(bed.width == Approx(0.002));
}

TEST_CASE("each part takes the colour of what it is made of", "[ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    LayoutOptions options;
    options.wall_finish = "dark_gelcoat";
    const Coach coach = travel_trailer(7.5, options);
    const JointMovement window = movement_of_joint(coach, joint_of(coach, "window_2"), catalogue);
    CHECK(window.a.absorptance == finish(catalogue, "white_paint").absorptance);
    CHECK(window.b.absorptance == finish(catalogue, "dark_gelcoat").absorptance);
    const JointMovement cap = movement_of_joint(coach, joint_of(coach, "front_cap_to_roof"), catalogue);
    CHECK(cap.a.absorptance == finish(catalogue, "dark_gelcoat").absorptance);
    CHECK(cap.b.absorptance == finish(catalogue, "white_membrane").absorptance);
}

TEST_CASE("every joint of a coach and every usual joint has a movement in every layer", "[law]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Column year = year_of_temperature(15, 12);
    const auto check = [&](const JointMovement& movement, const std::string& name) {
        INFO(name);
        CHECK(movement.width > 0);
        CHECK(movement.a.restraint > 0);
        CHECK(movement.a.restraint == movement.b.restraint);
        const double at_side = amplitude(movement, year), at_corner = amplitude(movement, year, 0.3, Corner::corner);
        CHECK(std::isfinite(at_side));
        CHECK(at_corner >= at_side);
    };
    for (const auto& name : joint_type_names(catalogue)) {
        check(usual_movement(name, catalogue), name);
        const JointType type = joint_type(catalogue, name);
        if (!type.bedding.empty()) check(usual_movement(name, catalogue, "bedding"), name);
        // Screws are never held to be farther apart than the usual part is long.
        CHECK(usual_movement(name, catalogue).a.restraint <= catalogue.number("joint_type/" + name + "/usual_length") * 1e-3);
    }
    LayoutOptions options;
    options.slide_outs = 2;
    const Coach coach = travel_trailer(9, options);
    for (const auto& joint : coach.joints)
        for (const auto& layer : joint.layers) {
            MovementOptions of_layer;
            of_layer.layer = layer.kind;
            check(movement_of_joint(coach, joint, catalogue, of_layer), joint.id + " " + layer.kind);
        }
    for (const auto& family : catalogue.names("sealant")) CHECK(movement_law(catalogue, family).b > 0);
}

TEST_CASE("a joint built as usual moves as the usual joint", "[law]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = travel_trailer(7.5);
    for (const char* id : {"window_2", "skylight", "roof_vent_1", "baggage_door_street", "front_cap_to_roof"}) {
        INFO(id);
        const Joint& joint = joint_of(coach, id);
        CHECK(movement_of_joint(coach, joint, catalogue).form == usual_movement(joint.type, catalogue).form);
        const Column year = year_of_temperature(15, 12);
        CHECK(amplitude(movement_of_joint(coach, joint, catalogue), year) == Approx(amplitude(usual_movement(joint.type, catalogue), year)));
    }
}

TEST_CASE("hours without a temperature are left out", "[ageing]") {
    Column year = year_of_temperature(15, 12);
    const JointMovement dome = usual_movement("skylight_flange", Catalogue::built_in());
    const double whole = amplitude(dome, year);
    for (Eigen::Index h = 1000; h < 1048; ++h) year[h] = unknown;
    CHECK(amplitude(dome, year) == Approx(whole).epsilon(0.01));
    CHECK(std::isnan(strain_series(dome, year, year, 20, Corner::side)[1000]));
    const Column none = Column::Constant(10, unknown);
    const StrainSummary empty = strain_summary(dome, none, none, 20, Corner::side, 0.3);
    CHECK(empty.amplitude == 0);
    CHECK(empty.largest == 0);
    CHECK(empty.cycles == 0);
}

TEST_CASE("what has no movement is refused", "[bad_input]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = travel_trailer(7.5);
    const Joint& window = joint_of(coach, "window_2");
    MovementOptions options;
    options.layer = "gasket";
    CHECK_THROWS_AS(movement_of_joint(coach, window, catalogue, options), ValueError);
    options = {};
    options.screw_spacing = -0.1;
    CHECK_THROWS_AS(movement_of_joint(coach, window, catalogue, options), ValueError);
    Joint bare = window;
    bare.substrates.clear();
    CHECK_THROWS_AS(movement_of_joint(coach, bare, catalogue), ValueError);
    bare = window;
    bare.layers.clear();
    CHECK_THROWS_AS(movement_of_joint(coach, bare, catalogue), ValueError);
    CHECK_THROWS_AS(usual_movement("window", catalogue), ValueError);
    CHECK_THROWS_AS(usual_movement("window_frame", catalogue, "roof"), ValueError);
    CHECK_THROWS_AS(movement_law(catalogue, "chewing_gum"), ValueError);

    const Column two = column({1, 2}), three = column({1, 2, 3});
    CHECK_THROWS_AS(relative_movement(rig(), two, three, 20, Corner::side), ValueError);
    CHECK_THROWS_AS(relative_movement(rig(), two, two, unknown, Corner::side), ValueError);
    JointMovement wrong = rig();
    wrong.form = "glued";
    CHECK_THROWS_AS(relative_movement(wrong, two, two, 20, Corner::side), ValueError);
    wrong = rig();
    wrong.width = 0;
    CHECK_THROWS_AS(strain_series(wrong, two, two, 20, Corner::side), ValueError);
    wrong = rig();
    wrong.a.restraint = -1;
    CHECK_THROWS_AS(strain_series(wrong, two, two, 20, Corner::side), ValueError);
    CHECK_THROWS_AS(strain_summary(rig(), two, two, 20, Corner::side, 0), ValueError);
    CHECK_THROWS_AS(movement_factor(0, 1, 1, 0.1, 0.1, 0.02, 0.3), ValueError);
    CHECK_THROWS_AS(movement_factor(1, -1, 1, 0.1, 0.1, 0.02, 0.3), ValueError);
    CHECK_THROWS_AS(movement_factor(1, 1, 1, -0.1, 0.1, 0.02, 0.3), ValueError);
    CHECK_THROWS_AS(movement_factor(1, 1, 1, 0.1, unknown, 0.02, 0.3), ValueError);
    CHECK_THROWS_AS(movement_factor(1, 1, 1, 0.1, 0.1, 0, 0.3), ValueError);
    CHECK_THROWS_AS(movement_factor(1, 1, 1, 0.1, 0.1, 0.4, 0.3), ValueError);
    CHECK_THROWS_AS(movement_flag(unknown, 0.02, 0.3), ValueError);
    CHECK_THROWS_AS(utilisation(0.1, 0), ValueError);
    CHECK_THROWS_AS(utilisation(-0.1, 0.1), ValueError);
}
