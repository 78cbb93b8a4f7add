#pragma once
// What fuzz targets share: bytes as text or as numbers, errors as they should be, texts that survive being written and read.

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <optional>
#include <string>
#include <utility>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace libseal_fuzz {

/// Ends the program, which is how a target tells of a fault.
[[noreturn]] inline void broken(const std::string& what) {
    std::fprintf(stderr, "fuzz target: %s\n", what.c_str());
    std::abort();
}

inline void require(bool good, const char* what) {
    if (!good) broken(what);
}

inline std::string text_of(const std::uint8_t* data, std::size_t size) { return {reinterpret_cast<const char*>(data), size}; }

/// An error that a person can use: 1 to 50 problems in readable characters, of bounded length.
inline void check_error(const libseal::Error& error) {
    constexpr std::size_t most = 50, longest = 8000;  // of one problem, context included
    const auto& problems = error.problems();
    require(!problems.empty() && problems.size() <= most, "an error holds 1 to 50 problems");
    for (const libseal::Problem& problem : problems) {
        require(!problem.expected.empty() && !problem.got.empty(), "a problem says what was expected and what was there");
        require(problem.line >= 0 && problem.column >= 0, "a place counts from 1");
        require(libseal::to_text(problem).size() <= longest, "a problem is short enough to be read");
        for (const std::string* part : {&problem.field, &problem.expected, &problem.got, &problem.hint, &problem.context})
            require(libseal::is_utf8(*part), "a problem is text");
    }
    require(libseal::is_utf8(error.what()), "an error is text");
}

/// What `read` gives, or nothing if it refuses with an error of the library. Anything else that is thrown ends the program.
template <class Read>
auto read_or_refuse(const Read& read) -> std::optional<decltype(read())> {
    try {
        return read();
    } catch (const libseal::Error& error) {
        check_error(error);
        return std::nullopt;
    }
}

/// What `read` accepts can be written, is accepted again, and is written as before.
template <class Read, class Write>
void check_round_trip(const std::string& text, const Read& read, const Write& write) {
    const auto value = read_or_refuse([&] { return read(text); });
    if (!value) return;
    std::string written;
    try {
        written = write(*value);
        const std::string again = write(read(written));
        if (again != written) broken("written as\n" + written + "\nand, read again, as\n" + again);
    } catch (const libseal::Error& error) {
        broken("what was read is refused: " + std::string(error.what()) + "\n" + written);
    }
}

/// Numbers out of bytes, for targets that compare two ways to compute one thing. Zeros behind the end.
class Bytes {
public:
    Bytes(const std::uint8_t* data, std::size_t size) : data_(data), size_(size) {}
    bool empty() const { return at_ >= size_; }
    std::uint8_t byte() { return at_ < size_ ? data_[at_++] : std::uint8_t{0}; }
    /// 0 to n - 1.
    int below(int n) { return byte() % n; }
    /// low to high in 256 steps.
    double between(double low, double high) { return low + (high - low) * byte() / 255.0; }
    /// Any double at all.
    double any() {
        std::uint8_t raw[sizeof(double)];
        for (std::uint8_t& b : raw) b = byte();
        double value = 0;
        std::memcpy(&value, raw, sizeof value);
        return value;
    }

private:
    const std::uint8_t* data_;
    std::size_t size_;
    std::size_t at_ = 0;
};

}  // namespace libseal_fuzz
