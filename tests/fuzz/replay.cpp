// Replays the files of a folder through a fuzz target, without libFuzzer.

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int argc, char** argv) {
    int files = 0;
    for (int i = 1; i < argc; ++i) {
        for (const auto& entry : std::filesystem::directory_iterator(argv[i])) {
            std::ifstream file(entry.path(), std::ios::binary);
            const std::vector<char> text{std::istreambuf_iterator<char>(file), {}};
            // Cut at every length: a file that ends early is the commonest damage.
            for (std::size_t size = 0; size <= text.size(); size += 1 + text.size() / 200)
                LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(text.data()), size);
            LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
            ++files;
        }
    }
    std::printf("replayed %d files\n", files);
    return files > 0 ? 0 : 1;
}
