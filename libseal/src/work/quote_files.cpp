// Quotes as JSON, schema libseal/quote/1, and as CSV.

#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/quote.hpp"
#include "work/json_parts.hpp"

namespace libseal {
namespace {

using detail::in_units;
using detail::JsonWriter;
using detail::write_range;

void write(JsonWriter& out, const QuoteLine& line, const std::string& currency) {
    out.begin_object();
    out.member("kind", line.kind);
    out.member("item", line.item);
    out.member("text", line.text);
    out.member("quantity", line.quantity);
    out.member("unit", line.unit);
    write_range(out, "amount", line.amount, currency);
    out.end_object();
}

void write(JsonWriter& out, const QuoteItem& item, const std::string& currency) {
    out.begin_object();
    out.member("place", item.place);
    out.member("action", item.action);
    out.member("reason", item.reason);
    out.member("urgency", to_text(item.urgency));
    out.member("due", to_text(item.due));
    out.list("options", item.options, [&](const ActionOption& option) {
        out.begin_object();
        out.member("action", option.action);
        out.member("family", option.family);
        out.member("chosen", option.chosen);
        write_range(out, "cost", option.cost, currency);
        out.member("person_hours", option.minutes.mode / 60);
        out.member("cure_hours", option.cure_hours);
        out.member("reason", option.reason);
        out.end_object();
    });
    out.member("waiting", item.waiting);
    if (item.cover_expires != Date{}) out.member("cover_expires", to_text(item.cover_expires));
    out.end_object();
}

}  // namespace

std::string quote_json(const Quote& quote) {
    JsonWriter out;
    const std::string& currency = quote.currency;
    out.begin_object();
    out.member("schema", "libseal/quote/1");
    out.member("coach", quote.coach);
    out.member("shop", quote.shop);
    out.member("currency", currency);
    out.member("as_of", to_text(quote.as_of));
    out.member("valid_until", to_text(quote.valid_until));
    out.list("lines", quote.lines, [&](const QuoteLine& line) { write(out, line, currency); });
    write_range(out, "net", quote.net, currency);
    write_range(out, "tax", quote.tax, currency);
    write_range(out, "total", quote.total, currency);
    out.member("deposit", in_units(quote.deposit, currency));
    out.member("call_before", in_units(quote.call_before, currency));
    out.member("contingency", in_units(quote.contingency, currency));
    out.member("stop_and_call", quote.stop_and_call);
    out.member("time_basis", quote.time_basis);
    out.list("items", quote.items, [&](const QuoteItem& item) { write(out, item, currency); });
    out.member("exclusions", quote.exclusions);
    out.member("warnings", quote.warnings);
    out.member("notes", quote.notes);
    out.member("closing", quote.closing);
    out.end_object();
    return out.take();
}

std::string quote_csv(const Quote& quote) {
    const int digits = minor_digits(quote.currency);
    const auto amount = [&](Money minor) { return number_text(in_units(minor, quote.currency), digits); };
    std::string text = csv_line({"kind", "item", "text", "quantity", "unit", "low", "mode", "high"});
    for (const QuoteLine& line : quote.lines)
        text += csv_line({line.kind, line.item, line.text, number_text(line.quantity), line.unit, amount(line.amount.low), amount(line.amount.mode),
                          amount(line.amount.high)});
    return text + csv_line({"total", "", quote.currency, "", "", amount(quote.total.low), amount(quote.total.mode), amount(quote.total.high)});
}

}  // namespace libseal
