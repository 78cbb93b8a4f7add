#include "support/property.hpp"

#include <cstdlib>
#include <fstream>

namespace libseal_test {

rc::detail::TestParams property_params(std::uint64_t seed, int cases) {
    rc::detail::TestParams params;
    params.seed = seed;
    params.maxSuccess = cases;
    params.maxSize = 60;
    return params;
}

std::vector<std::uint64_t> property_seeds(const std::string& name) {
    constexpr std::uint64_t usual = 20261125;
    std::vector<std::uint64_t> seeds;
    std::ifstream found(std::string(LIBSEAL_SOURCE_DIR) + "/tests/properties/found_seeds.txt");
    REQUIRE(found.good());
    for (std::string line; std::getline(found, line);) {
        const auto blank = line.find(' ');
        if (!line.starts_with('#') && blank != std::string::npos && line.substr(blank + 1) == name) seeds.push_back(std::stoull(line.substr(0, blank)));
    }
    const char* own = std::getenv("LIBSEAL_PROPERTY_SEED");
    seeds.push_back(own ? std::strtoull(own, nullptr, 10) : usual);
    return seeds;
}

int property_cases(int cases) {
    const char* factor = std::getenv("LIBSEAL_PROPERTY_FACTOR");
    return cases * (factor ? std::max(1, std::atoi(factor)) : 1);
}

}  // namespace libseal_test
