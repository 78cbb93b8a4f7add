# libseal_build_flags: warnings and sanitizers of our own targets; users of the library do not get them.
add_library(libseal_build_flags INTERFACE)

if(LIBSEAL_WARNINGS_AS_ERRORS)
    target_compile_options(libseal_build_flags INTERFACE
        -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -Werror)
else()
    target_compile_options(libseal_build_flags INTERFACE -Wall -Wextra)
endif()
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    target_compile_options(libseal_build_flags INTERFACE -Wno-restrict)  # wrong alarms of g++ 12 on std::string
    if(CMAKE_CXX_COMPILER_VERSION VERSION_GREATER_EQUAL 13)
        # Wrong alarms on references into a coach that was found by a word made for the call.
        target_compile_options(libseal_build_flags INTERFACE -Wno-dangling-reference)
    endif()
endif()

set(sanitize "${LIBSEAL_SANITIZE}")
if(LIBSEAL_FUZZ)
    if(NOT CMAKE_CXX_COMPILER_ID MATCHES "Clang")
        message(FATAL_ERROR "LIBSEAL_FUZZ needs clang: add -DCMAKE_CXX_COMPILER=clang++")
    endif()
    set(sanitize "fuzzer-no-link,address,undefined")
endif()
if(sanitize)
    # The first finding of undefined behaviour ends the program: a test run must not go on green.
    target_compile_options(libseal_build_flags INTERFACE
        -fsanitize=${sanitize} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(libseal_build_flags INTERFACE -fsanitize=${sanitize})
endif()
