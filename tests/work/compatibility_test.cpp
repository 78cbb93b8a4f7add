// The matrices of the notes against the catalogue, cell by cell.

#include <map>

#include "libseal/catalogue/joint_type.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

/// Names a row's cells: one letter a substrate. O normal choice, T test or primer, N never. Where the notes give two, either will do.
struct Row {
    const char* family;
    std::vector<const char*> cells;
};

bool allowed(const std::string& cell, const std::string& value) {
    const std::string letter = value == "ok" ? "O" : value == "test" ? "T" : value == "strip" ? "S" : "N";
    return cell.find(letter) != std::string::npos;
}

}  // namespace

TEST_CASE("a new sealant takes to a clean substrate as the notes say", "[work]") {
    // Judgement gathered in this project's notes from sealant makers' pages, so this checks the transcription.
    const std::vector<std::vector<const char*>> substrates{{"epdm_membrane"}, {"tpo_membrane"}, {"pvc_membrane"}, {"gelcoat_laminate"},
                                                           {"painted_aluminium"}, {"steel", "stainless_steel"}, {"abs"}, {"acrylic", "polycarbonate"},
                                                           {"glass"}, {"plywood"}};
    const std::vector<Row> rows{{"self_levelling_lap", {"O", "OT", "T", "O", "O", "O", "T", "T", "O", "T"}},
                                {"non_sag_lap", {"O", "T", "T", "O", "O", "O", "T", "T", "O", "T"}},
                                {"silyl_modified", {"T", "TN", "T", "O", "O", "O", "OT", "T", "T", "O"}},
                                {"polyurethane", {"TN", "N", "T", "O", "O", "O", "NT", "N", "T", "O"}},
                                {"neutral_cure_silicone", {"N", "N", "T", "O", "O", "O", "O", "O", "O", "T"}},
                                {"acetoxy_cure_silicone", {"N", "N", "N", "N", "N", "N", "T", "N", "O", "N"}},
                                {"butyl_tape", {"O", "O", "T", "O", "O", "O", "O", "O", "O", "O"}},
                                {"putty_tape", {"N", "T", "N", "O", "O", "O", "T", "T", "O", "O"}},
                                {"polysulfide", {"N", "N", "N", "O", "O", "O", "N", "N", "O", "O"}},
                                {"asphalt_or_roof_coating", {"N", "N", "N", "N", "N", "N", "N", "N", "N", "N"}},
                                {"seam_tape", {"OT", "OT", "OT", "O", "O", "O", "T", "T", "O", "T"}}};
    const Catalogue catalogue = Catalogue::built_in();
    int cells = 0;
    for (const Row& row : rows)
        for (std::size_t i = 0; i < substrates.size(); ++i)
            for (const char* substrate : substrates[i]) {
                INFO(row.family << " on " << substrate << ": " << compatibility(catalogue, row.family, substrate));
                CHECK(allowed(row.cells[i], compatibility(catalogue, row.family, substrate)));
                ++cells;
            }
    CHECK(cells == 11 * 12);
}

TEST_CASE("a new sealant takes to an old one as the notes say", "[work]") {
    const std::vector<std::vector<const char*>> olds{{"self_levelling_lap", "non_sag_lap"}, {"silyl_modified"}, {"polyurethane"},
                                                     {"neutral_cure_silicone", "acetoxy_cure_silicone"}, {"butyl_tape"}, {"unknown"},
                                                     {"asphalt_or_roof_coating"}};
    // "S": not over it, it comes off first.
    const std::vector<Row> rows{{"self_levelling_lap", {"O", "T", "T", "N", "T", "SN", "N"}}, {"non_sag_lap", {"O", "T", "T", "N", "T", "SN", "N"}},
                                {"silyl_modified", {"T", "O", "OT", "N", "N", "SN", "N"}},    {"polyurethane", {"T", "T", "O", "N", "N", "SN", "N"}},
                                {"neutral_cure_silicone", {"N", "N", "N", "TN", "N", "SN", "N"}}, {"seam_tape", {"T", "T", "T", "N", "T", "SN", "N"}}};
    const Catalogue catalogue = Catalogue::built_in();
    for (const Row& row : rows)
        for (std::size_t i = 0; i < olds.size(); ++i)
            for (const char* old : olds[i]) {
                INFO(row.family << " over " << old << ": " << compatibility_over(catalogue, row.family, old));
                CHECK(allowed(row.cells[i], compatibility_over(catalogue, row.family, old)));
            }
    CHECK(compatibility_over(catalogue, "neutral_cure_silicone", "neutral_cure_silicone") == "test");
}
