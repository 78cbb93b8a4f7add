// Numbers read eight bytes at a time against the general reader.

#include "climate/short_number.hpp"

#include <cmath>
#include <cstring>
#include <string>

#include "climate/read_source.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "support/bits.hpp"
#include "support/catch.hpp"

using namespace libseal;
using libseal_test::same_bits;

namespace {

bool read(const std::string& text, double& value) { return detail::short_number((text + ",12345678").c_str(), text.size(), value); }

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
                REQUIRE(read(signed_text, value));
                REQUIRE(try_parse_number(signed_text, wanted));
                REQUIRE(same_bits(value, wanted));
            }
        }
}

TEST_CASE("what is no short number is left to the general reader", "[climate][bad_input]") {
    double value = 7;
    for (const char* text : {"", "-", ".", "-.", "--1", "1-", "1.2.3", "+1", " 1", "1 ", "1e3", "nan", "0x1", "1/2", "1:2", "\"1\"", "1\r", "1\n2", "12345678", "1234567.8", "\xb1"}) {
        INFO(text);
        CHECK(!read(text, value));
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
        detail::RowFields row(line, wanted.size());
        row.split(line);
        INFO(line);
        REQUIRE(row.size() == wanted.size());
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            double value = 0;
            REQUIRE(row.number(i, value) == detail::FieldKind::number);
            REQUIRE(same_bits(value, wanted[i]));
        }
    }
}

TEST_CASE("fields of a row are what lies between its commas", "[climate][reference]") {
    // Synthetic: rows of chance, many commas in a word among them, split by hand beside it; other text behind the row.
    RandomStream random(5);
    for (int trial = 0; trial < 3000; ++trial) {
        std::string text;
        const std::uint64_t often = 1 + random.below(12);
        for (std::uint64_t i = 0, length = random.below(200); i < length; ++i) text += random.below(often) == 0 ? ',' : static_cast<char>('a' + random.below(26));
        std::vector<std::string> wanted(1);
        for (const char c : text) c == ',' ? wanted.emplace_back() : wanted.back() += c;
        const std::size_t most = 1 + random.below(60);
        if (wanted.size() > most) wanted.resize(most);
        const std::string all = text + std::string(random.below(100), ',');
        detail::RowFields row(all, most);
        row.split(std::string_view(all).substr(0, text.size()));
        INFO(text << " of at most " << most);
        REQUIRE(row.size() == wanted.size());
        std::size_t column = 1;
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            REQUIRE(row[i] == wanted[i]);
            REQUIRE(row.column(i) == static_cast<int>(column));
            column += wanted[i].size() + 1;
        }
        CHECK(row.row() == text);
    }
}

TEST_CASE("characters of a block are found alike in both ways", "[climate][reference]") {
    RandomStream random(6);
    for (int trial = 0; trial < 500; ++trial) {
        char block[detail::block_size];
        const std::uint64_t kinds = 1 + random.below(256);
        for (char& c : block) c = static_cast<char>(random.below(kinds));
        std::uint64_t wanted = 0;
        for (std::size_t i = 0; i < detail::block_size; ++i) wanted |= std::uint64_t{block[i] == ','} << i;
        REQUIRE(detail::places_in_block(block, ',') == wanted);
        REQUIRE(detail::places_by_words(block, ',') == wanted);
    }
}
