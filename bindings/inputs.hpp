#pragma once
// Optional inputs that several calls take.

#include <map>
#include <string>

#include "bind.hpp"
#include "libseal/climate/place_weather.hpp"

namespace libseal::python {

/// None, the weather of all places (a Weather or a list of them), or a dict of such by place.
std::map<std::string, PlaceWeather> weather_by_place(const py::object& weather);

}  // namespace libseal::python
