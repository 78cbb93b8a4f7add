#pragma once
// stub until the real one joins
#include <algorithm>
#include <string>
#include <vector>
#include "libseal/climate/weather.hpp"
#include "libseal/schedule/time.hpp"
#include "libseal/catalogue/catalogue.hpp"
namespace libseal {
struct Gate { int dummy = 0; };
class GateWeather { public: explicit GateWeather(const std::vector<Weather>&) {} };
inline Gate gate_for(const std::string&, const std::string&, const Catalogue&) { return {}; }
inline std::vector<TimeSpan> open_spans(const Gate&, const GateWeather&, const Bay&, Minute from, Minute to) { return {{from, to}}; }
inline bool gate_open(const Gate&, const GateWeather&, const Bay&, Minute) { return true; }
inline double cure_rate_at(const GateWeather&, Minute, double, const Catalogue&) { return 1; }
class CureClock { public: CureClock(const GateWeather&, const Bay&, double, const Catalogue&, Minute, Minute) {} Minute ready(Minute f, double lag) const { return f + static_cast<Minute>(lag); } };
class WorkingClock { public: WorkingClock(const Shop&, Minute, Minute) {} Minute ready(Minute f, double lag) const { return f + static_cast<Minute>(lag); } };
}
