#pragma once
// From a stain back to the joint that let the water in.

#include <memory>
#include <string>
#include <vector>

#include "libseal/coach/drainage.hpp"
#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// Water, or its mark, at one place; or a place that was looked at and is dry.
struct Stain {
    std::string surface;        ///< that it is on or behind: "roof" inside is the ceiling, "underside" inside the floor
    std::string slide;          ///< "" for the shell
    Point at;                   ///< [m]
    bool inside = true;
    std::string kind = "stain"; ///< "stain", "soft_spot", "wet_reading", "dirt_run"
    bool wet = true;            ///< false: looked at, and dry
    std::vector<std::string> appears;  ///< when it does: "standing_rain", "driving_rain", "slide_out", "slide_in", "cooling_on",
                                       ///< "cold_morning", "washing", "after_winter", "always"; empty: not known
    std::vector<std::string> stays_dry;  ///< when it is known not to appear
    std::string note;
};

/// A joint put to the test with water.
struct LeakTest {
    std::string joint;
    bool wet = false;
};

/// Optional inputs of `trace_leak`; the names are the keywords in Python.
struct TraceOptions {
    std::vector<LeakTest> tests;  ///< done so far
    Catalogue catalogue = Catalogue::built_in();  ///< for `trace_leak`
    std::size_t most = 10;        ///< candidates to give, >= 1
};

/// One step of the way of the water.
struct WaterStep {
    WaterPlace place;
    std::string way;  ///< how it got here, "" at the joint
};

/// A joint that the water may have come through.
struct LeakCandidate {
    std::string joint;
    double probability = 0;  ///< that its water made at least one of the marks [-]
    double open = 0;         ///< that it has an open path, given all that was seen [-]
    double before = 0;       ///< the same before the marks were seen [-]
    std::vector<WaterStep> path;      ///< most probable way to the mark that it explains best
    std::vector<std::string> reasons; ///< in words
};

/// What else makes such marks.
struct OtherCause {
    std::string name;        ///< "condensation", "plumbing", "cooling_condensate", "unknown"
    double probability = 0;  ///< that it made at least one of the marks [-]
    std::string check;       ///< how to tell
};

/// A joint to be put to the test.
struct TestStep {
    std::string joint;
    double chance_wet = 0;   ///< [-]
    double minutes = 0;      ///< [min]
    std::string how;         ///< in words
};

/// Where the water may have come from, and how to find out.
struct LeakTrace {
    std::vector<LeakCandidate> candidates;  ///< likeliest first, ties by id
    std::vector<OtherCause> others;         ///< likeliest first
    std::vector<TestStep> tests;            ///< lowest first, so that the first wet joint is the answer
    double evidence = 0;                    ///< probability of all that was seen before it was seen [-]
};

/// The drainage of a coach with its ways found, for tracing more than once.
///
/// @threads  Trace from as many threads as you like.
class LeakTracer {
public:
    /// @throws ValueError  if the coach lacks a wall.
    explicit LeakTracer(const Coach& coach, const Catalogue& catalogue = Catalogue::built_in());
    /// See `trace_leak`; the catalogue is that of the tracer.
    LeakTrace trace(const std::vector<Stain>& stain, const std::vector<Finding>& findings, const Forecast& forecast,
                    const TraceOptions& options = {}) const;
    const Drainage& drainage() const;

private:
    struct Impl;
    std::shared_ptr<const Impl> impl_;
};

/// Where does the water come from?
///
/// Each run of each joint is a source, open with the probability of the forecast; water that gets in takes the ways of the
/// drainage graph, each link by chance; all marks, dry places and tests are weighed together, exactly.
///
/// @param stain     One mark, or all marks of the coach: at most 10 wet ones times circumstances.
/// @param findings  Of that coach; those that the forecast does not know yet are worked into it first.
/// @param forecast  Of that coach, or of a fleet with it.
/// @throws ValueError  naming stain and field; a place that no water reaches.
/// @source  Noisy-OR: Pearl 1988. Differential questions: common practice, no source; probabilities: judgement of this project.
/// @threads pure.
LeakTrace trace_leak(const Coach& coach, const std::vector<Stain>& stain, const std::vector<Finding>& findings,
                     const Forecast& forecast, const TraceOptions& options = {});
LeakTrace trace_leak(const Coach& coach, const Stain& stain, const std::vector<Finding>& findings, const Forecast& forecast,
                     const TraceOptions& options = {});

}  // namespace libseal
