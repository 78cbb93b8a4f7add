// Replays the files of folders through a fuzz target, without libFuzzer: whole, cut at every length, and with damage.
//
//     fuzz_NAME [--damaged N] FOLDER...      N damaged copies of each file, 20 if it is left out; the same ones in every run

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include "libseal/core/random.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

void run(const std::string& text) { LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(text.data()), text.size()); }

/// Cut at every length: a file that ends early is the commonest damage.
void run_cut(const std::string& text) {
    for (std::size_t size = 0; size <= text.size(); size += 1 + text.size() / 200) run(text.substr(0, size));
    run(text);
}

/// One to four changes: other bytes, parts left out, doubled, or from elsewhere in the corpus, hostile words.
class Damage {
public:
    Damage(const std::vector<std::string>& all, std::uint64_t seed) : all_(all), random_(seed) {}

    std::string of(std::string text) {
        for (std::uint64_t left = 1 + random_.below(4); left > 0; --left) change(text);
        return text;
    }

private:
    std::size_t place(const std::string& text) { return random_.below(text.size() + 1); }
    std::string part(const std::string& text) {
        const std::size_t at = place(text);
        return text.substr(at, random_.below(30));
    }
    void change(std::string& text) {
        static const std::vector<std::string> words{"\"", ",", "\n", "\r", std::string(1, '\0'), "\xff", "[", "]", "{}", "null", "-1", "1e308", "-0", "99999999999",
                                                    "0.1", "9999-12-31", "1400-01-01", "24:00", "\\u0000", " ", ":", ";", "nan", "yes"};
        const std::size_t at = place(text);
        switch (random_.below(6)) {
            case 0: if (at < text.size()) text[at] = static_cast<char>(random_.below(256)); break;
            case 1: text.erase(at, random_.below(12)); break;
            case 2: text.insert(at, words[random_.below(words.size())]); break;
            case 3: text.insert(at, part(text)); break;
            case 4: text.insert(at, part(all_[random_.below(all_.size())])); break;
            default: text.replace(at, random_.below(9), words[random_.below(words.size())]);
        }
    }

    const std::vector<std::string>& all_;
    libseal::RandomStream random_;
};

}  // namespace

int main(int argc, char** argv) {
    std::map<std::string, std::string> files;  // in one order everywhere
    int damaged = 20;
    for (int i = 1; i < argc; ++i) {
        if (std::string(argv[i]) == "--damaged" && i + 1 < argc) {
            damaged = std::atoi(argv[++i]);
            continue;
        }
        for (const auto& entry : std::filesystem::directory_iterator(argv[i])) {
            std::ifstream file(entry.path(), std::ios::binary);
            files[entry.path().filename().string()] = {std::istreambuf_iterator<char>(file), {}};
        }
    }
    std::vector<std::string> all;
    for (const auto& [name, text] : files) all.push_back(text);
    for (std::size_t i = 0; i < all.size(); ++i) {
        run_cut(all[i]);
        Damage damage(all, i);
        for (int k = 0; k < damaged; ++k) {
            const std::string text = damage.of(all[i]);
            // What a crash leaves behind: the input that it was given.
            if (const char* kept = std::getenv("LIBSEAL_FUZZ_KEEP")) std::ofstream(kept, std::ios::binary) << text;
            run(text);
        }
    }
    std::printf("replayed %zu files\n", files.size());
    return files.empty() ? 1 : 0;
}
