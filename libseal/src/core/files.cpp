// Whole files in and out. Writing goes through a file beside the target, so that a fault leaves the target as it was.

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <utility>

#include "core/problem.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/limits.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void throw_file_error(const std::string& path, const std::string& expected, const std::string& got, const std::string& hint = "") {
    throw FileError(detail::placed_problem(detail::field_problem("", expected, got, hint), "", path, 0, 0));
}

[[noreturn]] void throw_no_place(const std::string& path, int reason) {
    throw_file_error(path, "a place that can be written to", std::strerror(reason));
}

/// The system's calls stop at the first NUL: another file than the one named would be meant.
void check_path(const std::string& path) {
    if (path.empty()) throw_file_error(path, "the path of a file", "no path");
    if (path.find('\0') != std::string::npos) throw_file_error(path, "a path without NUL", "NUL");
}

struct Closer {
    void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Closer>;

/// An open file of the system, closed at the latest by the destructor.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    bool open() const { return number_ >= 0; }
    int number() const { return number_; }
    bool close() { return ::close(std::exchange(number_, -1)) == 0; }

    /// All of text, in as many pieces as the system takes.
    bool write(std::string_view text) {
        while (!text.empty()) {
            const ssize_t done = ::write(number_, text.data(), std::min(text.size(), std::size_t{1} << 30));
            if (done < 0 && errno == EINTR) continue;
            if (done == 0) errno = EIO;
            if (done <= 0) return false;
            text.remove_prefix(static_cast<std::size_t>(done));
        }
        return true;
    }

private:
    int number_;
};

/// Where a chain of symbolic links leads, also if nothing is there yet: the links stay.
std::string behind_links(const std::string& path) {
    constexpr int longest_chain = 40;
    fs::path at = path;
    std::error_code code;
    for (int i = 0; i < longest_chain && fs::is_symlink(fs::symlink_status(at, code)); ++i) {
        const fs::path next = fs::read_symlink(at, code);
        if (code) break;
        at = next.is_absolute() ? next : at.parent_path() / next;
    }
    return at.string();
}

/// A new file beside `target`: a name that another writer, or one that was killed, has left is passed over.
std::string new_file_beside(const std::string& target, const std::string& path, int& number) {
    constexpr int most = 1000;
    constexpr std::size_t longest_name = 240;  // of 255, so that the ending fits
    const std::size_t name = target.find_last_of('/') + 1;
    const std::string base = target.substr(0, std::min(target.size(), name + longest_name));
    for (int i = 0; i < most; ++i) {
        const std::string beside = base + ".part" + (i ? std::to_string(i) : "");
        number = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (number >= 0) return beside;
        if (errno != EEXIST) break;
    }
    throw_no_place(path, errno);
}

[[noreturn]] void throw_not_written(const std::string& path, std::size_t size, int reason) {
    throw_file_error(path, "to write " + std::to_string(size) + " bytes", std::strerror(reason));
}

/// Pipes and devices have nothing that could be kept, and must not be replaced.
void write_straight(const std::string& path, std::string_view text) {
    Descriptor file(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
    if (!file.open()) throw_no_place(path, errno);
    if (!file.write(text) || !file.close()) throw_not_written(path, text.size(), errno);
}

/// The new name outlives a loss of power only once the folder is on the disk. Some file systems cannot: that is no fault.
void keep_folder(const std::string& target) {
    const fs::path folder = fs::path(target).parent_path();
    const Descriptor file(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (file.open()) ::fsync(file.number());
}

}  // namespace

std::string read_text_file(const std::string& path) {
    check_path(path);
    std::error_code code;
    if (fs::is_directory(path, code)) throw_file_error(path, "a file", "a folder");
    const File file(std::fopen(path.c_str(), "rb"));
    if (!file) throw_file_error(path, "a file that can be read", std::strerror(errno));
    const std::uintmax_t known = fs::file_size(path, code);  // an error for what is no usual file
    constexpr std::size_t block = 1 << 16;
    const auto at_most = [&](std::uintmax_t size) {
        if (size > limits::file_octets)  // a device may have no end
            throw_file_error(path, "a file of at most " + std::to_string(limits::file_octets) + " octets", "more", "split the file");
        return static_cast<std::size_t>(size);
    };
    std::string text(code ? block : at_most(known) + 1, '\0');
    std::size_t size = 0, got = 0;
    while ((got = std::fread(text.data() + size, 1, text.size() - size, file.get())) > 0) {
        size = at_most(size + got);
        if (size == text.size()) text.resize(2 * size + block);
    }
    text.resize(size);
    if (std::ferror(file.get())) throw_file_error(path, "a file that can be read", std::strerror(errno));
    return text;
}

void write_text_file(const std::string& path, std::string_view text) {
    check_path(path);
    struct stat old {};
    const bool there = ::stat(path.c_str(), &old) == 0;
    if (!there && errno != ENOENT) throw_no_place(path, errno);
    if (path.back() == '/' || (there && S_ISDIR(old.st_mode))) throw_file_error(path, "a file", "a folder");
    if (there && !S_ISREG(old.st_mode)) return write_straight(path, text);
    if (there && ::access(path.c_str(), W_OK) != 0) throw_no_place(path, errno);

    const std::string target = behind_links(path);
    int number = -1;
    const std::string beside = new_file_beside(target, path, number);
    Descriptor file(number);
    bool good = true;
    if (there) {  // the new file is for the same readers as the old one
        if (::fchown(number, old.st_uid, old.st_gid) != 0) errno = 0;  // only the system's keeper may
        good = ::fchmod(number, old.st_mode & 07777) == 0;
    }
    good = good && file.write(text) && ::fsync(number) == 0;
    int reason = errno;
    if (!file.close() && good) good = false, reason = errno;
    if (!good) {
        ::unlink(beside.c_str());
        throw_not_written(path, text.size(), reason);
    }
    if (::rename(beside.c_str(), target.c_str()) != 0) {
        reason = errno;
        ::unlink(beside.c_str());
        throw_no_place(path, reason);
    }
    keep_folder(target);
}

}  // namespace libseal
