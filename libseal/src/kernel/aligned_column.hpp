#pragma once
// Numbers that begin where registers like them to.

#include <cstddef>
#include <memory>
#include <new>

namespace libseal::kernel {

/// Doubles from a multiple of 64 bytes on, not set when made.
class AlignedColumn {
public:
    AlignedColumn() = default;
    explicit AlignedColumn(std::size_t size)
        : numbers_(static_cast<double*>(::operator new[](size * sizeof(double), alignment))), size_(size) {}

    std::size_t size() const { return size_; }
    double* data() { return numbers_.get(); }
    const double* data() const { return numbers_.get(); }
    double& operator[](std::size_t i) { return numbers_.get()[i]; }
    double operator[](std::size_t i) const { return numbers_.get()[i]; }

private:
    static constexpr std::align_val_t alignment{64};
    struct Free {
        void operator()(double* numbers) const { ::operator delete[](numbers, alignment); }
    };
    std::unique_ptr<double, Free> numbers_;
    std::size_t size_ = 0;
};

}  // namespace libseal::kernel
