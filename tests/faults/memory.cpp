// Memory that runs out: each call is made again and again, and its first, second, third ... request for memory is refused, once or from then on.
//
//     libseal_memory_faults FOLDER [--list] [--thorough] [SECTION...]       FOLDER: examples/data
//
// The call must throw std::bad_alloc or libseal::Error, or answer as if nothing had been; afterwards the same call on the same inputs (and the
// same session) gives the bits of a call that nobody disturbed, and no memory is left behind. Refused is the system's malloc, on which operator
// new and Eigen both rest. A line a section that passed; a section that failed is told on standard error, exit code 1.

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <filesystem>
#include <functional>
#include <new>

#include "libseal/calendar/owner_dates.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/calendar/year.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/work/holidays.hpp"
#include "libseal/work/shop.hpp"
#include "support/bit_print.hpp"
#include "support/fixed_job.hpp"

extern "C" {
void* __libc_malloc(std::size_t size);
void* __libc_calloc(std::size_t count, std::size_t size);
void* __libc_realloc(void* old, std::size_t size);
void* __libc_memalign(std::size_t alignment, std::size_t size);
void __libc_free(void* memory);
}

namespace {

std::atomic<long> pieces{0};      // of memory that are held
std::atomic<long> requests{0};    // since it was set to 0
std::atomic<long> refused_at{0};  // number of the request that is refused; 0: none
std::atomic<bool> refused_on{false};  // and all that follow
const char* section_name = "";

bool refused() {
    const long number = requests.fetch_add(1) + 1, first = refused_at.load();
    const bool now = first > 0 && (refused_on.load() ? number >= first : number == first);
    if (now) errno = ENOMEM;
    return now;
}

void* counted(void* memory) {
    if (memory) pieces.fetch_add(1);
    return memory;
}

}  // namespace

extern "C" {
void* malloc(std::size_t size) noexcept { return refused() ? nullptr : counted(__libc_malloc(size)); }
void* calloc(std::size_t count, std::size_t size) noexcept { return refused() ? nullptr : counted(__libc_calloc(count, size)); }
void* memalign(std::size_t alignment, std::size_t size) noexcept { return refused() ? nullptr : counted(__libc_memalign(alignment, size)); }
void* aligned_alloc(std::size_t alignment, std::size_t size) noexcept { return memalign(alignment, size); }
int posix_memalign(void** memory, std::size_t alignment, std::size_t size) noexcept {
    *memory = memalign(alignment, size);
    return *memory ? 0 : ENOMEM;
}
void* realloc(void* old, std::size_t size) noexcept {
    if (!old) return malloc(size);
    if (size > 0 && refused()) return nullptr;
    void* memory = __libc_realloc(old, size);
    if (!memory && size == 0) pieces.fetch_sub(1);
    return memory;
}
void free(void* memory) noexcept {
    if (memory) pieces.fetch_sub(1);
    __libc_free(memory);
}
}

namespace {

using namespace libseal;
using namespace libseal_test;

/// A call, given a session that is new for each fault.
using Call = std::function<std::uint64_t(const std::shared_ptr<Session>&)>;
struct Section {
    std::string name;
    Call call;
    bool threaded = false;  ///< what is held by threads that have ended is not counted to the piece
};

/// Numbers of requests to refuse: the first ones, then ever fewer, then the last ones.
std::vector<long> chosen(long all, bool thorough) {
    const long dense = thorough ? 400 : 25;
    const double growth = thorough ? 1.05 : 1.6;
    std::vector<long> numbers;
    for (long n = 1; n <= all; n = n < dense ? n + 1 : std::max(n + 1, static_cast<long>(static_cast<double>(n) * growth))) numbers.push_back(n);
    for (long n = std::max(1L, all - (thorough ? 20 : 3)); n <= all; ++n) numbers.push_back(n);
    std::sort(numbers.begin(), numbers.end());
    numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
    return numbers;
}

class Trial {
public:
    Trial(const Section& section, bool thorough) : section_(section), thorough_(thorough) {}

    /// @return  Whether all went as it should.
    bool run() {
        section_name = section_.name.c_str();
        wanted_ = section_.call(std::make_shared<Session>());
        if (section_.call(std::make_shared<Session>()) != wanted_) return fail(0, "two calls that nobody disturbed differ");
        requests = 0;
        section_.call(std::make_shared<Session>());
        const long all = requests;
        for (const long number : chosen(all, thorough_))
            for (const bool on : {false, true})
                if (!bears(number, on)) return false;
        if (refusals_ < 3) return fail(0, "hardly a request was refused");
        std::printf("%s: %ld requests, %ld times refused, %ld errors\n", section_.name.c_str(), all, refusals_, errors_);
        std::fflush(stdout);
        return true;
    }

private:
    bool fail(long number, const char* what) {
        std::fprintf(stderr, "%s, request %ld: %s\n", section_.name.c_str(), number, what);
        return false;
    }

    bool bears(long number, bool on) {
        const long before = pieces;
        if (!faulted(number, on)) return false;
        const long left = pieces - before;
        if (!section_.threaded && left != 0) {
            std::fprintf(stderr, "%ld pieces are left\n", left);
            return fail(number, on ? "refused on: memory is left behind" : "memory is left behind");
        }
        return true;
    }

    bool faulted(long number, bool on) {
        const auto session = std::make_shared<Session>();
        bool answered = false, known = true;
        std::uint64_t got = 0;
        refused_on = on, requests = 0, refused_at = number;
        try {
            got = section_.call(session);
            answered = true;
        } catch (const std::bad_alloc&) {
        } catch (const Error&) {
        } catch (...) {
            known = false;
        }
        refused_at = 0;
        if (requests >= number) ++refusals_;
        if (!known) return fail(number, "neither std::bad_alloc nor libseal::Error");
        if (answered && got != wanted_) return fail(number, "an answer, but not that of a call that nobody disturbed");
        if (!answered) ++errors_;
        if (section_.call(session) != wanted_) return fail(number, "the next call differs");
        return true;
    }

    const Section& section_;
    bool thorough_;
    std::uint64_t wanted_ = 0;
    long refusals_ = 0, errors_ = 0;
};

/// A folder that goes when the program ends.
struct Folder {
    std::filesystem::path path = std::filesystem::temp_directory_path() / ("libseal_memory_" + std::to_string(::getpid()));
    Folder() { std::filesystem::create_directories(path); }
    Folder(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(path); }
    std::string file(const std::string& name, const std::string& text) const {
        write_text_file((path / name).string(), text);
        return (path / name).string();
    }
};

std::vector<Section> readers(const JobInputs& in, const Folder& folder) {
    const std::string data = in.folder;
    const std::string hours = weather_csv(typical_year(in.layers.stations[0]));
    const std::string weather = folder.file("weather.csv", hours.substr(0, hours.rfind('\n', 6000) + 1));
    const std::string owners = folder.file("owners.csv", "coach,from,to,kind,reason\nt1,2027-06-01,2027-07-15,trip,away\n");
    const std::string rules = folder.file("holidays.json", R"({"schema": "libseal/holidays/1", "name": "one", "rules": [{"name": "May", "month": 5, "weekday": "monday", "nth": -1}]})");
    const std::string year = folder.file("year.json", year_calendar(in.fleet, 2027, in.shop, in.as_of).json_text());
    const std::string slots = folder.file("schedule.json", schedule_json(schedule(in.bookings, in.shop, make_date(2027, 3, 1)), in.bookings, in.shop));
    const std::string values = folder.file("values.json", R"({"schema": "libseal/catalogue/1", "values": {"model/sd_joint": {"value": 0.2, "unit": "-", "source": "own records", "mark": "fitted"}}})");
    std::vector<Section> all;
    const auto add = [&](const char* name, auto read) { all.push_back({std::string("read_") + name, [read](const auto&) { return read(); }}); };
    add("coach", [data] { return BitPrint().add(coach_json(read_coach(data + "/van.json"))).value(); });
    add("fleet_csv", [data] { return BitPrint().add(fleet_json(read_fleet(data + "/history_fleet.csv"))).value(); });
    add("findings", [data] { return BitPrint().add(findings_json(read_findings(data + "/findings.csv"))).value(); });
    add("work_done", [data] { return BitPrint().add(read_work_done(data + "/work_done.csv").size()).value(); });
    add("shop", [data] { return BitPrint().add(read_shop(data + "/shop.json").name).value(); });
    add("weather", [weather] { return BitPrint().add(weather_csv(read_weather(weather))).value(); });
    add("owner_dates", [owners] { return BitPrint().add(read_owner_dates(owners).at(0).coach).value(); });
    add("holidays", [rules] { return BitPrint().add(read_holiday_rules(rules).rules.size()).value(); });
    add("calendar", [year] { return BitPrint().add(read_calendar(year).ics_text()).value(); });
    add("schedule", [slots, &in] { return BitPrint().add(schedule_json(read_schedule(slots, in.bookings, in.shop), in.bookings, in.shop)).value(); });
    add("catalogue", [values] { return BitPrint().add(read_catalogue(values).number("model/sd_joint")).value(); });
    return all;
}

std::vector<Section> sections(const JobInputs& in, const Folder& folder) {
    std::vector<Section> all = readers(in, folder);
    for (const JobPart& part : job_parts()) {
        if (part.name == "read_files") continue;
        all.push_back({part.name, [&in, part](const auto& session) { return part.run(in, {1, {}, session}); }});
        if (part.name == "forecast" || part.name == "layers" || part.name == "life_fit")
            all.push_back({part.name + "_threads", [&in, part](const auto& session) { return part.run(in, {3, {}, session}); }, true});
    }
    const std::string path = folder.file("old.ics", "old");
    CalendarOptions options;
    options.threads = 1;
    const auto calendar = std::make_shared<Calendar>(year_calendar(in.fleet, 2027, in.shop, in.as_of, options));
    const auto whole = std::make_shared<std::string>(calendar->ics_text());
    all.push_back({"write_calendar", [path, calendar, whole](const auto&) {
                       struct Check {  // also while an exception passes: the old file or the new one, whole
                           std::string path;
                           const std::string& whole;
                           ~Check() {
                               refused_at = 0;
                               const std::string now = read_text_file(path);
                               if (now != "old" && now != whole) std::fprintf(stderr, "write_calendar: half a file\n"), std::_Exit(1);
                           }
                       } check{path, *whole};
                       calendar->write_ics(path);
                       const std::uint64_t print = BitPrint().add(read_text_file(path)).value();
                       return print;
                   }});
    return all;
}

[[noreturn]] void ended() {
    const char* words = ": the program was ended by what was thrown\n";
    const auto told = ::write(2, section_name, std::strlen(section_name)) + ::write(2, words, std::strlen(words));
    std::_Exit(told > 0 ? 1 : 2);
}

}  // namespace

int main(int argc, char** argv) {
    std::set_terminate(ended);
    if (argc < 2) return std::fprintf(stderr, "libseal_memory_faults FOLDER [--list] [--thorough] [SECTION...]\n"), 2;
    bool list = false, thorough = false;
    std::vector<std::string> wanted;
    for (int i = 2; i < argc; ++i) {
        if (std::strcmp(argv[i], "--list") == 0) list = true;
        else if (std::strcmp(argv[i], "--thorough") == 0) thorough = true;
        else wanted.emplace_back(argv[i]);
    }
    const Folder folder;
    const JobInputs inputs = job_inputs(argv[1], {}, 1, 6);
    int failed = 0, run = 0;
    for (const Section& section : sections(inputs, folder)) {
        if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), section.name) == wanted.end()) continue;
        ++run;
        if (list) std::printf("%s\n", section.name.c_str());
        else if (!Trial(section, thorough).run()) ++failed;
    }
    return failed == 0 && run > 0 ? 0 : 1;
}
