#include "kernel/kernels.hpp"

#include <cstdlib>

namespace libseal::kernel {

const Kernels& portable_kernels();
#if defined(__x86_64__)
const Kernels& avx2_kernels();
const Kernels& avx512_kernels();
#endif

namespace {

InstructionSet set_to_use() {
    const std::vector<InstructionSet> sets = sets_that_run();
    if (const char* wanted = std::getenv("LIBSEAL_INSTRUCTION_SET"))
        for (const InstructionSet set : sets)
            if (name_of(set) == wanted) return set;
    return sets.back();
}

}  // namespace

std::string name_of(InstructionSet set) {
    switch (set) {
        case InstructionSet::portable: return "portable";
        case InstructionSet::avx2: return "avx2";
        case InstructionSet::avx512: return "avx512";
    }
    return "";
}

std::vector<InstructionSet> sets_that_run() {
    std::vector<InstructionSet> sets{InstructionSet::portable};
#if defined(__x86_64__)
    __builtin_cpu_init();
    const bool avx2 = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
    if (avx2) sets.push_back(InstructionSet::avx2);
    if (avx2 && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) sets.push_back(InstructionSet::avx512);
#endif
    return sets;
}

const Kernels& kernels_of(InstructionSet set) {
#if defined(__x86_64__)
    if (set == InstructionSet::avx2) return avx2_kernels();
    if (set == InstructionSet::avx512) return avx512_kernels();
#else
    (void)set;
#endif
    return portable_kernels();
}

InstructionSet chosen_set() {
    static const InstructionSet set = set_to_use();
    return set;
}

const Kernels& kernels() { return kernels_of(chosen_set()); }

}  // namespace libseal::kernel
