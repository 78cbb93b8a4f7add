#if defined(__x86_64__)
#include "kernel/sources.hpp"

namespace libseal::kernel {

const Kernels& avx2_kernels();
const Kernels& avx2_kernels() { return all_kernels(); }

}  // namespace libseal::kernel
#endif
