# Every public header must compile alone, and again when it is included twice.
# One small file per header; building the target is the test.
file(GLOB_RECURSE public_headers CONFIGURE_DEPENDS
    RELATIVE ${PROJECT_SOURCE_DIR}/libseal/include ${PROJECT_SOURCE_DIR}/libseal/include/libseal/*.hpp)
set(check_sources "")
foreach(header IN LISTS public_headers)
    string(REGEX REPLACE "\\.hpp$" ".cpp" check_source "${CMAKE_CURRENT_BINARY_DIR}/header_check/${header}")
    file(CONFIGURE OUTPUT ${check_source} CONTENT "#include \"${header}\"\n#include \"${header}\"\n")
    list(APPEND check_sources ${check_source})
endforeach()
add_library(header_check OBJECT ${check_sources})
target_link_libraries(header_check PRIVATE libseal_headers libseal_build_flags)
target_compile_options(header_check PRIVATE -O0 -g0)
