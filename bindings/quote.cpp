// Quotes in Python.

#include <optional>

#include "docs/work.hpp"
#include "inputs.hpp"
#include "libseal/work/quote.hpp"
#include "record.hpp"

namespace libseal::python {

void declare_quote(py::module_& m);
void define_quote(py::module_& m);

namespace {

Quote quote_of(const WorkPlan& plan, const Shop& shop, const Catalogue* catalogue, std::optional<double> distance_km, int valid_days) {
    QuoteOptions options;
    if (catalogue) options.catalogue = *catalogue;
    if (distance_km) options.distance_km = *distance_km;
    options.valid_days = valid_days;
    const py::gil_scoped_release free;
    return quote(plan, shop, options);
}

}  // namespace

void declare_quote(py::module_& m) {
    py::class_<QuoteLine>(m, "QuoteLine", doc::QuoteLine);
    py::class_<QuoteItem>(m, "QuoteItem", doc::QuoteItem);
    py::class_<Quote>(m, "Quote", doc::Quote);
}

void define_quote(py::module_& m) {
    auto line = known<QuoteLine>();
    field(line, LIBSEAL_FIELD(QuoteLine, kind));
    field(line, LIBSEAL_FIELD(QuoteLine, item));
    field(line, LIBSEAL_FIELD(QuoteLine, text));
    field(line, LIBSEAL_FIELD(QuoteLine, quantity));
    field(line, LIBSEAL_FIELD(QuoteLine, unit));
    field(line, LIBSEAL_FIELD(QuoteLine, amount));
    auto item = known<QuoteItem>();
    field(item, LIBSEAL_FIELD(QuoteItem, place));
    field(item, LIBSEAL_FIELD(QuoteItem, action));
    field(item, LIBSEAL_FIELD(QuoteItem, reason));
    item.def_property_readonly("urgency", [](const QuoteItem& self) { return to_text(self.urgency); }, "Urgency in words.");
    field(item, LIBSEAL_FIELD(QuoteItem, due));
    field(item, LIBSEAL_FIELD(QuoteItem, options));
    field(item, LIBSEAL_FIELD(QuoteItem, waiting));
    field(item, LIBSEAL_FIELD(QuoteItem, cover_expires));
    auto all = known<Quote>();
    field(all, LIBSEAL_FIELD(Quote, coach));
    field(all, LIBSEAL_FIELD(Quote, shop));
    field(all, LIBSEAL_FIELD(Quote, currency));
    field(all, LIBSEAL_FIELD(Quote, as_of));
    field(all, LIBSEAL_FIELD(Quote, valid_until));
    field(all, LIBSEAL_FIELD(Quote, lines));
    field(all, LIBSEAL_FIELD(Quote, net));
    field(all, LIBSEAL_FIELD(Quote, tax));
    field(all, LIBSEAL_FIELD(Quote, total));
    field(all, LIBSEAL_FIELD(Quote, deposit));
    field(all, LIBSEAL_FIELD(Quote, call_before));
    field(all, LIBSEAL_FIELD(Quote, contingency));
    field(all, LIBSEAL_FIELD(Quote, stop_and_call));
    field(all, LIBSEAL_FIELD(Quote, time_basis));
    field(all, LIBSEAL_FIELD(Quote, items));
    field(all, LIBSEAL_FIELD(Quote, exclusions));
    field(all, LIBSEAL_FIELD(Quote, warnings));
    field(all, LIBSEAL_FIELD(Quote, notes));
    field(all, LIBSEAL_FIELD(Quote, closing));
    all.def("__repr__", [](const Quote& self) { return "Quote(" + self.coach + ", " + money_text(self.total.mode, self.currency) + ")"; });
    const QuoteOptions d;
    m.def("quote", &quote_of, "plan"_a, "shop"_a, py::kw_only(), "catalogue"_a = py::none(), "distance_km"_a = py::none(),
          "valid_days"_a = d.valid_days, doc::quote);
    m.def("quote_json", &quote_json, "quote"_a, doc::quote_json);
    m.def("quote_csv", &quote_csv, "quote"_a, doc::quote_csv);
}

}  // namespace libseal::python
