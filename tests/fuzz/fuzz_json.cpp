// Any bytes as JSON: a document with sane places, or a ValueError.

#include "core/json.hpp"
#include "target.hpp"

using namespace libseal;
using namespace libseal::detail;
using namespace libseal_fuzz;

namespace {
void walk(const JsonView& view, int depth) {
    require(depth <= 64, "the reader promises to refuse deeper texts");
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
    read_or_refuse([&] {
        const JsonDocument document(text_of(data, size), "input");
        Problems problems;
        walk(JsonView::root(document, problems), 0);
        problems.throw_if_any();
        return true;
    });
    return 0;
}
