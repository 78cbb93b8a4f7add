// Quotes as JSON, schema libseal/quote/1, and as CSV.

#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/quote.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

using detail::in_units;
using detail::JsonWriter;

void write(JsonWriter& out, const char* key, const Cost& cost, const std::string& currency) {
    out.key(key);
    out.begin_object();
    out.member("low", in_units(cost.low, currency));
    out.member("mode", in_units(cost.mode, currency));
    out.member("high", in_units(cost.high, currency));
    out.end_object();
}

void write(JsonWriter& out, const QuoteLine& line, const std::string& currency) {
    out.begin_object();
    out.member("kind", line.kind);
    out.member("item", line.item);
    out.member("text", line.text);
    out.member("quantity", line.quantity);
    out.member("unit", line.unit);
    write(out, "amount", line.amount, currency);
    out.end_object();
}

void write(JsonWriter& out, const QuoteItem& item, const std::string& currency) {
    out.begin_object();
    out.member("place", item.place);
    out.member("action", item.action);
    out.member("reason", item.reason);
    out.member("urgency", to_text(item.urgency));
    out.member("due", to_text(item.due));
    out.key("options");
    out.begin_list();
    for (const ActionOption& option : item.options) {
        out.begin_object();
        out.member("action", option.action);
        out.member("family", option.family);
        out.member("chosen", option.chosen);
        write(out, "cost", option.cost, currency);
        out.member("person_hours", option.minutes.mode / 60);
        out.member("cure_hours", option.cure_hours);
        out.member("reason", option.reason);
        out.end_object();
    }
    out.end_list();
    out.member("waiting", item.waiting);
    if (item.cover_expires != Date{}) out.member("cover_expires", to_text(item.cover_expires));
    out.end_object();
}

std::string csv_line(const std::vector<std::string>& fields) {
    std::string line;
    for (std::size_t i = 0; i < fields.size(); ++i) line += (i ? "," : "") + csv_field(fields[i]);
    return line + "\r\n";
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
    out.key("lines");
    out.begin_list();
    for (const QuoteLine& line : quote.lines) write(out, line, currency);
    out.end_list();
    write(out, "net", quote.net, currency);
    write(out, "tax", quote.tax, currency);
    write(out, "total", quote.total, currency);
    out.member("deposit", in_units(quote.deposit, currency));
    out.member("call_before", in_units(quote.call_before, currency));
    out.member("contingency", in_units(quote.contingency, currency));
    out.member("stop_and_call", quote.stop_and_call);
    out.member("time_basis", quote.time_basis);
    out.key("items");
    out.begin_list();
    for (const QuoteItem& item : quote.items) write(out, item, currency);
    out.end_list();
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
