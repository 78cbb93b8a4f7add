// Weather kept in a folder: what comes back is what went in, and anything odd is made anew. Synthetic.
#include "climate/weather_store.hpp"

#include <unistd.h>

#include <cstring>
#include <filesystem>

#include "climate/columns.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/text.hpp"
#include "support/bits.hpp"
#include "support/catch.hpp"

using namespace libseal;
namespace fs = std::filesystem;

namespace {

/// A folder of its own, gone at the end.
struct Folder {
    Folder() : path((fs::temp_directory_path() / ("libseal_store_" + std::to_string(::getpid()))).string()) { fs::remove_all(path); }
    ~Folder() { fs::remove_all(path); }
    std::size_t files() const {
        std::size_t count = 0;
        if (fs::exists(path))
            for (const auto& entry : fs::directory_iterator(path)) count += entry.path().extension() == ".weather";
        return count;
    }
    std::string first() const { return fs::directory_iterator(path)->path().string(); }
    std::string path;
};

Weather sample() {
    Weather weather = typical_year(find_station("725350"), 3);
    weather.ghi[17] = std::nan("");
    weather.gaps.push_back({"ghi", 17, 1, "no"});
    weather.notes = {"first", "", "third\nline"};
    return weather;
}

bool same(const Weather& a, const Weather& b) {
    using libseal_test::same_bits;
    bool equal = a.site.name == b.site.name && a.site.latitude == b.site.latitude && a.site.longitude == b.site.longitude &&
                 a.site.elevation == b.site.elevation && a.site.utc_offset == b.site.utc_offset && a.step == b.step && a.sun_offset == b.sun_offset &&
                 a.typical == b.typical && a.notes == b.notes && a.gaps.size() == b.gaps.size() && same_bits(a.time_utc, b.time_utc);
    for (const auto& column : detail::weather_columns) equal = equal && same_bits(a.*column.member, b.*column.member);
    for (std::size_t i = 0; equal && i < a.gaps.size(); ++i)
        equal = a.gaps[i].column == b.gaps[i].column && a.gaps[i].first == b.gaps[i].first && a.gaps[i].count == b.gaps[i].count && a.gaps[i].filled == b.gaps[i].filled;
    return equal;
}

}  // namespace

TEST_CASE("a packed weather comes back to the bit", "[weather_store]") {
    const Weather weather = sample();
    const auto back = detail::unpacked(detail::packed(weather, "name"), "name");
    REQUIRE(back);
    CHECK(same(weather, *back));
    const auto nothing = detail::unpacked(detail::packed(Weather{}, ""), "");
    REQUIRE(nothing);
    CHECK(same(Weather{}, *nothing));
}

TEST_CASE("bytes that are not whole, damaged or of another name are nothing", "[weather_store]") {
    Weather weather = sample();
    for (const auto& column : detail::weather_columns) (weather.*column.member).conservativeResize(40);
    weather.time_utc.conservativeResize(40);
    const std::string bytes = detail::packed(weather, "name");
    REQUIRE(detail::unpacked(bytes, "name"));
    CHECK_FALSE(detail::unpacked(bytes, "other"));
    CHECK_FALSE(detail::unpacked(bytes + "x", "name"));
    CHECK_FALSE(detail::unpacked("", "name"));
    for (std::size_t size = 0; size < bytes.size(); size += size < 100 ? 1 : 37) CHECK_FALSE(detail::unpacked(bytes.substr(0, size), "name"));
    RandomStream random(1, 1);
    for (int k = 0; k < 2000; ++k) {
        std::string damaged = bytes;
        damaged[random.below(bytes.size())] ^= static_cast<char>(1 + random.below(255));
        CHECK_FALSE(detail::unpacked(damaged, "name"));
    }
}

TEST_CASE("a file that was read is taken from the folder until it changes", "[weather_store]") {
    const Folder folder;
    const std::string file = folder.path + "_file.csv";
    write_text_file(file, weather_csv(sample()));
    ReadWeatherOptions options;
    const Weather plain = read_weather(file, options);
    CHECK(same(plain, read_weather(file, options, folder.path)));
    REQUIRE(folder.files() == 1);
    CHECK(same(plain, read_weather(file, options, folder.path)));
    CHECK(folder.files() == 1);
    // An entry that says something else shows that it is the entry that is read.
    Weather other = plain;
    other.notes.push_back("from the folder");
    const std::string name = detail::stamp_of_file(file) + " gaps report 6 hours auto";
    detail::WeatherStore(folder.path).keep(name, other);
    CHECK(same(other, read_weather(file, options, folder.path)));
    options.longest_fill = 3;  // another reading of the same file
    CHECK(same(plain, read_weather(file, options, folder.path)));
    CHECK(folder.files() == 2);
    options.longest_fill = 6;
    Weather changed = sample();
    changed.air_temperature[5] += 1;
    write_text_file(file, weather_csv(changed));
    CHECK(same(read_weather(file), read_weather(file, options, folder.path)));
    CHECK_FALSE(same(plain, read_weather(file, options, folder.path)));
    fs::remove(file);
}

TEST_CASE("a damaged entry or a folder that cannot be written changes no result", "[weather_store]") {
    const Folder folder;
    int made = 0;
    const auto make = [&] {
        ++made;
        return sample();
    };
    const detail::WeatherStore store(folder.path);
    const Weather wanted = sample();
    CHECK(same(wanted, store.get("a", make)));
    CHECK(same(wanted, store.get("a", make)));
    CHECK(made == 1);
    std::string bytes = read_text_file(folder.first());
    bytes[bytes.size() / 2] ^= 1;
    write_text_file(folder.first(), bytes);
    CHECK(same(wanted, store.get("a", make)));
    CHECK(made == 2);
    CHECK(same(wanted, store.get("a", make)));
    CHECK(made == 2);
    CHECK(same(wanted, detail::WeatherStore("/proc/no/such").get("a", make)));
    CHECK(made == 3);
    CHECK(same(wanted, detail::WeatherStore("").get("a", make)));
    CHECK(made == 4);
}

TEST_CASE("a session keeps typical years, by all figures of a station", "[weather_store]") {
    const Folder folder;
    Station station = find_station("725350");
    const auto clock_of = [](const Station& place, const std::shared_ptr<Session>& session) {
        ClockStore clocks(Catalogue::built_in(), session);
        ClockKey key;
        key.site = clocks.add_site(place, 0);
        key.absorptance = 0.4;
        key.emittance = 0.9;
        key.cover = "open";
        key.family = "polyurethane";
        const int number = clocks.add_key(key);
        clocks.evaluate(1, {});
        return clocks.clock(number).month;
    };
    const auto plain = clock_of(station, std::make_shared<Session>());
    const auto with_cache = [&] { return std::make_shared<Session>(Catalogue::built_in(), folder.path); };
    const auto first = clock_of(station, with_cache());
    CHECK(folder.files() == 1);
    const auto second = clock_of(station, with_cache());
    CHECK(folder.files() == 1);
    for (std::size_t m = 0; m < 12; ++m) {
        CHECK(plain[m].total() == first[m].total());
        CHECK(plain[m].total() == second[m].total());
    }
    station.months[6].air_temperature += 1;
    CHECK(clock_of(station, with_cache())[6].total() != plain[6].total());
    CHECK(folder.files() == 2);
}
