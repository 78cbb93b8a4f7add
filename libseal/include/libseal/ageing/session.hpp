#pragma once
// What earlier forecasts of a fleet have worked out, kept for the next one.

#include <cstddef>
#include <memory>
#include <string>

#include "libseal/catalogue/catalogue.hpp"

namespace libseal {

namespace detail {
class SweptLayer;
}

/// Sites, clocks and movements of one catalogue, each evaluated once for as long as the session lives.
///
/// A forecast with a session costs only what is new in it: a place, a plane, a finish, a family. Results are the same
/// bits as without. A site is known again by station and seed, own weather by its values; the session keeps own weather
/// and the typical years of the 64 stations that were asked for last (some 1 MB each).
///
/// @threads  Any number of calls may share a session at once. What two of them need for the first time at the same
///           moment may be worked out twice, with the same bits.
class Session {
public:
    /// @param cache  Folder in which typical years are kept between runs (about 0.8 MB each), in entries with version and
    ///               checksum; made if it is not there, safe to delete at any time. "": none is.
    explicit Session(const Catalogue& catalogue = Catalogue::built_in(), const std::string& cache = "");
    ~Session();
    Session(const Session&) = delete;
    Session& operator=(const Session&) = delete;

    /// Whose values all of it rests on.
    const Catalogue& catalogue() const;
    /// Number of sites that it knows.
    std::size_t site_count() const;
    /// Number of clocks that it holds.
    std::size_t clock_count() const;
    /// Number of movements that it holds.
    std::size_t movement_count() const;

private:
    friend class ClockStore;
    friend class detail::SweptLayer;
    struct Memory;
    std::unique_ptr<Memory> memory_;
};

}  // namespace libseal
