// Any bytes as an overlay of the catalogue: a catalogue without faults in which never-seal places stay, or a ValueError.

#include "libseal/catalogue/catalogue.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Catalogue base = Catalogue::built_in();
    static const std::vector<std::string> types = base.names("joint_type");
    const std::string text = text_of(data, size);
    const auto over = read_or_refuse([&] { return base.with_overlay(text, "input"); });
    if (!over) return 0;
    require(check_catalogue(*over).empty(), "an overlay that is taken leaves no fault");
    require(*over == base.with_overlay(text, "input"), "the same text gives the same catalogue");
    require(*over == over->with_overlay(text, "input"), "an overlay over itself changes nothing");
    for (const std::string& type : types) {
        const std::string id = "joint_type/" + type + "/never_seal";
        require(!base.has(id) || base.word(id) != "yes" || over->word(id) == "yes", "a never-seal place stays one");
    }
    for (const Problem& warning : over->warnings()) require(!warning.got.empty(), "a warning says what was there");
    return 0;
}
