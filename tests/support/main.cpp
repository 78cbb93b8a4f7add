// Runs the tests, then says how much of the outside world was looked at and what was skipped.

#include <cstdio>
#include <cstdlib>
#include <map>
#include <set>

#define CATCH_CONFIG_RUNNER
#include "support/catch.hpp"
#if LIBSEAL_CATCH2_GENERATION >= 3
#include <catch2/catch_session.hpp>
#endif
#include "support/data.hpp"
#include "support/published.hpp"

namespace {
std::map<std::string, int>& ledger() {
    static std::map<std::string, int> values;
    return values;
}
std::set<std::string>& skipped() {
    static std::set<std::string> places;
    return places;
}
std::set<std::string>& skipped_tests() {
    static std::set<std::string> names;
    return names;
}
}  // namespace

namespace libseal_test {

std::filesystem::path source_folder() { return LIBSEAL_SOURCE_DIR; }

std::optional<std::filesystem::path> data_folder() {
    const char* named = std::getenv("LIBSEAL_DATA");
    const std::filesystem::path folder =
        named ? std::filesystem::path(named) : source_folder() / ".." / "shared" / "data";
    if (std::filesystem::is_directory(folder)) return folder;
    return std::nullopt;
}

std::optional<std::filesystem::path> outside_file(const std::string& relative) {
    if (const auto folder = data_folder(); folder && std::filesystem::exists(*folder / relative))
        return *folder / relative;
    skipped().insert(relative);
    skipped_tests().insert(Catch::getResultCapture().getCurrentTestName());
    return std::nullopt;
}

int skipped_count() { return static_cast<int>(skipped_tests().size()); }

void count_published(const std::string& source, int values) { ledger()[source] += values; }

int published_values() {
    int sum = 0;
    for (const auto& [source, values] : ledger()) sum += values;
    return sum;
}
int published_sources() { return static_cast<int>(ledger().size()); }

}  // namespace libseal_test

int main(int argc, char** argv) {
    const int result = Catch::Session().run(argc, argv);
    for (const auto& place : skipped()) std::printf("skipped for want of outside data: %s\n", place.c_str());
    std::printf("skipped test cases: %d\n", libseal_test::skipped_count());
    std::printf("published checks: %d values from %d publications\n", libseal_test::published_values(),
                libseal_test::published_sources());
    return result;
}
