#pragma once
// The built-in catalogue, read once.

#include "libseal/catalogue/catalogue.hpp"

namespace libseal_test {

inline const libseal::Catalogue& catalogue() {
    static const libseal::Catalogue built_in = libseal::Catalogue::built_in();
    return built_in;
}

}  // namespace libseal_test
