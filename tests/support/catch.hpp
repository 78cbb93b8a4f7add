#pragma once
// One include for both generations of Catch2.

#if LIBSEAL_CATCH2_GENERATION >= 3
#include <catch2/catch_approx.hpp>
#include <catch2/catch_test_macros.hpp>
#include <catch2/generators/catch_generators.hpp>
#include <catch2/generators/catch_generators_range.hpp>
#include <catch2/matchers/catch_matchers.hpp>
#include <catch2/matchers/catch_matchers_string.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
#endif
