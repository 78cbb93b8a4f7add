#pragma once
// One number for any number of values: values that differ in a bit give another one, but for a chance of 2^-64.

#include <bit>
#include <cstdint>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include <Eigen/Core>

#include "libseal/core/date.hpp"

namespace libseal_test {

class BitPrint {
public:
    BitPrint& add(std::string_view text) {
        add(text.size());
        for (const char c : text) mix(static_cast<unsigned char>(c));
        return *this;
    }
    BitPrint& add(const std::string& text) { return add(std::string_view(text)); }
    BitPrint& add(const char* text) { return add(std::string_view(text)); }
    BitPrint& add(double value) { return mix(std::bit_cast<std::uint64_t>(value)); }
    BitPrint& add(libseal::Date day) { return mix(static_cast<std::uint64_t>(day.days)); }
    template <class Number>
        requires std::is_integral_v<Number> || std::is_enum_v<Number>
    BitPrint& add(Number value) {
        return mix(static_cast<std::uint64_t>(value));
    }
    template <class T>
    BitPrint& add(const std::vector<T>& values) {
        add(values.size());
        for (const T& value : values) add(value);
        return *this;
    }
    template <class T>
    BitPrint& add(const Eigen::DenseBase<T>& values) {
        add(values.rows()), add(values.cols());
        for (Eigen::Index i = 0; i < values.rows(); ++i)
            for (Eigen::Index k = 0; k < values.cols(); ++k) add(values.derived().coeff(i, k));
        return *this;
    }
    std::uint64_t value() const { return print_; }

private:
    BitPrint& mix(std::uint64_t word) {
        print_ = (print_ ^ word) * 0x9e3779b97f4a7c15U;
        print_ ^= print_ >> 32;
        return *this;
    }
    std::uint64_t print_ = 0xcbf29ce484222325U;
};

}  // namespace libseal_test
