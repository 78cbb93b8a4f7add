#include "libseal/calendar/owner_dates.hpp"

#include <algorithm>
#include <set>

#include "core/json.hpp"
#include "core/problem.hpp"
#include "core/record_table.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

const std::vector<std::string>& fields() {
    static const std::vector<std::string> names = {"coach", "from", "to", "kind", "set_up_percent", "reason"};
    return names;
}

const std::vector<std::string>& kinds() {
    static const std::vector<std::string> names = {"trip", "storage"};
    return names;
}

constexpr double most_percent = 1000;

/// What is wrong with a record as a whole; "" for nothing.
std::string fault_of(const OwnerDates& dates) {
    return dates.from < dates.to ? "" : to_text(dates.to) + ", with " + to_text(dates.from) + " as the first day";
}

std::vector<OwnerDates> from_table(std::string_view text, const std::string& name) {
    detail::RecordTable row(text, name, fields(), {"coach", "from", "to"});
    std::vector<OwnerDates> all;
    while (row.next()) {
        const std::size_t before = row.problem_count();
        for (const char* column : {"coach", "from", "to"}) row.need(column);
        const OwnerDates dates{row.text("coach"), row.date("from"), row.date("to"), row.word("kind", kinds(), "trip"),
                               row.number("set_up_percent", 0, most_percent, 100), row.text("reason")};
        if (row.problem_count() == before)
            if (const std::string fault = fault_of(dates); !fault.empty()) row.fail("to", "the day after the last, after the first day", fault);
        all.push_back(dates);
    }
    row.throw_if_any();
    return all;
}

std::vector<OwnerDates> from_document(std::string_view text, const std::string& name) {
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/owner_dates/1");
    root.check_keys({"schema", "owner_dates"});
    std::vector<OwnerDates> all;
    for (const auto& item : root.required("owner_dates").items(limits::table_rows)) {
        const std::size_t before = item.problem_count();
        item.check_keys(fields());
        const OwnerDates dates{item.required("coach").text(),
                               item.required("from").date(Date{}),
                               item.required("to").date(Date{}),
                               item.member("kind").present() ? item.member("kind").word(kinds()) : "trip",
                               item.member("set_up_percent").number(0, most_percent, 100),
                               item.member("reason").text()};
        if (item.problem_count() == before)
            if (const std::string fault = fault_of(dates); !fault.empty())
                item.member("to").fail("the day after the last, after the first day", fault);
        all.push_back(dates);
    }
    problems.throw_if_any();
    return all;
}

}  // namespace

void check_owner_dates(const std::vector<OwnerDates>& owner_dates, const Fleet& fleet) {
    std::vector<std::string> ids;
    for (const Coach& coach : fleet.coaches) ids.push_back(coach.id);
    const std::set<std::string> known(ids.begin(), ids.end());
    detail::Problems problems;
    for (std::size_t i = 0; i < owner_dates.size(); ++i) {
        const OwnerDates& dates = owner_dates[i];
        const auto add = [&](const std::string& field, const std::string& expected, const std::string& got, const std::string& hint = "") {
            problems.add(detail::field_problem("owner_dates[" + std::to_string(i) + "]" + field, expected, got, hint));
        };
        if (!known.count(dates.coach)) {
            const std::string near = nearest_name(dates.coach, ids);
            add(".coach", "a coach of the fleet", "\"" + dates.coach + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        if (!(dates.from < dates.to)) add("", "a first day before the day after the last", to_text(dates.from) + " to " + to_text(dates.to));
        if (std::find(kinds().begin(), kinds().end(), dates.kind) == kinds().end())
            add(".kind", "\"trip\" or \"storage\"", "\"" + dates.kind + "\"");
        if (!(dates.set_up_percent >= 0 && dates.set_up_percent <= most_percent))
            add(".set_up_percent", "0 to 1000", number_text(dates.set_up_percent));
    }
    problems.throw_if_any();
}

std::vector<OwnerDates> read_owner_dates_text(std::string_view text, const std::string& name) {
    return detail::looks_like_json(text) ? from_document(text, name) : from_table(text, name);
}

std::vector<OwnerDates> read_owner_dates(const std::string& path) { return read_owner_dates_text(read_text_file(path), path); }

}  // namespace libseal
