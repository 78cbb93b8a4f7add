#include "libseal/catalogue/catalogue.hpp"

#include <algorithm>
#include <limits>

#include "catalogue/check.hpp"
#include "catalogue/embedded.hpp"
#include "catalogue/store.hpp"
#include "core/json.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

using detail::JsonNode;
using detail::JsonView;
using Values = detail::CatalogueValues;

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

/// The number of an entry that lies beyond the range beneath it, in words.
void warn_if_beyond(const JsonView& entry, const SourcedValue& base, const SourcedValue& taken, detail::Problems& warnings,
                    const detail::JsonDocument& document) {
    if (base.unit == "word" || (taken.value >= base.low && taken.value <= base.high)) return;
    JsonView(document, &entry.node(), entry.path(), warnings)
        .member("value")
        .fail("a value from " + number_text(base.low) + " to " + number_text(base.high) + " " + base.unit,
              number_text(taken.value), "taken, because the overlay gives a range of its own");
}

/// Reads the library's own texts into `values`.
void read_own(const detail::EmbeddedFile& file, Values& values) {
    const detail::JsonDocument document{file.text, std::string(file.name)};
    detail::Problems problems;
    const JsonView root = JsonView::root(document, problems);
    root.check_schema("libseal/catalogue/1");
    for (const auto& [id, entry] : root.required("values").members())
        if (!values.emplace(id, read_entry(entry, nullptr)).second) entry.fail("an id that stands once", "\"" + id + "\"");
    problems.throw_if_any();
}

/// One entry of an overlay; false if it cannot be taken.
bool read_over(const std::string& id, const JsonView& entry, const Values& beneath, SourcedValue& taken) {
    const auto known = beneath.find(id);
    if (entry.node().kind != JsonNode::Kind::object) {
        entry.fail("an object with value, source and mark", entry.shown());
    } else if (known == beneath.end()) {
        const std::string near = nearest_id(id, beneath);
        entry.fail("a known id", "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    } else if ((id.ends_with("/never_seal") && known->second.text == "yes") ||
               (id.starts_with("keep_open/") && (id.ends_with("/parts") || id.ends_with("/joints")))) {
        entry.fail("no change: this place is never sealed", "an overlay for \"" + id + "\"",
                   "never-seal places are a hard constraint");
    } else {
        taken = read_entry(entry, &known->second);
        return true;
    }
    return false;
}

/// The values with an overlay over them: only ids that are there already. `warnings`: see Catalogue::warnings.
Values with_values(std::string_view text, const std::string& name, const Values& beneath, std::vector<Problem>& warnings) {
    const detail::JsonDocument document{std::string(text), name};
    detail::Problems problems, beyond(detail::Problems::AtLimit::drops);
    const JsonView root = JsonView::root(document, problems);
    root.check_schema("libseal/catalogue/1");
    root.check_keys({"schema", "values"});
    Values read;
    std::map<std::string, JsonView> places;
    for (const auto& [id, entry] : root.required("values").members()) {
        SourcedValue taken;
        if (!read_over(id, entry, beneath, taken)) continue;
        warn_if_beyond(entry, beneath.find(id)->second, taken, beyond, document);
        read.emplace(id, std::move(taken));
        places.emplace(id, entry);
    }
    problems.throw_if_any();
    Values values = beneath;
    for (auto& [id, value] : read) values.insert_or_assign(id, std::move(value));
    for (const auto& fault : detail::catalogue_faults(values)) {
        const Problem& problem = fault.problem;
        const JsonView* place = &root;
        for (const auto& id : fault.ids)
            if (const auto found = places.find(id); found != places.end()) place = &found->second;
        place->fail_as(problem.field, problem.expected, problem.got, problem.hint);
    }
    problems.throw_if_any();
    for (const auto& problem : beyond.list()) warnings.push_back(problem);
    return values;
}

}  // namespace

Catalogue::Catalogue() {
    static const auto nothing = std::make_shared<const detail::CatalogueStore>(Values{});
    store_ = nothing;
}

Catalogue Catalogue::built_in() {
    static const std::shared_ptr<const detail::CatalogueStore> store = [] {
        Values all;
        for (const auto& file : detail::embedded_catalogue_files()) read_own(file, all);
        return std::make_shared<const detail::CatalogueStore>(std::move(all));
    }();
    Catalogue catalogue;
    catalogue.store_ = store;
    return catalogue;
}

std::vector<std::string> Catalogue::preset_names() {
    std::vector<std::string> names = {"coach"};
    for (const auto& file : detail::embedded_preset_files()) names.emplace_back(file.name.substr(0, file.name.find('.')));
    return names;
}

Catalogue Catalogue::preset(const std::string& name) {
    if (name == "coach") return built_in();
    for (const auto& file : detail::embedded_preset_files()) {
        if (name != file.name.substr(0, file.name.find('.'))) continue;
        Catalogue catalogue = built_in().with_overlay(file.text, std::string(file.name));
        catalogue.warnings_ = std::make_shared<const std::vector<Problem>>();  // ranges of the library's own making
        return catalogue;
    }
    const std::string near = nearest_name(name, preset_names());
    std::string list;
    for (const auto& known : preset_names()) list += (list.empty() ? "" : ", ") + known;
    throw_value_error("preset", "one of " + list, "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

Catalogue Catalogue::with_overlay(std::string_view text, const std::string& name) const {
    std::vector<Problem> warnings = *warnings_;
    Values all = with_values(text, name, store_->values(), warnings);
    Catalogue catalogue;
    catalogue.store_ = std::make_shared<const detail::CatalogueStore>(std::move(all));
    catalogue.warnings_ = std::make_shared<const std::vector<Problem>>(std::move(warnings));
    return catalogue;
}

bool Catalogue::operator==(const Catalogue& other) const {
    if (store_ == other.store_) return true;
    const Values &own = store_->values(), &its = other.store_->values();
    return std::equal(own.begin(), own.end(), its.begin(), its.end(),
                      [](const auto& a, const auto& b) {
                          return a.first == b.first && a.second.value == b.second.value && a.second.text == b.second.text;
                      });
}

bool Catalogue::has(std::string_view id) const { return store_->find(id) != nullptr; }

bool Catalogue::has_prefix(std::string_view prefix) const {
    const auto found = store_->values().lower_bound(prefix);
    return found != store_->values().end() && found->first.starts_with(prefix);
}

const SourcedValue& Catalogue::at(std::string_view id) const {
    if (const SourcedValue* found = store_->find(id)) return *found;
    const std::string near = nearest_id(id, store_->values());
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
    const Values& values = store_->values();
    for (auto it = values.lower_bound(prefix); it != values.end() && it->first.starts_with(prefix); ++it)
        result.push_back(it->first);
    return result;
}

std::vector<std::string> Catalogue::names(std::string_view first) const {
    const std::string prefix = std::string(first) + "/";
    std::vector<std::string> result;
    const Values& values = store_->values();
    for (auto it = values.lower_bound(prefix); it != values.end() && it->first.starts_with(prefix); ++it) {
        std::string name = it->first.substr(prefix.size());
        name = name.substr(0, name.find('/'));
        if (result.empty() || result.back() != name) result.push_back(std::move(name));
    }
    return result;
}

const void* Catalogue::derived_of(std::type_index type) const { return store_->table(type); }

const void* Catalogue::keep_derived(std::type_index type, std::shared_ptr<const void> made) const { return store_->keep(type, std::move(made)); }

Catalogue read_catalogue(const std::string& path, const std::string& preset) {
    const Catalogue beneath = Catalogue::preset(preset);
    return path.empty() ? beneath : beneath.with_overlay(read_text_file(path), path);
}

std::vector<Problem> check_catalogue(const Catalogue& catalogue) {
    std::vector<Problem> problems;
    for (auto& fault : detail::catalogue_faults(catalogue.store_->values())) problems.push_back(std::move(fault.problem));
    return problems;
}

}  // namespace libseal
