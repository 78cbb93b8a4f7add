#pragma once
// Optional inputs that several calls take.

#include <map>
#include <string>

#include "bind.hpp"
#include "libseal/climate/weather.hpp"

namespace libseal::python {

/// None, one Weather for all places, or a dict of Weather by place.
std::map<std::string, Weather> weather_by_place(const py::object& weather);

}  // namespace libseal::python
