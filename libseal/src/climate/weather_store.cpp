#include "climate/weather_store.hpp"

#include <sys/stat.h>

#include <bit>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "climate/columns.hpp"
#include "climate/station_figures.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/version.hpp"

namespace libseal::detail {
namespace {

namespace fs = std::filesystem;

/// Raise it with every change of a reader, of the typical year or of the form below.
constexpr std::uint32_t form = 3;
constexpr std::string_view mark = "libseal weather\n";

/// Four streams, so that it runs as fast as memory; the order of all bytes counts.
std::uint64_t checksum(const char* bytes, std::size_t size) {
    constexpr std::uint64_t odd = 0x9E3779B97F4A7C15u;
    std::uint64_t stream[4] = {1, 2, 3, 4};
    std::size_t at = 0;
    const auto mix = [&](std::uint64_t& state, std::uint64_t word) { state = std::rotl((state ^ word) * odd, 29); };
    for (; at + 32 <= size; at += 32)
        for (std::size_t k = 0; k < 4; ++k) {
            std::uint64_t word;
            std::memcpy(&word, bytes + at + 8 * k, 8);
            mix(stream[k], word);
        }
    for (; at < size; ++at) mix(stream[at % 4], static_cast<unsigned char>(bytes[at]));
    std::uint64_t all = size;
    for (const std::uint64_t state : stream) mix(all, state);
    return all ^ (all >> 31);
}

class Packer {
public:
    template <class T>
    void number(T value) {
        bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
    }
    void yes_no(bool value) { number(static_cast<std::uint8_t>(value)); }
    void text(const std::string& value) {
        number(static_cast<std::uint64_t>(value.size()));
        bytes_ += value;
    }
    template <class T>
    void column(const Eigen::Array<T, Eigen::Dynamic, 1>& values) {
        number(static_cast<std::uint64_t>(values.size()));
        bytes_.append(reinterpret_cast<const char*>(values.data()), sizeof(T) * static_cast<std::size_t>(values.size()));
    }
    std::string& bytes() { return bytes_; }

private:
    std::string bytes_;
};

/// Reads what `Packer` wrote; once something is missing, everything after it is.
class Unpacker {
public:
    Unpacker(const char* at, const char* end) : at_(at), end_(end) {}
    template <class T>
    void number(T& value) {
        if (room(sizeof value)) std::memcpy(&value, at_, sizeof value), at_ += sizeof value;
    }
    /// 0 or 1: a bool of another byte is none.
    void yes_no(bool& value) {
        std::uint8_t byte = 0;
        number(byte);
        if (byte > 1) fail();
        value = byte == 1;
    }
    void text(std::string& value) {
        std::uint64_t size = 0;
        number(size);
        if (room(size)) value.assign(at_, static_cast<std::size_t>(size)), at_ += size;
    }
    template <class T>
    void column(Eigen::Array<T, Eigen::Dynamic, 1>& values) {
        std::uint64_t size = 0;
        number(size);
        if (size > static_cast<std::uint64_t>(end_ - at_) || !room(size * sizeof(T))) return fail();
        values.resize(static_cast<Eigen::Index>(size));
        if (size == 0) return;  // nothing has no place to copy to
        std::memcpy(values.data(), at_, static_cast<std::size_t>(size) * sizeof(T));
        at_ += size * sizeof(T);
    }
    bool good() const { return good_; }
    bool whole() const { return good_ && at_ == end_; }

private:
    void fail() { good_ = false; }
    bool room(std::uint64_t size) {
        if (size > static_cast<std::uint64_t>(end_ - at_)) good_ = false;
        return good_;
    }
    const char* at_;
    const char* end_;
    bool good_ = true;
};

/// Everything of a weather, in one order for both ways.
template <class Visitor, class W>
void visit(Visitor& visitor, W& weather) {
    visitor.text(weather.site.name);
    visitor.number(weather.site.latitude);
    visitor.number(weather.site.longitude);
    visitor.number(weather.site.elevation);
    visitor.number(weather.site.utc_offset);
    visitor.number(weather.step);
    visitor.number(weather.sun_offset);
    visitor.yes_no(weather.typical);
    visitor.column(weather.time_utc);
    for (const ColumnInfo& info : weather_columns) visitor.column(weather.*info.member);
}

void visit_gap(auto& visitor, auto& gap) {
    visitor.text(gap.column);
    visitor.number(gap.first);
    visitor.number(gap.count);
    visitor.text(gap.filled);
}

bool equally_long(const Weather& weather) {
    for (const ColumnInfo& info : weather_columns)
        if ((weather.*info.member).size() != weather.size()) return false;
    return true;
}

}  // namespace

std::string sealed_entry(const std::string& body) {
    Packer file;
    file.bytes() = mark;
    file.number(form);
    file.text(version);
    file.number(checksum(body.data(), body.size()));
    return file.bytes() + body;
}

std::string packed(const Weather& weather, const std::string& name) {
    Packer body;
    body.text(name);
    visit(body, weather);
    body.number(static_cast<std::uint64_t>(weather.gaps.size()));
    for (const Gap& gap : weather.gaps) visit_gap(body, gap);
    body.number(static_cast<std::uint64_t>(weather.notes.size()));
    for (const std::string& note : weather.notes) body.text(note);
    return sealed_entry(body.bytes());
}

std::optional<Weather> unpacked(const std::string& bytes, const std::string& name) {
    Packer head;  // what every entry of this version begins with
    head.bytes() = mark;
    head.number(form);
    head.text(version);
    const std::size_t start = head.bytes().size() + sizeof(std::uint64_t);
    if (bytes.size() < start || !bytes.starts_with(head.bytes())) return {};
    std::uint64_t sum = 0;
    std::memcpy(&sum, bytes.data() + head.bytes().size(), sizeof sum);
    if (sum != checksum(bytes.data() + start, bytes.size() - start)) return {};
    Unpacker body(bytes.data() + start, bytes.data() + bytes.size());
    std::string written;
    body.text(written);
    if (written != name) return {};
    Weather weather;
    visit(body, weather);
    std::uint64_t gaps = 0, notes = 0;
    for (body.number(gaps); gaps > 0 && body.good(); --gaps) visit_gap(body, weather.gaps.emplace_back());
    for (body.number(notes); notes > 0 && body.good(); --notes) body.text(weather.notes.emplace_back());
    if (!body.whole() || !equally_long(weather)) return {};
    return weather;
}

std::string WeatherStore::path_of(const std::string& name) const {
    char hex[17];
    std::snprintf(hex, sizeof hex, "%016llx", static_cast<unsigned long long>(checksum(name.data(), name.size())));
    return (fs::path(folder_) / (std::string(hex) + ".weather")).string();
}

std::optional<Weather> WeatherStore::find(const std::string& name) const {
    const std::string path = path_of(name);
    std::error_code code;
    if (!fs::is_regular_file(path, code)) return {};
    try {
        return unpacked(read_text_file(path), name);
    } catch (const FileError&) {
        return {};
    }
}

void WeatherStore::keep(const std::string& name, const Weather& weather) const {
    std::error_code code;
    fs::create_directories(folder_, code);
    try {
        write_text_file(path_of(name), packed(weather, name));
    } catch (const FileError&) {
        return;  // it is made again the next time
    }
}

std::string stamp_of_file(const std::string& path) {
    struct stat state {};
    std::error_code code;
    const fs::path whole = fs::absolute(path, code);
    if (code || ::stat(path.c_str(), &state) != 0 || !S_ISREG(state.st_mode)) return {};
    const auto time = [](const timespec& at) { return std::to_string(at.tv_sec) + "." + std::to_string(at.tv_nsec); };
    return "file " + whole.string() + " size " + std::to_string(state.st_size) + " number " + std::to_string(state.st_ino) + " changed " +
           time(state.st_mtim) + " " + time(state.st_ctim);
}

std::string name_of_typical_year(const Station& station, std::uint64_t seed) {
    std::string name = "typical year " + std::to_string(seed) + " " + station.id + " " + station.site.name;
    for (const double figure : figures_of(station)) name += " " + number_text(figure);
    return name;
}

}  // namespace libseal::detail
