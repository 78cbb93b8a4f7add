#include "survey/size_class.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// Highest class whose printed limit the value meets: "from" >=, "over" >, "to" <=, "under" <.
int class_of(const std::string& row, double value, const Catalogue& catalogue) {
    for (int k = 5; k >= 1; --k) {
        const std::string base = row + "/" + std::to_string(k);
        if (catalogue.has(base + "/from") && value >= catalogue.number(base + "/from")) return k;
        if (catalogue.has(base + "/over") && value > catalogue.number(base + "/over")) return k;
        if (catalogue.has(base + "/to") && value <= catalogue.number(base + "/to")) return k;
        if (catalogue.has(base + "/under") && value < catalogue.number(base + "/under")) return k;
    }
    return 0;
}

}  // namespace

int size_class(const Finding& finding, const Catalogue& catalogue) {
    const std::string sign = "grade/sign/" + finding.sign + "/";
    if (!std::isnan(finding.value)) {
        const std::string row = finding.unit == "mm" ? catalogue.word(sign + "row_mm") : catalogue.word(sign + "row_percent");
        if (row == "none")
            throw_value_error("finding on " + finding.coach + ", " + finding.joint, "a size in words for " + finding.sign +
                              ", which has no measure in " + (finding.unit.empty() ? "no unit" : finding.unit),
                              number_text(finding.value) + " " + finding.unit, "write size = slight, clear or severe");
        if (!(finding.value >= 0 && finding.value <= 10000))
            throw_value_error("finding on " + finding.coach + ", " + finding.joint, "a value of 0 to 10000", number_text(finding.value));
        return class_of("grade/row/" + row, finding.value, catalogue);
    }
    if (finding.size == "none") return 0;
    // A sign without measure or word was clear enough to be written down.
    return static_cast<int>(catalogue.number(sign + (finding.size.empty() ? "clear" : finding.size)));
}

bool is_there(const Finding& finding, const Catalogue& catalogue) {
    if (finding.size == "none") return false;
    if (!(finding.value == 0)) return true;  // also where nothing was measured
    const std::string id = "grade/sign/" + finding.sign + (finding.unit == "mm" ? "/row_mm" : "/row_percent");
    return catalogue.has(id) && catalogue.word(id) != "none" && class_of("grade/row/" + catalogue.word(id), 0, catalogue) > 0;
}

int quantity_class(double share, const Catalogue& catalogue) {
    if (std::isnan(share)) return static_cast<int>(catalogue.number("grade/quantity/missing"));
    if (!(share >= 0 && share <= 1)) throw_value_error("share", "0 to 1 of the length", number_text(share));
    if (share == 0) return 0;
    return std::max(1, class_of("grade/quantity", share, catalogue));
}

}  // namespace libseal::detail
