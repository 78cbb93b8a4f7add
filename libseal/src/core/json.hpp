#pragma once
// JSON with the place of every value, so that errors about meaning can name line and column.
// Private to src/: public headers know nothing of JSON.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libseal/core/date.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/limits.hpp"

namespace libseal::detail {

struct JsonMember;

struct JsonNode {
    enum class Kind { null, boolean, number, text, list, object };
    Kind kind = Kind::null;
    std::size_t offset = 0;  ///< of the first byte of the value
    bool boolean = false;
    double number = 0;
    std::string text;  ///< of a text, or a number as written
    std::vector<JsonNode> items;
    std::vector<JsonMember> members;
    std::vector<std::size_t> member_offsets;  ///< of the keys
};

/// A struct of its own: std::pair asks about a node before the node is complete, which clang refuses.
struct JsonMember {
    std::string key;
    JsonNode value;
};

/// Is the text a JSON document rather than a table? By its first letter that says something.
bool looks_like_json(std::string_view text);

/// A parsed text that can say where its values stand and collects what is wrong with them.
class JsonDocument {
public:
    /// @throws ValueError  with place, if the text is no JSON, repeats a key or goes beyond libseal/core/limits.hpp.
    JsonDocument(std::string text, std::string file);

    const JsonNode& root() const { return root_; }
    const std::string& file() const { return file_; }
    Problem problem_at(std::size_t offset, const std::string& field) const;

private:
    std::string text_;
    std::string file_;
    JsonNode root_;
};

/// A view of one value: typed access that notes problems instead of stopping at the first.
/// After reading, call `Problems::throw_if_any`.
class Problems {
public:
    static constexpr std::size_t limit = limits::problems;
    enum class AtLimit { ends, drops };
    Problems() = default;
    explicit Problems(AtLimit at_limit) : at_limit_(at_limit) {}
    /// @throws ValueError  with the first 50 as soon as there are so many: nobody reads on. Warnings (`drops`) are left out then.
    void add(Problem problem);
    bool empty() const { return list_.empty(); }
    std::size_t size() const { return list_.size(); }
    const std::vector<Problem>& list() const { return list_; }
    /// @throws ValueError  with all problems noted.
    void throw_if_any();

private:
    AtLimit at_limit_ = AtLimit::ends;
    std::vector<Problem> list_;
};

/// "2027-03-05 08:30", or a day alone for its beginning, in minutes since 1970-01-01. False if the text is none.
bool try_parse_moment(std::string_view text, std::int64_t& minute);

class JsonView {
public:
    JsonView(const JsonDocument& document, const JsonNode* node, std::string path, Problems& problems)
        : document_(&document), node_(node), path_(std::move(path)), problems_(&problems) {}
    static JsonView root(const JsonDocument& document, Problems& problems) {
        return {document, &document.root(), "", problems};
    }

    bool present() const { return node_ != nullptr; }
    const std::string& path() const { return path_; }
    const JsonNode& node() const { return *node_; }

    /// Member of an object; absent if there is none (or this is no object).
    JsonView member(const std::string& key) const;
    /// As member, noting a problem if it is absent.
    JsonView required(const std::string& key) const;
    /// Notes each key that is not in `known`, with the nearest known one.
    void check_keys(const std::vector<std::string>& known) const;
    /// Notes a problem unless the member "schema" is `expected`; returns false then.
    bool check_schema(const std::string& expected) const;

    /// Notes a problem if it is no list, or has more than `most` items, and gives none then.
    std::vector<JsonView> items(std::size_t most = limits::json_values) const;
    std::vector<std::pair<std::string, JsonView>> members() const;  ///< notes a problem if it is no object

    std::string text(const std::string& fallback = "") const;
    std::string word(const std::vector<std::string>& allowed, const std::string& fallback = "") const;
    double number(double low, double high, double fallback) const;
    long long integer(long long low, long long high, long long fallback) const;
    bool boolean(bool fallback) const;
    Date date(Date fallback) const;
    /// "2027-03-05 08:30", or a day alone for its beginning. [min since 1970-01-01, local]
    std::int64_t moment(std::int64_t fallback) const;
    /// A length [m]: a text with a unit such as "0.25 in". Use keys such as `width_mm` with `number` for bare numbers.
    double length_m(double low, double high, double fallback) const;
    /// Number under key_mm, key_cm, key_m, key_in or key_ft, or a text with unit under `key`; result in metres.
    double length_member_m(const std::string& key, double low_m, double high_m, double fallback, bool needed) const;

    void fail(const std::string& expected, const std::string& got, const std::string& hint = "") const;
    /// The same under another field path, for what is found at this place about something it holds or lacks.
    void fail_as(const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) const;
    std::size_t problem_count() const { return problems_->size(); }
    /// The value as an error shows it: text in quotes, number as written, "a list", ...
    std::string shown() const;

private:
    const JsonDocument* document_;
    const JsonNode* node_;
    std::string path_;
    Problems* problems_;
};

/// Writes JSON with two-space indent, keys in the order given, numbers in their shortest form.
/// Text that is no UTF-8 or has a NUL is a ValueError naming the key: no reader takes it.
class JsonWriter {
public:
    void begin_object();
    void end_object();
    void begin_list();
    void end_list();
    void key(std::string_view name);
    void value(std::string_view text);
    void value(const char* text) { value(std::string_view(text)); }
    void value(double number);
    void value(long long number);
    void value(int number) { value(static_cast<long long>(number)); }
    void value(bool boolean);
    void value(const std::vector<std::string>& texts);
    /// A key with its value: any of the kinds above.
    template <class Value>
    void member(std::string_view name, const Value& its_value) {
        key(name);
        value(its_value);
    }
    /// A key with a list, of which `write(item)` writes each item.
    template <class Items, class Write>
    void list(std::string_view name, const Items& items, Write&& write) {
        key(name);
        begin_list();
        for (const auto& item : items) write(item);
        end_list();
    }
    /// A key with an object, of which `write()` writes the members.
    template <class Write>
    void object(std::string_view name, Write&& write) {
        key(name);
        begin_object();
        write();
        end_object();
    }
    void null();
    /// The text, ended by a newline.
    std::string take();

private:
    void before_value();
    std::string out_;
    std::string last_key_;  ///< for errors
    std::vector<bool> empty_;  ///< per open bracket: nothing written yet
    bool after_key_ = false;
};

}  // namespace libseal::detail
