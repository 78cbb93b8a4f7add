#include "kernel/sources.hpp"

namespace libseal::kernel {

const Kernels& portable_kernels();
const Kernels& portable_kernels() { return all_kernels(); }

}  // namespace libseal::kernel
