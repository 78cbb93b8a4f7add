#pragma once
// Makespans that no schedule can beat.

#include "schedule/project_model.hpp"

namespace libseal::detail {

/// Longest way, and work of each resource divided by its capacity, with the heads and tails that no user of
/// it can avoid.
int simple_bound(const ProjectModel& model);

/// A bound from `bound` to `known`, the length of a schedule at hand: one above the greatest length that is
/// refuted.
///
/// A length is refuted when tasks' time windows run empty under precedence, pairs that exclude each other,
/// the parts of tasks that are certain in time, and the work that must fall into an interval.
/// @source  Klein & Scholl 1999, destructive improvement; Baptiste, Le Pape & Nuijten 1999, energetic
/// reasoning.
/// @param intervals  use the last of these, by far the dearest.
int destructive_bound(const ProjectModel& model, int bound, int known, bool intervals);

}  // namespace libseal::detail
