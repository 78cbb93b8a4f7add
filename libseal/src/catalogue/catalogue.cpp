#include "libseal/catalogue/catalogue.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "catalogue/embedded.hpp"
#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::JsonNode;
using detail::JsonView;
using Values = std::map<std::string, SourcedValue, std::less<>>;

const std::vector<std::string> entry_keys = {"value", "unit", "low", "high", "source", "mark"};

std::string nearest_id(std::string_view id, const Values& known) {
    std::vector<std::string> ids;
    ids.reserve(known.size());
    for (const auto& [name, value] : known) ids.push_back(name);
    return nearest_name(id, ids);
}

void read_value(const JsonView& entry, bool word, SourcedValue& result) {
    const JsonView value = entry.required("value");
    if (!value.present()) return;
    const bool is_text = value.node().kind == JsonNode::Kind::text;
    if (word) {
        result.text = value.text();
        if (is_text && result.text.empty()) value.fail("a word", "\"\"");
    } else if (is_text) {
        value.fail("a number in " + result.unit, value.shown());
    } else {
        result.value = value.number(-1e12, 1e12, 0);
    }
}

void read_range(const JsonView& entry, bool word, SourcedValue& result) {
    const JsonView low = entry.member("low"), high = entry.member("high");
    if (word) {
        if (low.present()) low.fail("no range for a word", low.shown());
        if (high.present()) high.fail("no range for a word", high.shown());
        return;
    }
    result.low = low.number(-1e12, 1e12, result.low);
    result.high = high.number(-1e12, 1e12, result.high);
    // Written so that an absent range (NaN) is no fault.
    if (result.low > result.high) entry.fail("low <= high", number_text(result.low) + " and " + number_text(result.high));
    else if (result.value < result.low || result.value > result.high)
        entry.member("value").fail("a value from " + number_text(result.low) + " to " + number_text(result.high) + " " + result.unit,
                                   number_text(result.value), "widen low and high if the value is meant");
}

void read_origin(const JsonView& entry, SourcedValue& result) {
    const JsonView source = entry.required("source");
    result.source = source.text();
    if (source.present() && source.node().kind == JsonNode::Kind::text && result.source.empty())
        source.fail("where the value is from", "\"\"", "for example \"own records 2019 to 2025\"");
    std::vector<std::string> marks;
    for (int i = 0; i <= static_cast<int>(Mark::fitted); ++i) marks.emplace_back(to_text(static_cast<Mark>(i)));
    try_parse_mark(entry.required("mark").word(marks, marks[0]), result.mark);
}

/// One entry. `base` is the value that it lies over, nullptr in the library's own files.
SourcedValue read_entry(const JsonView& entry, const SourcedValue* base) {
    SourcedValue result;
    result.low = result.high = std::numeric_limits<double>::quiet_NaN();
    if (base) result = *base;
    entry.check_keys(entry_keys);
    const JsonView unit = base ? entry.member("unit") : entry.required("unit");
    const std::string given = unit.text(result.unit);
    if (base && given != base->unit) unit.fail("the unit \"" + base->unit + "\"", unit.shown());
    else result.unit = given;
    const bool word = result.unit == "word";
    read_value(entry, word, result);
    read_range(entry, word, result);
    read_origin(entry, result);
    return result;
}

/// Reads a text into `values`. As an overlay only ids that are there already are allowed.
void read_values(std::string_view text, const std::string& name, bool overlay, Values& values) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    root.check_schema("libseal/catalogue/1");
    root.check_keys({"schema", "values"});
    Values read;
    for (const auto& [id, entry] : root.required("values").members()) {
        const auto known = values.find(id);
        if (entry.node().kind != JsonNode::Kind::object) {
            entry.fail("an object with value, source and mark", entry.shown());
        } else if (!overlay) {
            if (known != values.end()) entry.fail("an id that stands once", "\"" + id + "\"");
            read.emplace(id, read_entry(entry, nullptr));
        } else if (known == values.end()) {
            const std::string near = nearest_id(id, values);
            entry.fail("a known id", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
        } else if (id.ends_with("/never_seal") && known->second.text == "yes") {
            entry.fail("no change: this place is never sealed", "an overlay for \"" + id + "\"",
                       "never-seal places are a hard constraint");
        } else {
            read.emplace(id, read_entry(entry, &known->second));
        }
    }
    problems.throw_if_any();
    for (auto& [id, value] : read) values.insert_or_assign(id, std::move(value));
}

}  // namespace

Catalogue Catalogue::built_in() {
    static const std::shared_ptr<const Values> values = [] {
        Values all;
        for (const auto& file : detail::embedded_catalogue_files())
            read_values(file.text, std::string(file.name), false, all);
        return std::make_shared<const Values>(std::move(all));
    }();
    Catalogue catalogue;
    catalogue.values_ = values;
    return catalogue;
}

Catalogue Catalogue::with_overlay(std::string_view text, const std::string& name) const {
    Values all = *values_;
    read_values(text, name, true, all);
    Catalogue catalogue;
    catalogue.values_ = std::make_shared<const Values>(std::move(all));
    return catalogue;
}

bool Catalogue::operator==(const Catalogue& other) const {
    if (values_ == other.values_) return true;
    return std::equal(values_->begin(), values_->end(), other.values_->begin(), other.values_->end(),
                      [](const auto& a, const auto& b) {
                          return a.first == b.first && a.second.value == b.second.value && a.second.text == b.second.text;
                      });
}

bool Catalogue::has(std::string_view id) const { return values_->find(id) != values_->end(); }

bool Catalogue::has_prefix(std::string_view prefix) const {
    const auto found = values_->lower_bound(prefix);
    return found != values_->end() && found->first.starts_with(prefix);
}

const SourcedValue& Catalogue::at(std::string_view id) const {
    if (const auto found = values_->find(id); found != values_->end()) return found->second;
    const std::string near = nearest_id(id, *values_);
    throw_value_error("id", "a known id of the catalogue", "\"" + std::string(id) + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

double Catalogue::number(std::string_view id) const {
    const SourcedValue& value = at(id);
    if (value.unit == "word") throw_value_error(std::string(id), "a number", "the word \"" + value.text + "\"");
    return value.value;
}

const std::string& Catalogue::word(std::string_view id) const {
    const SourcedValue& value = at(id);
    if (value.unit != "word") throw_value_error(std::string(id), "a word", "the number " + number_text(value.value));
    return value.text;
}

std::vector<std::string> Catalogue::ids(std::string_view prefix) const {
    std::vector<std::string> result;
    for (auto it = values_->lower_bound(prefix); it != values_->end() && it->first.starts_with(prefix); ++it)
        result.push_back(it->first);
    return result;
}

std::vector<std::string> Catalogue::names(std::string_view first) const {
    const std::string prefix = std::string(first) + "/";
    std::vector<std::string> result;
    for (auto it = values_->lower_bound(prefix); it != values_->end() && it->first.starts_with(prefix); ++it) {
        std::string name = it->first.substr(prefix.size());
        name = name.substr(0, name.find('/'));
        if (result.empty() || result.back() != name) result.push_back(std::move(name));
    }
    return result;
}

Catalogue read_catalogue(const std::string& path) {
    const Catalogue built_in = Catalogue::built_in();
    return path.empty() ? built_in : built_in.with_overlay(read_text_file(path), path);
}

}  // namespace libseal
