#pragma once
// Numbers that are the same to the last bit.

#include <cmath>
#include <cstddef>
#include <cstring>
#include <vector>

namespace libseal_test {

inline bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

/// Of anything with size and data: columns, tables of equal shape, vectors.
template <class Array>
bool same_bits(const Array& a, const Array& b) {
    return a.size() == b.size() && (a.size() == 0 || std::memcmp(a.data(), b.data(), sizeof(*a.data()) * static_cast<std::size_t>(a.size())) == 0);
}

/// Where there is no number, any way to say so is alike.
inline bool same_bits_or_none(const std::vector<double>& a, const std::vector<double>& b) {
    for (std::size_t i = 0; i < a.size() && i < b.size(); ++i)
        if (!same_bits(a[i], b[i]) && !(std::isnan(a[i]) && std::isnan(b[i]))) return false;
    return a.size() == b.size();
}

}  // namespace libseal_test
