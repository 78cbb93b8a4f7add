#pragma once
// Weather that was read or composed before, kept in a folder in the form in which it lies in memory.

#include <optional>
#include <string>

#include "libseal/climate/station.hpp"
#include "libseal/climate/weather.hpp"

namespace libseal::detail {

/// Entries carry the version that made them, the name of what they were made of and a checksum. What is not whole, is of
/// another version or name, or cannot be read counts as not there. A folder that cannot be written keeps nothing.
///
/// @threads  safe, also between processes: entries are replaced whole.
class WeatherStore {
public:
    /// @param folder  Made if it is not there; "": nothing is kept.
    explicit WeatherStore(std::string folder) : folder_(std::move(folder)) {}

    std::optional<Weather> find(const std::string& name) const;
    void keep(const std::string& name, const Weather& weather) const;
    /// What is there by that name, else what `make` gives, kept for the next time.
    template <class Make>
    Weather get(const std::string& name, const Make& make) const {
        if (folder_.empty()) return make();
        if (std::optional<Weather> known = find(name)) return *std::move(known);
        const Weather made = make();
        keep(name, made);
        return made;
    }

private:
    std::string path_of(const std::string& name) const;
    std::string folder_;
};

/// Says which file this is and that it did not change: place, size, and times to the nanosecond. "" if the system does not say.
std::string stamp_of_file(const std::string& path);
/// Says which typical year this is, by all figures it is made of.
std::string name_of_typical_year(const Station& station, std::uint64_t seed);

/// As bytes and back; nothing for bytes that are not whole or of another name.
std::string packed(const Weather& weather, const std::string& name);
std::optional<Weather> unpacked(const std::string& bytes, const std::string& name);
/// The head of this version and a checksum in front of what `packed` puts behind them.
std::string sealed_entry(const std::string& body);

}  // namespace libseal::detail
