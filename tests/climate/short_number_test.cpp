// Numbers read eight bytes at a time against the general reader.

#include "climate/short_number.hpp"

#include <cmath>
#include <cstring>
#include <string>

#include "climate/read_source.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

/// Length read of `text` with a comma and more behind it.
int length_of(const std::string& text, double& value) { return detail::short_number((text + ",12345678").c_str(), value); }

bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

}  // namespace

TEST_CASE("short numbers have the bits of the general reader", "[climate][reference]") {
    // Synthetic: every number of up to five digits with its point anywhere, and of both signs.
    double value = 0, wanted = 0;
    for (int number = 0; number < 100000; number += 1 + number / 5000)
        for (std::size_t point = 0; point <= 6; ++point) {
            std::string text = std::to_string(number);
            if (point < 6 && point <= text.size()) text.insert(point, ".");
            for (const std::string& signed_text : {text, "-" + text}) {
                INFO(signed_text);
                REQUIRE(length_of(signed_text, value) == static_cast<int>(signed_text.size()));
                REQUIRE(try_parse_number(signed_text, wanted));
                REQUIRE(same_bits(value, wanted));
            }
        }
}

TEST_CASE("what is no short number is left to the general reader", "[climate][bad_input]") {
    double value = 7;
    for (const char* text : {"", "-", ".", "-.", "--1", "1-", "1.2.3", "+1", " 1", "1 ", "1e3", "nan", "0x1", "1/2", "1:2", "\"1\"", "1\r", "1\n2", "12345678", "1234567.8", "\xb1"}) {
        INFO(text);
        CHECK(length_of(text, value) == 0);
    }
    CHECK(value == 7);
}

TEST_CASE("a row of numbers is read the same at its end as in its middle", "[climate][reference]") {
    // Synthetic: invented rows; the last fields have no eight bytes behind them.
    RandomStream random(4);
    for (int trial = 0; trial < 2000; ++trial) {
        std::string line;
        std::vector<double> wanted;
        for (std::size_t i = 0, count = 1 + random.below(6); i < count; ++i) {
            std::string text = std::to_string(random.below(10'000'000));
            if (random.below(2) == 0) text.insert(random.below(text.size() + 1), ".");
            if (random.below(3) == 0) text.insert(0, "-");
            double number = 0;
            REQUIRE(try_parse_number(text, number));
            wanted.push_back(number);
            line += (i > 0 ? "," : "") + text;
        }
        detail::FieldCursor cursor(line, line);
        INFO(line);
        for (const double number : wanted) {
            double value = 0;
            REQUIRE(cursor.more());
            REQUIRE(cursor.number(value) == detail::FieldKind::number);
            REQUIRE(same_bits(value, number));
        }
        CHECK(!cursor.more());
    }
}
