#include <cmath>

#include "core/json.hpp"
#include "libseal/tuning/recalibrate.hpp"

namespace libseal {
namespace {

/// A number, or null for what has no end.
void number(detail::JsonWriter& out, const char* name, double value) {
    out.key(name);
    if (std::isfinite(value)) out.value(value);
    else out.null();
}

void family(detail::JsonWriter& out, const Recalibration& r, Eigen::Index i) {
    const FamilyLives& f = r.families;
    const auto n = static_cast<std::size_t>(i);
    const SourcedValue& old = r.catalogue.at("sealant/" + f.family[n] + "/median_life");
    out.begin_object();
    out.member("family", f.family[n]);
    out.object("catalogue", [&] {
        out.member("life_yr", old.value);
        number(out, "low_yr", old.low);
        number(out, "high_yr", old.high);
        out.member("mark", to_text(old.mark));
        out.member("source", old.source);
    });
    out.member("life_yr", f.life[i]);
    out.member("life_low_yr", f.life_low[i]);
    out.member("life_high_yr", f.life_high[i]);
    out.member("prior_sd", f.prior_sd[i]);
    out.member("log_sd", f.log_sd[i]);
    out.member("layers", f.layers[n]);
    out.member("coaches", f.coaches[n]);
    out.member("due", f.due[n]);
    out.member("first_look", f.first_look[n]);
    out.member("last_look", f.last_look[n]);
    number(out, "before_calendar_yr", f.years_before[i]);
    number(out, "after_calendar_yr", f.years_after[i]);
    out.member("enough", f.verdict[n] == "enough");
    out.member("verdict", f.verdict[n]);
    out.end_object();
}

void groups(detail::JsonWriter& out, const char* name, const GroupLives& g, bool coaches) {
    out.key(name);
    out.begin_list();
    for (Eigen::Index i = 0; i < g.size(); ++i) {
        const auto n = static_cast<std::size_t>(i);
        out.begin_object();
        out.member("family", g.family[n]);
        out.member("model_line", g.model_line[n]);
        if (coaches) out.member("coach", g.coach[n]);
        out.member("layers", g.layers[n]);
        out.member("life_yr", g.life[i]);
        out.member("life_low_yr", g.life_low[i]);
        out.member("life_high_yr", g.life_high[i]);
        out.member("ratio", g.ratio[i]);
        out.end_object();
    }
    out.end_list();
}

void spread(detail::JsonWriter& out, const char* name, double before, double after) {
    out.object(name, [&] {
        out.member("catalogue", before);
        out.member("fleet", after);
    });
}

}  // namespace

std::string recalibration_json(const Recalibration& r) {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/recalibration/1");
    out.key("families");
    out.begin_list();
    for (Eigen::Index i = 0; i < r.families.size(); ++i) family(out, r, i);
    out.end_list();
    groups(out, "model_lines", r.model_lines, false);
    groups(out, "coaches", r.coaches, true);
    out.object("spreads", [&] {
        spread(out, "model_line", r.spreads.model_line_old, r.spreads.model_line);
        spread(out, "coach", r.spreads.coach_old, r.spreads.coach);
        spread(out, "joint", r.spreads.joint_old, r.spreads.joint);
        out.member("gain", r.spreads.gain);
    });
    out.end_object();
    return out.take();
}

}  // namespace libseal
