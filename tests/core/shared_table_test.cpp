#include "core/shared_table.hpp"

#include <random>
#include <unordered_map>

#include "support/catch.hpp"

using libseal::detail::SharedTable;

namespace {

struct Name {
    std::uint64_t number = 0;
    std::string word;
    bool operator==(const Name&) const = default;
};
struct GoodHash {
    std::size_t operator()(const Name& name) const { return (name.number + name.word.size()) * 0x9E3779B97F4A7C15u; }
};
/// All in one chain, with one mark.
struct PoorHash {
    std::size_t operator()(const Name&) const { return 7; }
};
/// One place, different marks.
struct HighHash {
    std::size_t operator()(const Name& name) const { return name.number << 32; }
};

template <class Hash>
void compare_with_a_map(std::uint64_t most, std::size_t adds) {
    SharedTable<Name, int, Hash> table;
    std::unordered_map<std::uint64_t, int> map;
    std::mt19937_64 random(3);
    const auto name = [](std::uint64_t n) { return Name{n, n % 3 ? "bead" : "a word that is longer than a short one"}; };
    CHECK(table.find(name(0)) == nullptr);
    CHECK(table.find_all(5, [&](std::size_t i) { return name(i); }) == std::vector<std::shared_ptr<const int>>(5));
    for (std::size_t k = 0; k < adds; ++k) {
        const std::uint64_t n = random() % most;
        map.try_emplace(n, static_cast<int>(k));
        table.add(name(n), std::make_shared<const int>(static_cast<int>(k)));
    }
    REQUIRE(table.size() == map.size());
    const auto all = table.find_all(most + 100, [&](std::size_t i) { return name(i); });
    for (std::uint64_t n = 0; n < most + 100; ++n) {
        const auto expected = map.find(n);
        REQUIRE((all[n] != nullptr) == (expected != map.end()));
        REQUIRE(all[n] == table.find(name(n)));
        if (all[n]) REQUIRE(*all[n] == expected->second);
    }
}

}  // namespace

TEST_CASE("a shared table finds what a map finds, one by one and many at a time", "[core][reference]") {
    compare_with_a_map<GoodHash>(2000, 3000);
    compare_with_a_map<PoorHash>(150, 200);
    compare_with_a_map<HighHash>(150, 200);
}

TEST_CASE("a shared table gives out the thing itself", "[core]") {
    SharedTable<Name, int, GoodHash> table;
    const auto thing = std::make_shared<const int>(4);
    table.add({1, "x"}, thing);
    table.add({1, "x"}, std::make_shared<const int>(5));  // the first stays
    CHECK(table.find({1, "x"}) == thing);
    CHECK(table.find({1, "y"}) == nullptr);
    CHECK(thing.use_count() == 2);
}
