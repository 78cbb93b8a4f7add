#include "core/json.hpp"

#include <rapidjson/error/en.h>
#include <rapidjson/memorystream.h>
#include <rapidjson/reader.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <new>
#include <set>

#include "core/problem.hpp"
#include "core/readable.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr const char* number_of_doubles = "a number that a double holds";
constexpr const char* range_of_doubles = "write a number between -1.8e308 and 1.8e308, not closer to 0 than 1e-307";

/// Room of the reader. Its own allocator hands on a null pointer where there is no memory, and writes to it.
struct CheckedRoom {
    [[maybe_unused]] static constexpr bool kNeedFree = true;  // asked for by the concept, read by some of the reader's templates alone
    static void* Malloc(std::size_t size) { return size ? checked(std::malloc(size)) : nullptr; }
    static void* Realloc(void* old, std::size_t, std::size_t size) {
        if (size) return checked(std::realloc(old, size));
        Free(old);
        return nullptr;
    }
    static void Free(void* room) { std::free(room); }

private:
    static void* checked(void* room) {
        if (!room) throw std::bad_alloc();
        return room;
    }
};

struct Place {
    int line = 1;
    int column = 1;
};

Place place_of(std::string_view text, std::size_t offset) {
    offset = std::min(offset, text.size());
    Place place;
    std::size_t start = 0;
    for (std::size_t i = 0; i < offset; ++i)
        if (text[i] == '\n') {
            ++place.line;
            start = i + 1;
        }
    place.column = static_cast<int>(offset - start) + 1;
    return place;
}

/// Start of the quoted text that ends just before `end`.
std::size_t opening_quote(std::string_view text, std::size_t end) {
    std::size_t i = end - 1;  // the closing quote
    while (i > 0) {
        --i;
        if (text[i] != '"') continue;
        std::size_t slashes = 0;
        while (slashes < i && text[i - 1 - slashes] == '\\') ++slashes;
        if (slashes % 2 == 0) return i;
    }
    return 0;
}

/// Builds the tree; the stream tells the end of each token, from which its start follows.
class TreeBuilder {
public:
    TreeBuilder(std::string_view text, rapidjson::MemoryStream& stream, JsonNode& root)
        : text_(text), stream_(stream), root_(root) {}

    bool Null() { return add(JsonNode::Kind::null, 4) != nullptr; }
    bool Bool(bool value) {
        JsonNode* node = add(JsonNode::Kind::boolean, value ? 4 : 5);
        if (node) node->boolean = value;
        return node;
    }
    bool RawNumber(const char* digits, rapidjson::SizeType length, bool) {
        JsonNode* node = add(JsonNode::Kind::number, length);
        if (!node) return false;
        if (length > limits::number_digits) return too_much(stream_.Tell() - length, "a number of " + std::to_string(length) + " characters", limits::number_digits);
        node->text.assign(digits, length);
        if (try_parse_number(node->text, node->number)) return true;
        return fail_at(stream_.Tell() - length, number_of_doubles, shown_text(node->text, 60), range_of_doubles);
    }
    bool Int(int) { return false; }
    bool Uint(unsigned) { return false; }
    bool Int64(std::int64_t) { return false; }
    bool Uint64(std::uint64_t) { return false; }
    bool Double(double) { return false; }
    bool String(const char* value, rapidjson::SizeType length, bool) {
        const std::size_t end = stream_.Tell();
        if (!is_utf8({value, length})) return half_a_pair(end);
        if (length > limits::text_octets) return too_much(opening_quote(text_, end), "a text of " + std::to_string(length) + " octets", limits::text_octets);
        JsonNode* node = add(JsonNode::Kind::text, end - opening_quote(text_, end));
        if (node) node->text.assign(value, length);
        return node;
    }
    bool StartObject() { return open(JsonNode::Kind::object); }
    bool Key(const char* value, rapidjson::SizeType length, bool) {
        const std::size_t end = stream_.Tell();
        std::string key(value, length);
        if (!is_utf8(key)) return half_a_pair(end);
        if (length > limits::name_octets) return too_much(opening_quote(text_, end), "a key of " + std::to_string(length) + " octets", limits::name_octets);
        if (!keys_.back().insert(key).second)
            return fail_at(opening_quote(text_, end), "JSON", "the key \"" + key + "\" stands twice in one object", "");
        pending_key_ = std::move(key);
        pending_offset_ = opening_quote(text_, end);
        return true;
    }
    bool EndObject(rapidjson::SizeType) { return close(); }
    bool StartArray() { return open(JsonNode::Kind::list); }
    bool EndArray(rapidjson::SizeType) { return close(); }

    /// Empty `expected` if the text itself is to blame.
    const Problem& fault() const { return fault_; }
    std::size_t fault_offset() const { return fault_offset_; }

private:
    /// The parser takes the second half of a surrogate pair alone for a character.
    bool half_a_pair(std::size_t end) {
        return fail_at(opening_quote(text_, end), "JSON", "half of a surrogate pair", "");
    }

    bool fail_at(std::size_t offset, const std::string& expected, const std::string& got, const std::string& hint) {
        fault_.expected = expected;
        fault_.got = got;
        fault_.hint = hint;
        fault_offset_ = offset;
        return false;
    }
    bool too_much(std::size_t offset, const std::string& got, std::size_t most) {
        return fail_at(offset, "at most " + std::to_string(most), got, "shorten it");
    }

    /// Null if the document has too many values.
    JsonNode* add(JsonNode::Kind kind, std::size_t length) {
        if (++values_ > limits::json_values) {
            fail_at(stream_.Tell(), "at most " + std::to_string(limits::json_values) + " values", "more", "split the file");
            return nullptr;
        }
        JsonNode* node = &root_;
        if (!open_.empty()) {
            JsonNode& parent = *open_.back();
            if (parent.kind == JsonNode::Kind::object) {
                parent.members.push_back({std::move(pending_key_), JsonNode{}});
                parent.member_offsets.push_back(pending_offset_);
                node = &parent.members.back().value;
            } else {
                node = &parent.items.emplace_back();
            }
        }
        node->kind = kind;
        const std::size_t end = stream_.Tell();
        node->offset = end >= length ? end - length : 0;
        return node;
    }
    bool open(JsonNode::Kind kind) {
        if (open_.size() >= limits::json_depth)
            return fail_at(stream_.Tell(), "at most " + std::to_string(limits::json_depth) + " levels of lists and objects", "one level more",
                           "no format of this library needs so many");
        // Pointers into the tree stay good: a node's children are only added while it is the innermost open one.
        // The iterative reader calls back before it takes the bracket, so the place is where it stands.
        JsonNode* node = add(kind, 0);
        if (!node) return false;
        open_.push_back(node);
        keys_.emplace_back();
        return true;
    }
    bool close() {
        open_.pop_back();
        keys_.pop_back();
        return true;
    }

    std::string_view text_;
    rapidjson::MemoryStream& stream_;
    JsonNode& root_;
    std::vector<JsonNode*> open_;
    std::vector<std::set<std::string>> keys_;
    std::string pending_key_;
    std::size_t pending_offset_ = 0;
    Problem fault_;
    std::size_t fault_offset_ = 0;
    std::size_t values_ = 0;
};

}  // namespace

bool looks_like_json(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    const std::size_t at = text.find_first_not_of(" \t\r\n");
    return at != std::string_view::npos && (text[at] == '{' || text[at] == '[');
}

JsonDocument::JsonDocument(std::string text, std::string file) : text_(std::move(text)), file_(std::move(file)) {
    std::string_view body = text_;
    if (text_.size() > limits::file_octets) {
        Problem problem = field_problem("", "a text of at most " + std::to_string(limits::file_octets) + " octets", std::to_string(text_.size()), "split the file");
        throw ValueError(placed_problem(std::move(problem), text_, file_, 0, 0));
    }
    const std::size_t mark = body.starts_with("\xEF\xBB\xBF") ? 3 : 0;  // a byte-order mark is harmless
    if (const std::size_t zero = text_.find('\0'); zero != std::string::npos) {  // the parser takes it for the end
        Problem problem = problem_at(zero, "");
        problem.expected = "JSON";
        problem.got = "a zero byte";
        throw ValueError(problem);
    }
    rapidjson::MemoryStream stream(text_.data(), text_.size());
    for (std::size_t i = 0; i < mark; ++i) stream.Take();
    TreeBuilder builder(text_, stream, root_);
    rapidjson::GenericReader<rapidjson::UTF8<>, rapidjson::UTF8<>, CheckedRoom> reader;
    constexpr unsigned flags = rapidjson::kParseIterativeFlag | rapidjson::kParseNumbersAsStringsFlag |
                               rapidjson::kParseValidateEncodingFlag;
    const rapidjson::ParseResult result = reader.Parse<flags>(stream, builder);
    if (!result) {
        const Problem& fault = builder.fault();
        const bool ours = !fault.expected.empty();
        Problem problem = problem_at(ours ? builder.fault_offset() : result.Offset(), "");
        problem.expected = ours ? fault.expected : "JSON";
        problem.got = ours ? fault.got : rapidjson::GetParseError_En(result.Code());
        problem.hint = fault.hint;
        if (!ours && result.Code() == rapidjson::kParseErrorNumberTooBig) {
            const std::string_view number = std::string_view(text_).substr(result.Offset());
            problem.expected = number_of_doubles;
            problem.got = shown_text(number.substr(0, number.find_first_not_of("0123456789+-.eE")), 60);
            problem.hint = range_of_doubles;
        }
        throw ValueError(problem);
    }
}

Problem JsonDocument::problem_at(std::size_t offset, const std::string& field) const {
    const Place place = place_of(text_, offset);
    return placed_problem(field_problem(field, "", ""), text_, file_, place.line, place.column);
}

void Problems::add(Problem problem) {
    if (list_.size() < limit) list_.push_back(std::move(problem));
    if (list_.size() == limit && at_limit_ == AtLimit::ends) throw ValueError(list_);
}

void Problems::throw_if_any() {
    if (!list_.empty()) throw ValueError(std::move(list_));
}

JsonView JsonView::member(const std::string& key) const {
    const std::string path = path_.empty() ? key : path_ + "." + key;
    if (node_ && node_->kind == JsonNode::Kind::object)
        for (const auto& [name, node] : node_->members)
            if (name == key) return {*document_, &node, path, *problems_};
    return {*document_, nullptr, path, *problems_};
}

JsonView JsonView::required(const std::string& key) const {
    JsonView view = member(key);
    if (!view.present() && node_) {
        if (node_->kind == JsonNode::Kind::object) {
            Problem problem = document_->problem_at(node_->offset, view.path());
            problem.expected = "the key \"" + key + "\"";
            problem.got = "no such key";
            problems_->add(std::move(problem));
        } else {
            fail("an object", shown());
        }
    }
    return view;
}

void JsonView::check_keys(const std::vector<std::string>& known) const {
    if (!node_ || node_->kind != JsonNode::Kind::object) return;
    for (std::size_t i = 0; i < node_->members.size(); ++i) {
        const std::string& key = node_->members[i].key;
        if (std::find(known.begin(), known.end(), key) != known.end()) continue;
        Problem problem = document_->problem_at(node_->member_offsets[i], path_.empty() ? key : path_ + "." + key);
        problem.expected = "a known key";
        problem.got = "\"" + key + "\"";
        const std::string near = nearest_name(key, known);
        if (!near.empty()) problem.hint = "did you mean \"" + near + "\"?";
        problems_->add(std::move(problem));
    }
}

bool JsonView::check_schema(const std::string& expected) const {
    const JsonView schema = required("schema");
    if (!schema.present()) return false;
    if (schema.node_->kind == JsonNode::Kind::text && schema.node_->text == expected) return true;
    schema.fail("\"" + expected + "\"", schema.shown());
    return false;
}

std::vector<JsonView> JsonView::items(std::size_t most) const {
    std::vector<JsonView> views;
    if (!node_) return views;
    if (node_->kind != JsonNode::Kind::list) {
        fail("a list", shown());
        return views;
    }
    if (node_->items.size() > most) {
        fail("at most " + std::to_string(most) + " items", std::to_string(node_->items.size()), "split the file, or leave out what is doubled");
        return views;
    }
    views.reserve(node_->items.size());
    for (std::size_t i = 0; i < node_->items.size(); ++i)
        views.emplace_back(*document_, &node_->items[i], path_ + "[" + std::to_string(i) + "]", *problems_);
    return views;
}

std::vector<std::pair<std::string, JsonView>> JsonView::members() const {
    std::vector<std::pair<std::string, JsonView>> views;
    if (!node_) return views;
    if (node_->kind != JsonNode::Kind::object) {
        fail("an object", shown());
        return views;
    }
    for (const auto& [name, node] : node_->members)
        views.emplace_back(name, JsonView(*document_, &node, path_.empty() ? name : path_ + "." + name, *problems_));
    return views;
}

std::string JsonView::text(const std::string& fallback) const {
    if (!node_) return fallback;
    const bool text = node_->kind == JsonNode::Kind::text;
    if (text && node_->text.find('\0') == std::string::npos) return node_->text;
    text ? fail("a text without a zero byte", "a zero byte") : fail("a text", shown());
    return fallback;
}

std::string JsonView::word(const std::vector<std::string>& allowed, const std::string& fallback) const {
    if (!node_) return fallback;
    if (node_->kind == JsonNode::Kind::text &&
        std::find(allowed.begin(), allowed.end(), node_->text) != allowed.end())
        return node_->text;
    std::string list;
    for (const auto& name : allowed) list += (list.empty() ? "" : ", ") + name;
    const std::string near = node_->kind == JsonNode::Kind::text ? nearest_name(node_->text, allowed) : "";
    fail("one of " + list, shown(), near.empty() ? "" : "did you mean \"" + near + "\"?");
    return fallback;
}

double JsonView::number(double low, double high, double fallback) const {
    if (!node_) return fallback;
    if (node_->kind == JsonNode::Kind::number && node_->number >= low && node_->number <= high) return node_->number;
    fail("a number from " + number_text(low) + " to " + number_text(high), shown());
    return fallback;
}

long long JsonView::integer(long long low, long long high, long long fallback) const {
    if (!node_) return fallback;
    if (node_->kind == JsonNode::Kind::number && std::floor(node_->number) == node_->number &&
        node_->number >= static_cast<double>(low) && node_->number <= static_cast<double>(high))
        return static_cast<long long>(node_->number);
    fail("a whole number from " + std::to_string(low) + " to " + std::to_string(high), shown());
    return fallback;
}

bool JsonView::boolean(bool fallback) const {
    if (!node_) return fallback;
    if (node_->kind == JsonNode::Kind::boolean) return node_->boolean;
    fail("true or false", shown());
    return fallback;
}

Date JsonView::date(Date fallback) const {
    if (!node_) return fallback;
    Date date;
    if (node_->kind == JsonNode::Kind::text && try_parse_date(node_->text, date)) return date;
    fail("a date such as \"2026-04-13\"", shown());
    return fallback;
}

bool try_parse_moment(std::string_view text, std::int64_t& minute) {
    Date day;
    const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    if (text.size() != 10 && text.size() != 16) return false;
    if (!try_parse_date(std::string(text.substr(0, 10)), day)) return false;
    minute = std::int64_t{day.days} * 1440;
    if (text.size() == 10) return true;
    if (text[10] != ' ' || text[13] != ':' || !digit(11) || !digit(12) || !digit(14) || !digit(15)) return false;
    const int hour = (text[11] - '0') * 10 + (text[12] - '0'), rest = (text[14] - '0') * 10 + (text[15] - '0');
    minute += hour * 60 + rest;
    const bool beyond = text == "9999-12-31 24:00";  // on a day that the calendar has not
    return rest < 60 && hour * 60 + rest <= 1440 && !beyond;
}

std::int64_t JsonView::moment(std::int64_t fallback) const {
    if (!present()) return fallback;
    const std::string value = text();
    std::int64_t minute = fallback;
    if (try_parse_moment(value, minute)) return minute;
    if (!value.empty()) fail("a time such as \"2027-03-05 08:30\" or a day", shown(), "hours and minutes have two digits each; the calendar ends with 9999-12-31");
    return fallback;
}

double JsonView::length_m(double low, double high, double fallback) const {
    if (!node_) return fallback;
    double metres = 0;
    if (node_->kind == JsonNode::Kind::text && try_parse_length(node_->text, metres)) {
        if (metres >= low && metres <= high) return metres;
        fail("a length from " + number_text(low) + " m to " + number_text(high) + " m", shown());
    } else {
        fail("a length with its unit", shown(), "write \"6 mm\", \"0.25 in\" or \"1.2 m\"");
    }
    return fallback;
}

double JsonView::length_member_m(const std::string& key, double low_m, double high_m, double fallback,
                                 bool needed) const {
    static const std::pair<const char*, double> units[] = {
        {"_mm", 1e-3}, {"_cm", 1e-2}, {"_m", 1.0}, {"_in", 0.0254}, {"_ft", 0.3048}};
    int found = 0;
    double result = fallback;
    for (const auto& [suffix, metres] : units) {
        const JsonView view = member(key + suffix);
        if (!view.present()) continue;
        ++found;
        result = view.number(low_m / metres, high_m / metres, fallback / metres) * metres;
    }
    if (const JsonView view = member(key); view.present()) {
        ++found;
        result = view.length_m(low_m, high_m, fallback);
    }
    if (found > 1) fail("one length \"" + key + "\"", "several, in different units");
    if (found == 0 && needed) {
        Problem problem = document_->problem_at(node_->offset, path_.empty() ? key : path_ + "." + key);
        problem.expected = "a length under \"" + key + "_mm\" or \"" + key + "_m\"";
        problem.got = "no such key";
        problems_->add(std::move(problem));
    }
    return result;
}

void JsonView::fail(const std::string& expected, const std::string& got, const std::string& hint) const {
    fail_as(path_, expected, got, hint);
}

void JsonView::fail_as(const std::string& field, const std::string& expected, const std::string& got,
                       const std::string& hint) const {
    Problem problem = document_->problem_at(node_ ? node_->offset : 0, field);
    problem.expected = expected;
    problem.got = got;
    problem.hint = hint;
    problems_->add(std::move(problem));
}

std::string JsonView::shown() const {
    if (!node_) return "nothing";
    switch (node_->kind) {
        case JsonNode::Kind::null: return "null";
        case JsonNode::Kind::boolean: return node_->boolean ? "true" : "false";
        case JsonNode::Kind::number: return node_->text;
        case JsonNode::Kind::text:
            return "\"" + (node_->text.size() > 60 ? node_->text.substr(0, 60) + "..." : node_->text) + "\"";
        case JsonNode::Kind::list: return "a list";
        case JsonNode::Kind::object: return "an object";
    }
    return "nothing";
}

void JsonWriter::before_value() {
    if (after_key_) {
        after_key_ = false;
        return;
    }
    if (empty_.empty()) return;
    out_ += empty_.back() ? "\n" : ",\n";
    empty_.back() = false;
    out_.append(2 * empty_.size(), ' ');
}

void JsonWriter::begin_object() {
    before_value();
    out_ += '{';
    empty_.push_back(true);
}
void JsonWriter::end_object() {
    const bool nothing = empty_.back();
    empty_.pop_back();
    if (!nothing) {
        out_ += '\n';
        out_.append(2 * empty_.size(), ' ');
    }
    out_ += '}';
}
void JsonWriter::begin_list() {
    before_value();
    out_ += '[';
    empty_.push_back(true);
}
void JsonWriter::end_list() {
    const bool nothing = empty_.back();
    empty_.pop_back();
    if (!nothing) {
        out_ += '\n';
        out_.append(2 * empty_.size(), ' ');
    }
    out_ += ']';
}

void JsonWriter::value(std::string_view text) {
    if (!is_utf8(text) || text.find('\0') != std::string_view::npos)  // the readers refuse both
        throw_value_error("\"" + last_key_ + "\" of the JSON", "UTF-8 without NUL", "other bytes", "mend the text before it is written");
    before_value();
    out_ += '"';
    for (const char c : text) {
        switch (c) {
            case '"': out_ += "\\\""; break;
            case '\\': out_ += "\\\\"; break;
            case '\n': out_ += "\\n"; break;
            case '\r': out_ += "\\r"; break;
            case '\t': out_ += "\\t"; break;
            default:
                if (static_cast<unsigned char>(c) < 0x20) {
                    static const char hex[] = "0123456789abcdef";
                    out_ += "\\u00";
                    out_ += hex[(c >> 4) & 0xF];
                    out_ += hex[c & 0xF];
                } else {
                    out_ += c;
                }
        }
    }
    out_ += '"';
}
void JsonWriter::key(std::string_view name) {
    value(name);
    last_key_ = name;
    out_ += ": ";
    after_key_ = true;
}
void JsonWriter::value(double number) {
    if (!std::isfinite(number)) return null();  // JSON has no word for it
    before_value();
    out_ += number_text(number);
}
void JsonWriter::value(long long number) {
    before_value();
    out_ += std::to_string(number);
}
void JsonWriter::value(bool boolean) {
    before_value();
    out_ += boolean ? "true" : "false";
}
void JsonWriter::value(const std::vector<std::string>& texts) {
    begin_list();
    for (const auto& text : texts) value(text);
    end_list();
}
void JsonWriter::null() {
    before_value();
    out_ += "null";
}
std::string JsonWriter::take() {
    out_ += '\n';
    return std::move(out_);
}

}  // namespace libseal::detail
