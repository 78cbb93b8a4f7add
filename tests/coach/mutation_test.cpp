#include "support/catch.hpp"

#include <string>
#include <vector>

#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "support/data.hpp"

using namespace libseal;

namespace {

/// Cuts, flips, doubles or swaps a piece.
std::string damaged(std::string text, RandomStream& random) {
    const int times = 1 + static_cast<int>(random.below(3));
    for (int i = 0; i < times && !text.empty(); ++i) {
        const std::size_t at = random.below(text.size()), length = 1 + random.below(40);
        switch (random.below(5)) {
            case 0: text.resize(at); break;
            case 1: text[at] = static_cast<char>(random.below(256)); break;
            case 2: text.insert(at, text.substr(at, length)); break;
            case 3: text.erase(at, length); break;
            default: text[at] = "0123456789-.,\"[]{}:eE\n"[random.below(22)]; break;
        }
    }
    return text;
}

template <class Read>
int refused(const std::string& good, int cases, Read read) {
    RandomStream random(20261125);
    int count = 0;
    for (int i = 0; i < cases; ++i) {
        try {
            read(damaged(good, random));
        } catch (const Error& error) {
            ++count;
            CHECK_FALSE(error.problems().empty());
            CHECK(error.problems().size() <= 50);
        }  // anything else fails the test
    }
    return count;
}

}  // namespace

TEST_CASE("a damaged file of a coach, fleet, survey or work list is read or refused, never more", "[bad_input]") {
    const auto folder = libseal_test::source_folder() / "examples/data";
    const auto text = [&](const char* name) { return read_text_file((folder / name).string()); };
    CHECK(refused(text("van.json"), 600, [](const std::string& t) { read_coach_text(t, "x"); }) > 300);
    CHECK(refused(text("fleet.json"), 150, [&](const std::string& t) { read_fleet_text(t, "x", folder.string()); }) > 50);
    CHECK(refused(text("findings.csv"), 600, [](const std::string& t) { read_findings_text(t, "x"); }) > 100);
    CHECK(refused(text("work_done.csv"), 600, [](const std::string& t) { read_work_done_text(t, "x"); }) > 100);
    CHECK(refused("id,layout,length_m,model_year,station\na,travel_trailer,7,2020,725350\nb,travel_trailer,9,2021,722780\n", 600,
                  [](const std::string& t) { read_fleet_text(t, "x"); }) > 100);
    const std::string layouts = R"({"schema": "libseal/coach/1", "layout": "fifth_wheel", "id": "f", "length": "33 ft", "model_year": 2021,
"overhang_length_m": 2.6, "slide_outs": 2, "slide_outs_curb": 1, "solar_panels": 2, "drip_rails": true, "wall_finish": "beige_gelcoat",
"changes": {"antenna": {"absent": true}, "window_4": {"open_edge": "none"}}})";
    CHECK(refused(layouts, 300, [](const std::string& t) { read_coach_text(t, "x"); }) > 100);
    CHECK(refused("id,layout,length_m,model_year,overhang_length_m,overcab,windows\na,motorhome,8.5,2020,1.4,yes,5\nb,camper_van,6,2021,,,3\n"
                  "c,truck_camper,5,2021,1.5,no,2\n",
                  300, [](const std::string& t) { read_fleet_text(t, "x"); }) > 50);
}
