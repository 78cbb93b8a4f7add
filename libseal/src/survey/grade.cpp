#include "libseal/survey/grade.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/segments.hpp"
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

/// What one segment shows; the rules about open paths act on it alone.
struct Segment {
    int cap = -1;
    int bedding = -1;
    int hardware = -1;
    int largest_crack = -1;  ///< size class
    int crack_grade = -1;
    bool through = false;    ///< the bead is open to its bedding
    bool fastener = false;   ///< a screw is bare
    bool profile_open = false;  ///< an insert or gasket is missing or out
    bool part_open = false;     ///< the part is missing, cracked through or off

    int worst() const { return std::max({cap, bedding, hardware}); }
};

/// Lengths of the segments that a mean weighs by [m]; 1 for those it does not know.
struct Lengths {
    std::map<std::string, double> of;
    double whole = 0;  ///< of the joint; 0 unknown
};

void raise(int& grade, int to) { grade = std::max(grade, to); }

/// Not knowing is worse than knowing that there is no path, and better than a path.
void raise(OpenPath& path, OpenPath to) {
    const auto rank = [](OpenPath p) { return p == OpenPath::yes ? 2 : p == OpenPath::unknown ? 1 : 0; };
    if (rank(to) > rank(path)) path = to;
}

/// Grades one look, rule by rule; the numbers are those of the survey notes in docs/.
class Look {
public:
    Look(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue, Lengths lengths)
        : findings_(findings), type_(type), catalogue_(catalogue), lengths_(std::move(lengths)) {}

    Grade graded() {
        bool hardened = false;
        for (const auto& f : findings_) {
            const std::string line = line_of(f.sign);
            if (line == "none") {
                reason("not inspected" + (f.reason.empty() ? "" : ": " + f.reason));
                continue;
            }
            grade_.inspected = true;
            Segment& segment = segments_[f.segment];
            moisture(f);
            bedding_seen(f, segment);
            const bool of_bedding = f.layer == "bedding";
            if (line == "look") raise(of_bedding ? segment.bedding : segment.cap, 0);
            if (line == "cap" && !of_bedding) cap(f, segment);
            if (line == "hardware") hardware(f, segment);
            if (line == "bedding" || (line == "cap" && of_bedding)) raise(segment.bedding, segment_grade(f));
            if (line == "damage") damage(f);
            if (line == "note" && f.size != "none")
                reason(plain(f.sign) + " found: " + catalogue_.word("grade/sign/" + f.sign + "/note"));
            hardened = hardened || (f.sign == "hardened" && f.size != "none");
        }
        const auto whole = segments_.find("");
        const int bedding_of_all = whole == segments_.end() ? -1 : whole->second.bedding;
        for (auto& [name, segment] : segments_) {
            if (hardened) harden(segment);
            // Bedding seen on another segment says nothing about this one.
            settle(segment, std::max(segment.bedding, bedding_of_all));
            raise(grade_.cap, segment.cap);
            raise(grade_.bedding, segment.bedding);
            raise(grade_.hardware, segment.hardware);
        }
        grade_.mean = mean();
        // Damage without an open bead: water has come from somewhere.
        if (grade_.damage >= 1) raise(grade_.open_path, OpenPath::unknown);
        return std::move(grade_);
    }

private:
    double number(const std::string& id) const { return catalogue_.number(id); }
    std::string line_of(const std::string& sign) const {
        const std::string id = "grade/sign/" + sign + "/line";
        if (catalogue_.has(id)) return catalogue_.word(id);
        const std::string near = nearest_name(sign, sign_names());
        throw_value_error("sign", "a sign of the word list", "\"" + sign + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    }
    void reason(std::string text) { grade_.reasons.push_back(std::move(text)); }

    /// Size class; an edge lifted over half the bond width or to a screw is the worst.
    int size_of(const Finding& f) const {
        const int size = detail::size_class(f, catalogue_);
        if (f.sign != "edge_lift") return size;
        if (f.reaches_fastener) return 5;
        const double bond_mm = 1e3 * (type_.profile == "strip" ? type_.bead_width : type_.bead_thickness);
        const bool wide = bond_mm > 0 && f.value >= number("grade/edge_lift/bond_share") * bond_mm;  // NaN is not
        return wide ? 5 : size;
    }

    /// Rules 1 and 2: appearance is capped; a small or large share moves the grade by one.
    int segment_grade(const Finding& f) {
        const int size = size_of(f);
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

    /// Named segments by their length; what was noted of the whole joint stands for the rest of it.
    double mean() const {
        double sum = 0, weight = 0, named = 0;
        const auto add = [&](int grade, double length) {
            if (grade < 0) return;
            sum += grade * length;
            weight += length;
        };
        for (const auto& [name, segment] : segments_) {
            if (name.empty()) continue;
            const auto known = lengths_.of.find(name);
            const double length = known == lengths_.of.end() ? 1.0 : known->second;
            named += length;
            add(segment.worst(), length);
        }
        const auto whole = segments_.find("");
        const double rest = lengths_.whole - named;
        // Segments may overlap: then little is left, but what was said of the whole still counts if nothing else does.
        if (whole != segments_.end()) add(whole->second.worst(), lengths_.whole > 0 ? std::max(rest, weight > 0 ? 0.0 : 1.0) : 1.0);
        return weight > 0 ? sum / weight : std::numeric_limits<double>::quiet_NaN();
    }

    /// Screws, rails and parts: not the sealant, but a way in where they are gone.
    void hardware(const Finding& f, Segment& segment) {
        const int g = segment_grade(f);
        raise(segment.hardware, g);
        // A crack that starts at a screw leaves the screw where it is.
        segment.fastener = segment.fastener || (f.reaches_fastener && f.sign != "part_cracked");
        if (g >= 5) segment.part_open = true;
    }

    void cap(const Finding& f, Segment& segment) {
        const int g = segment_grade(f), size = size_of(f);
        raise(segment.cap, g);
        if (f.sign == "skin_cracks" || f.sign == "deep_crack") {
            raise(segment.largest_crack, size);
            raise(segment.crack_grade, g);
        }
        segment.fastener = segment.fastener || f.reaches_fastener;
        // Rule 4: any class 5, or a gap of class 4, goes through the bead. Inserts and gaskets are no beads.
        const bool profile = f.sign.starts_with("insert_") || f.sign.starts_with("gasket_");
        const bool bead = !profile && (f.layer.empty() || f.layer == "cap_bead" || f.layer == "cover_tape");
        if (bead && (g >= 5 || (size >= 5 && number("grade/sign/" + f.sign + "/highest") >= 5) || (f.sign == "gap" && size >= 4)))
            segment.through = true;
        if (!bead && g >= 5) segment.profile_open = true;
    }

    /// Elasticity: small cracks of a hardened bead are one worse.
    void harden(Segment& segment) {
        if (segment.largest_crack < 1 || segment.largest_crack > number("grade/hardened/raises_to_size")) return;
        raise(segment.cap, std::min(5, segment.crack_grade + 1));
        reason("hardened: one grade worse");
    }

    void bedding_seen(const Finding& f, Segment& segment) {
        if (f.bedding_seen.empty() || f.bedding_seen == "not_seen") return;
        raise(segment.bedding, static_cast<int>(number("grade/bedding_seen/" + f.bedding_seen)));
        reason("bedding seen " + f.bedding_seen);
    }

    void moisture(const Finding& f) {
        if (std::isnan(f.moisture)) return;
        // A hair below: 20.4 less 15.4 comes out a little under 5.
        const bool wetter = std::isnan(f.moisture_dry) || f.moisture - f.moisture_dry >= number("grade/moisture/difference") - 1e-9;
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
    void settle(Segment& s, int bedding) {
        if (s.fastener && type_.consequence >= 4) {
            s.cap = 5;
            raise(grade_.open_path, OpenPath::yes);
            reason("a fastener into framing or deck is bare: open path");
            return;
        }
        if (!s.through && !s.profile_open && !s.part_open && !s.fastener) return;
        const bool of_cap = s.through || s.profile_open || s.fastener;
        const bool no_bedding = type_.bedding.empty();
        const bool holds = bedding >= 0 && bedding <= number("grade/bedding/sound_to");
        if (no_bedding || bedding >= number("grade/bedding/failed_from") || (bedding < 0 && wet_)) {
            if (of_cap) s.cap = 5;
            raise(grade_.open_path, OpenPath::yes);
            reason(no_bedding ? "open, no bedding behind it: open path" : "open, bedding failed or wet: open path");
            return;
        }
        if (s.through || s.fastener) s.cap = 4;
        if (s.profile_open) s.cap = 5;
        raise(grade_.open_path, holds && !s.fastener ? OpenPath::no : OpenPath::unknown);
        reason(s.fastener ? "a fastener is bare" : holds ? "open over sound bedding" : "open, bedding not known to be sound");
    }

    const std::vector<Finding>& findings_;
    const JointType& type_;
    const Catalogue& catalogue_;
    Lengths lengths_;
    std::map<std::string, Segment> segments_;
    Grade grade_;
    bool wet_ = false;
};

void check_one_look(const std::vector<Finding>& findings) {
    for (const auto& f : findings) {
        const Finding& first = findings.front();
        const bool same_place = f.coach == first.coach && f.joint == first.joint && (!f.joint.empty() || f.part == first.part);
        if (!same_place || f.date != first.date)
            throw_value_error("findings", "findings of one joint, or of one part, on one day", "several joints, parts or days");
    }
}

}  // namespace

int Grade::worst() const { return std::max({cap, bedding, hardware}); }

Grade grade(const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue) {
    check_one_look(findings);
    return Look(findings, type, catalogue, {}).graded();
}

Grade grade_of_joint(const std::vector<Finding>& findings, const Joint& joint, const Catalogue& catalogue) {
    check_one_look(findings);
    Lengths lengths;
    lengths.whole = joint.length;
    for (const auto& segment : segments_of(joint)) lengths.of[segment.name] = segment.length;
    return Look(findings, joint_type(catalogue, joint.type), catalogue, std::move(lengths)).graded();
}

std::vector<std::string> not_inspected(const std::vector<Finding>& findings, const std::string& coach, Date as_of) {
    std::map<std::string, std::pair<Date, std::string>> missed;
    std::map<std::string, Date> seen;
    for (const auto& f : findings) {
        if (f.coach != coach || f.date > as_of) continue;
        const std::string& place = f.joint.empty() ? f.part : f.joint;
        if (f.sign != "not_inspected") {
            Date& last = seen.try_emplace(place, f.date).first->second;
            last = std::max(last, f.date);
            continue;
        }
        auto& last = missed.try_emplace(place, f.date, f.reason).first->second;
        last = std::max(last, std::pair(f.date, f.reason));
    }
    std::vector<std::string> sentences;
    for (const auto& [place, last] : missed) {
        const auto looked = seen.find(place);
        if (looked != seen.end() && looked->second >= last.first) continue;
        sentences.push_back(place + " was not inspected on " + to_text(last.first) + (last.second.empty() ? "" : ": " + last.second));
    }
    return sentences;
}

MoistureBand moisture_band(double reading, const Catalogue& catalogue) {
    require_between(reading, 0, 200, "reading");
    MoistureBand band;
    for (int k = 1; catalogue.has("moisture/band/" + std::to_string(k) + "/from"); ++k) {
        const std::string base = "moisture/band/" + std::to_string(k) + "/";
        if (reading >= catalogue.number(base + "from")) band = {catalogue.word(base + "name"), catalogue.word(base + "meaning")};
    }
    return band;
}

}  // namespace libseal
