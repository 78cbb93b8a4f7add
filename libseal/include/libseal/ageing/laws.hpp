#pragma once
// All laws of ageing in one include. Each is a pure function of its arguments; docs/laws.md says where each is tested.

#include "libseal/ageing/bond_laws.hpp"
#include "libseal/ageing/profile_laws.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/ageing/service_life.hpp"
#include "libseal/ageing/surface_laws.hpp"
