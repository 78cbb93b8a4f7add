#pragma once
// Everything, in the order in which the data flows. Programs that care about build time include less.

#include "libseal/version.hpp"

#include "libseal/climate/read.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/climate/sun.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/climate/ultraviolet.hpp"

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/coach/drainage.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"

#include "libseal/exposure/surface_temperature.hpp"

#include "libseal/ageing/dose.hpp"
#include "libseal/ageing/joint_width.hpp"
#include "libseal/ageing/laws.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/ageing/range_moments.hpp"
#include "libseal/ageing/rate_sweep.hpp"

#include "libseal/survey/meaning.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/survey/segments.hpp"
#include "libseal/survey/urgency.hpp"

#include "libseal/life/detection.hpp"
#include "libseal/life/fit.hpp"
#include "libseal/life/lognormal.hpp"
#include "libseal/life/quadrature.hpp"
#include "libseal/life/update.hpp"
#include "libseal/life/weibull.hpp"

#include "libseal/forecast/ahead.hpp"
#include "libseal/forecast/calibration.hpp"
#include "libseal/forecast/evidence.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/forecast/next_look.hpp"

#include "libseal/leak/network.hpp"
#include "libseal/leak/trace.hpp"

#include "libseal/work/critical_path.hpp"
#include "libseal/work/order_export.hpp"
#include "libseal/work/plan.hpp"
#include "libseal/work/shop.hpp"

#include "libseal/schedule/explain.hpp"
#include "libseal/schedule/gates.hpp"
#include "libseal/schedule/schedule.hpp"
#include "libseal/schedule/verify.hpp"

#include "libseal/calendar/check.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/owner_dates.hpp"
#include "libseal/calendar/tables.hpp"
#include "libseal/calendar/year.hpp"
