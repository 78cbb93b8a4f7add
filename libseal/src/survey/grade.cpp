#include "libseal/survey/grade.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "survey/size_class.hpp"

namespace libseal {
namespace {

std::string plain(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

std::string shown(const Finding& f) {
    std::string text = plain(f.sign);
    if (!std::isnan(f.value)) text += " " + number_text(f.value) + (f.unit == "percent" ? " %" : " " + f.unit);
    else if (!f.size.empty()) text += ", " + f.size;
    if (!std::isnan(f.share)) text += ", over " + number_text(std::round(f.share * 1000) / 10) + " %";
    return text;
}

/// Grades one look, rule by rule; the numbers are those of the survey notes in docs/.
class Look {
public:
    Look(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue)
        : findings_(findings), type_(type), catalogue_(catalogue) {}

    Grade graded() {
        bool hardened = false;
        int largest_crack = -1;
        for (const auto& f : findings_) {
            const std::string line = catalogue_.word("grade/sign/" + f.sign + "/line");
            if (line == "none") {
                reason("not inspected" + (f.reason.empty() ? "" : ": " + f.reason));
                continue;
            }
            grade_.inspected = true;
            moisture(f);
            bedding_seen(f);
            if (line == "look") raise(f.layer == "bedding" ? grade_.bedding : grade_.cap, 0);
            if (line == "cap") cap(f, hardened, largest_crack);
            if (line == "bedding") raise(grade_.bedding, segment_grade(f));
            if (line == "damage") damage(f);
            if (line == "note") reason(plain(f.sign) + " found: nothing bonds to it");
        }
        // Elasticity: a hardened bead with small cracks is one worse.
        if (hardened && largest_crack >= 1 && largest_crack <= number("grade/hardened/raises_to_size")) {
            grade_.cap = std::min(5, grade_.cap + 1);
            reason("hardened: one grade worse");
        }
        open_cap();
        return std::move(grade_);
    }

private:
    double number(const std::string& id) const { return catalogue_.number(id); }
    void reason(std::string text) { grade_.reasons.push_back(std::move(text)); }
    static void raise(int& grade, int to) { grade = std::max(grade, to); }

    /// Rules 1 and 2: appearance is capped; a small or large share moves the grade by one.
    int segment_grade(const Finding& f) {
        const int size = detail::size_class(f, catalogue_);
        const std::string sign = "grade/sign/" + f.sign + "/";
        int g = size;
        if (size > 0 && catalogue_.word(sign + "quantity") == "counts") {
            const int quantity = detail::quantity_class(f.share, catalogue_);
            if (quantity <= 1 && size <= 3) g = std::max(1, size - 1);
            if (quantity >= 4 && size <= 4) g = std::min(5, size + 1);
        }
        g = std::min(g, static_cast<int>(number(sign + "highest")));
        if (g > 0) reason(shown(f) + ": grade " + std::to_string(g));
        return g;
    }

    void cap(const Finding& f, bool& hardened, int& largest_crack) {
        const int g = segment_grade(f);
        raise(grade_.cap, g);
        if (f.sign == "hardened") hardened = true;
        const int size = detail::size_class(f, catalogue_);
        if (f.sign == "skin_cracks" || f.sign == "deep_crack") largest_crack = std::max(largest_crack, size);
        if (f.reaches_fastener) fastener_ = true;
        // Rule 4: any class 5, or a gap of class 4, goes through the bead.
        const bool bead = f.layer.empty() || f.layer == "cap_bead" || f.layer == "cover_tape";
        if (bead && (g >= 5 || (size >= 5 && number("grade/sign/" + f.sign + "/highest") >= 5) || (f.sign == "gap" && size >= 4)))
            through_ = true;
        if (!bead && g >= 5) part_open_ = true;
    }

    void bedding_seen(const Finding& f) {
        if (f.bedding_seen.empty() || f.bedding_seen == "not_seen") return;
        raise(grade_.bedding, static_cast<int>(number("grade/bedding_seen/" + f.bedding_seen)));
        reason("bedding seen " + f.bedding_seen);
    }

    void moisture(const Finding& f) {
        if (std::isnan(f.moisture)) return;
        const bool wetter = std::isnan(f.moisture_dry) || f.moisture - f.moisture_dry >= number("grade/moisture/difference");
        if (f.moisture >= number("grade/moisture/structural") && wetter) raise(grade_.damage, 3);
        else if (f.moisture >= number("grade/moisture/suspect") && wetter) raise(grade_.damage, 1);
        else return;
        wet_ = true;
        reason("moisture " + number_text(f.moisture) + " %");
    }

    void damage(const Finding& f) {
        const int level = f.size == "none" ? 0 : static_cast<int>(number("grade/sign/" + f.sign + "/" + (f.size.empty() ? "clear" : f.size)));
        raise(grade_.damage, level);
        if (level == 0) return;
        wet_ = true;
        reason(shown(f) + ": damage " + std::to_string(level));
    }

    /// Rules 4 and 5, which act last.
    void open_cap() {
        if (fastener_) {
            const bool into_frame = type_.consequence >= 4;
            grade_.cap = into_frame ? 5 : std::max(grade_.cap, 4);
            grade_.open_path = into_frame ? OpenPath::yes : OpenPath::unknown;
            reason(into_frame ? "a fastener into framing or deck is bare: open path" : "a fastener is bare");
            return;
        }
        if (part_open_) raise(grade_.cap, 5);
        if (!through_) {
            // Damage without an open bead: water has come from somewhere.
            if (grade_.bedding >= number("grade/bedding/failed_from") && grade_.cap < 4) grade_.open_path = OpenPath::no;
            if (grade_.damage >= 1) grade_.open_path = OpenPath::unknown;
            return;
        }
        const bool no_bedding = type_.bedding.empty();
        if (no_bedding || grade_.bedding >= number("grade/bedding/failed_from") || (grade_.bedding < 0 && wet_)) {
            grade_.cap = 5;
            grade_.open_path = OpenPath::yes;
            reason(no_bedding ? "open bead, no bedding behind it: open path" : "open bead, bedding failed or wet: open path");
        } else if (grade_.bedding >= 0 && grade_.bedding <= number("grade/bedding/sound_to")) {
            grade_.cap = 4;
            grade_.open_path = OpenPath::no;
            reason("open bead over sound bedding");
        } else {
            grade_.cap = 4;
            grade_.open_path = OpenPath::unknown;
            reason("open bead, bedding not known to be sound");
        }
    }

    const std::vector<Finding>& findings_;
    const JointType& type_;
    const Catalogue& catalogue_;
    Grade grade_;
    bool through_ = false;    ///< the bead is open to its bedding
    bool fastener_ = false;   ///< a screw is bare
    bool part_open_ = false;  ///< an insert, gasket or part is missing or off
    bool wet_ = false;
};

}  // namespace

Grade grade(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue) {
    for (const auto& f : findings)
        if (f.coach != findings.front().coach || f.joint != findings.front().joint || f.date != findings.front().date)
            throw_value_error("findings", "findings of one joint on one day", "several joints or days");
    return Look(findings, type, catalogue).graded();
}

std::string to_text(Urgency urgency) {
    switch (urgency) {
        case Urgency::next_inspection: return "next_inspection";
        case Urgency::next_service: return "next_service";
        case Urgency::within_30_days: return "within_30_days";
        case Urgency::at_once: return "at_once";
    }
    return "next_inspection";
}

Urgency urgency(const Grade& grade, const JointType& type, bool exposed_soon, const Catalogue& catalogue) {
    if (grade.damage >= 1) return Urgency::at_once;  // to be looked into, whatever the bead looks like
    // Not knowing counts as open where framing, deck or wiring get wet.
    const bool open = grade.open_path == OpenPath::yes || (grade.open_path == OpenPath::unknown && type.consequence >= 4 && exposed_soon);
    if (open && type.consequence >= 4) return Urgency::at_once;
    const int worst = std::clamp(std::max(grade.cap, grade.bedding), 0, 5);
    const std::string cell = std::to_string(worst) + "/" + std::to_string(type.consequence);
    const std::string id = exposed_soon && catalogue.has("urgency/exposed/" + cell) ? "urgency/exposed/" + cell : "urgency/" + cell;
    const std::string& word = catalogue.word(id);
    for (const Urgency u : {Urgency::next_inspection, Urgency::next_service, Urgency::within_30_days, Urgency::at_once})
        if (to_text(u) == word) return u;
    throw_value_error(id, "next_inspection, next_service, within_30_days or at_once", "\"" + word + "\"");
}

}  // namespace libseal
