// Any bytes as JSON: a document with sane places, or a ValueError.

#include <cstdint>
#include <cstdlib>
#include <string>

#include "core/json.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {
void walk(const JsonView& view, int depth) {
    if (depth > 64) std::abort();  // the reader promises to refuse deeper texts
    switch (view.node().kind) {
        case JsonNode::Kind::list:
            for (const auto& item : view.items()) walk(item, depth + 1);
            break;
        case JsonNode::Kind::object:
            view.check_keys({"schema", "width_mm"});
            for (const auto& [key, value] : view.members()) walk(value, depth + 1);
            break;
        default:
            view.length_m(0, 1, 0);
            view.date({});
            view.number(0, 1, 0);
    }
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        const JsonDocument document(std::string(reinterpret_cast<const char*>(data), size), "input");
        Problems problems;
        walk(JsonView::root(document, problems), 0);
        if (problems.size() > Problems::limit) std::abort();
        problems.throw_if_any();
    } catch (const ValueError&) {
    }
    return 0;
}
