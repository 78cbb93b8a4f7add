// Any bytes as owners' dates, a table or JSON: dates that survive being written and read again, or a ValueError.

#include "core/json.hpp"
#include "libseal/calendar/owner_dates.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal_fuzz;

namespace {

std::string written(const std::vector<OwnerDates>& all) {
    detail::JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/owner_dates/1");
    out.list("owner_dates", all, [&](const OwnerDates& one) {
        require(one.from < one.to, "dates are in order");
        out.begin_object();
        out.member("coach", one.coach);
        out.member("from", to_text(one.from));
        out.member("to", to_text(one.to));
        out.member("kind", one.kind);
        out.member("set_up_percent", one.set_up_percent);
        out.member("reason", one.reason);
        out.end_object();
    });
    out.end_object();
    return out.take();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    check_round_trip(text_of(data, size), [](const std::string& text) { return read_owner_dates_text(text, "input"); }, written);
    return 0;
}
