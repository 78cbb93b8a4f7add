#pragma once
// Numbers that begin where registers like them to.

#include <cstddef>
#include <cstdint>
#include <memory>

namespace libseal::kernel {

/// Doubles from a multiple of 64 bytes on, not set when made.
class AlignedColumn {
public:
    AlignedColumn() = default;
    explicit AlignedColumn(std::size_t size)
        : room_(new double[size + alignment / sizeof(double)]), numbers_(room_.get() + up_to_boundary(room_.get())), size_(size) {}

    std::size_t size() const { return size_; }
    double* data() { return numbers_; }
    const double* data() const { return numbers_; }
    double& operator[](std::size_t i) { return numbers_[i]; }
    double operator[](std::size_t i) const { return numbers_[i]; }

private:
    static constexpr std::size_t alignment = 64;
    static std::size_t up_to_boundary(const double* room) {
        return (alignment - reinterpret_cast<std::uintptr_t>(room) % alignment) / sizeof(double);
    }
    std::unique_ptr<double[]> room_;  ///< by the plain operator: the aligned one of common libraries cuts its blocks, and joins them again
    double* numbers_ = nullptr;
    std::size_t size_ = 0;
};

}  // namespace libseal::kernel
