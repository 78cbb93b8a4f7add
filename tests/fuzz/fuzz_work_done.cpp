// Any bytes as records of work, a table or JSON: records that survive being written and read again, or a ValueError.

#include <cmath>

#include "core/json.hpp"
#include "libseal/survey/read.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

std::string written(const std::vector<WorkDone>& work) {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/work_done/1");
    out.list("work_done", work, [&](const WorkDone& one) {
        const auto text = [&](const char* key, const std::string& value) {
            if (!value.empty()) out.member(key, value);
        };
        out.begin_object();
        out.member("coach", one.coach);
        // A joint may have an empty name, a part alone has none.
        if (!one.joint.empty() || !one.layer.empty() || one.part.empty()) out.member("joint", one.joint);
        text("layer", one.layer);
        out.member("date", to_text(one.date));
        out.member("action", one.action);
        text("family", one.family);
        if (!std::isnan(one.minutes)) out.member("minutes", one.minutes);
        text("who", one.who);
        out.member("declined", one.declined);
        text("part", one.part);
        out.end_object();
    });
    out.end_object();
    return out.take();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    check_round_trip(text_of(data, size), [](const std::string& text) { return read_work_done_text(text, "input"); }, written);
    return 0;
}
