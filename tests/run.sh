#!/usr/bin/env bash
# Installs what is missing, builds, runs every test, and closes with "N passed, N failed, N skipped".
set -euo pipefail
cd "$(dirname "$0")/.."
source .ci/install.sh
source tests/support/pythons.sh

usage() {
    cat <<'TEXT'
bash tests/run.sh [--slow=NAME]... [--help]

Without an option: builds with g++ (Release, warnings as errors) in build/tests, runs the C++ tests, the Python
tests, the self-checks and the consumer projects. Needs Debian 12 and, if packages are missing, root or sudo.
Outside data is read from $LIBSEAL_DATA, else ../shared/data; tests that miss it say so and count as skipped.

  --slow=clang   the C++ tests built by clang++-14 with warnings as errors, and some Python tests on its module
  --slow=sdist   a wheel built from the source package alone runs the demo in an environment of its own
  --slow=debian-python  the Python tests on Debian's own pybind11, NumPy and Python
  --slow=pythons  the Python tests on a wheel for every Python from 3.10 on that is found, on the path or in pyenv
  --slow=asan    the C++ tests under the address and undefined-behaviour sanitizers
  --slow=tsan    the C++ tests under the thread sanitizer
  --slow=hardened  the C++ tests with the checked standard library, fortified and with guarded stacks
  --slow=valgrind  one run from files to calendars under valgrind: no wrong read, no leak
  --slow=catch3  the C++ tests with Catch2 3 instead of 2
  --slow=fuzz    each fuzz target for a minute (LIBSEAL_FUZZ_SECONDS)
  --slow=fuzz-readers-1, ...  the same in slices, ten minutes a target, each slice within an hour; tests/fuzz/slices.sh lists them
  --slow=limits  the limits of the readers that take gigabytes to reach
  --slow=tidy    clang-tidy over libseal/src
  --slow=leaks   five times as many simulated leaks as in the ordinary run (LIBSEAL_LEAK_CASES a layout)
  --slow=projects  the project solver on whole sets of instances at three efforts (LIBSEAL_PROJECT_SETS=all)
  --slow=coverage  how often 95 % limits of fitted lives hold the truth, in thousands of simulated sets
  --slow=lines   which lines and branches of libseal/ the tests reach: at least 95 and 85 %; what they do not is listed in build/lines/missed.txt
  --slow=instructions  instructions of the hot loops, counted by valgrind, against tests/instructions/limits.json
  --slow=mutation-1, ... -6  small faults in the code, 25 a slice, each built and tested: 90 % must be noticed; within an hour, run again it goes on
  --slow=faults  memory refused at four hundred places and more of each call, where the ordinary run takes some seventy
  --slow=determinism  the fixed job built without optimisation, with -O2, with -O3 and by clang++-14: the same bits where that is promised
  --slow=soak    mixed calls for an hour (LIBSEAL_SOAK_MINUTES) with bounded memory and unchanging answers
  --slow=fleets  a thousand small fleets one after another with bounded memory
  --slow=fresh   this script, examples/run.sh and the pages of the first hour on a bare Debian 12 in a folder (needs root)

An option runs that alone. Every run ends with the same closing line and a non-zero exit code on any failure.
TEXT
}

slow=()
mutation_slices=6
fuzz_slices=$(bash tests/fuzz/slices.sh)
for argument in "$@"; do
    case $argument in
        --slow=clang | --slow=sdist | --slow=debian-python | --slow=pythons | --slow=asan | --slow=tsan | --slow=hardened | --slow=valgrind | --slow=catch3 | --slow=fuzz | --slow=limits | --slow=tidy | --slow=leaks | --slow=projects | --slow=coverage | --slow=instructions | --slow=fresh | --slow=faults | --slow=determinism | --slow=soak | --slow=fleets | --slow=lines)
            slow+=("${argument#--slow=}") ;;
        --slow=fuzz-*)
            grep -q "^${argument#--slow=} " <<<"$fuzz_slices" || die "no slice ${argument#--slow=}; there are: $(cut -d' ' -f1 <<<"$fuzz_slices" | tr '\n' ' ')"
            slow+=("${argument#--slow=}") ;;
        --slow=mutation-[1-9])
            [ "${argument#--slow=mutation-}" -le "$mutation_slices" ] || die "no slice ${argument#--slow=}; there are $mutation_slices"
            slow+=("${argument#--slow=}") ;;
        --help | -h) usage; exit 0 ;;
        *) usage >&2; die "unknown option $argument" ;;
    esac
done

results=$PWD/build/results
rm -rf "$results" && mkdir -p "$results"

# Whatever happens, the run ends with the count. A step that died before its tests is one failure.
finish() {
    local code=$? tally=python3
    trap - EXIT
    [ -x .venv/bin/python ] && tally=.venv/bin/python
    if [ "$code" != 0 ]; then echo "stopped with exit code $code" >"$results/stopped.broken"; fi
    if "$tally" tests/support/tally.py "$results"; then exit 0; else exit 1; fi
}
trap finish EXIT

# configure FOLDER OPTION...: afresh if the folder belongs to another checkout.
configure() {
    local folder=$1
    shift
    grep -qx "CMAKE_HOME_DIRECTORY:INTERNAL=$PWD" "$folder/CMakeCache.txt" 2>/dev/null || rm -rf "$folder"
    "$CMAKE" -S . -B "$folder" -G Ninja "$@" >"$results/configure.txt" || { cat "$results/configure.txt"; return 1; }
}

# Goes on after an error, so that one run shows all of them.
build() { "$CMAKE" --build "$1" --parallel "$(nproc)" -- -k 0; }

# cpp_tests NAME COMMAND...: runs a Catch2 program; its log is counted at the end.
cpp_tests() {
    local name=$1
    shift
    say "C++ tests ($name)"
    "$@" 2>&1 | tee "$results/$name.catch" || true
    if [ "${PIPESTATUS[0]}" != 0 ]; then echo "the program ended with an error" >>"$results/$name.catch"; fi
}

# cpp_tests_by_file NAME PROGRAM: each test file in a process of its own, so that a finding ends that one alone.
cpp_tests_by_file() {
    local name=$1 program=$2 file log
    say "C++ tests ($name)"
    for file in $("$program" "~[.]" -# --list-tags | sed -n 's/.*\[#\(.*\)\].*/\1/p'); do
        log=$results/$name-$file.catch
        if "$program" -# "[#$file]~[.]" >"$log" 2>&1; then continue; fi
        cat "$log"
        echo "the program ended with an error" >>"$log"
    done
}

# Fuzz targets as plain programs over the files of their corpus.
replay() {
    say "fuzz targets over their corpus"
    local target name
    for target in "$1"/fuzz/fuzz_*; do
        [ -f "$target" ] && [ -x "$target" ] || continue
        name=${target##*/}
        if "$target" "tests/fuzz/corpus/${name#fuzz_}"; then echo "$name" >>"$results/fuzz.passed"
        else echo "$name" >>"$results/fuzz.failed"; fi
    done
}

# memory_faults FOLDER [--thorough]: a section of calls after another, each in a process of its own.
memory_faults() {
    say "memory that runs out"
    local program=$1/libseal_memory_faults name
    shift
    for name in $("$program" examples/data --list); do
        if "$program" examples/data "$@" "$name"; then echo "$name" >>"$results/memory.passed"
        else echo "$name" >>"$results/memory.failed"; fi
    done
    [ -f "$results/memory.passed" ] || echo "no section of memory faults passed" >"$results/memory.broken"
}

python_tests() {
    say "Python tests, self-checks, consumer projects"
    need_packages chromium poppler-utils  # the pages are opened and printed
    local code=0
    PYTHONPATH=$PWD/build/tests/python LIBSEAL_BUILD=$PWD/build/tests CMAKE=$CMAKE \
        .venv/bin/python -m pytest --junitxml="$results/pytest.xml" || code=$?
    # 1: tests failed, which the count says. Anything else means that pytest itself did not get through.
    if [ "$code" -gt 1 ]; then echo "pytest ended with exit code $code" >"$results/pytest.broken"; fi
}

need_tools() {
    need_compiler
    need_packages catch2 ccache libical-dev librapidcheck-dev
    need_venv tests/requirements.txt examples/requirements.txt docs/requirements.txt
    need_cmake
    # Consumers build the same sources again with the same flags: the cache makes that cheap.
    export CCACHE_DIR=$PWD/build/ccache CCACHE_MAXSIZE=1G CMAKE_CXX_COMPILER_LAUNCHER=ccache
    export CCACHE_SLOPPINESS=pch_defines,time_macros
}

configure_standard() {
    need_tools
    say "building"
    local python=ON
    [ -f bindings/CMakeLists.txt ] || { python=OFF; say "no Python module in this tree yet"; }
    configure build/tests -DCMAKE_BUILD_TYPE=Release -DLIBSEAL_WARNINGS_AS_ERRORS=ON -DLIBSEAL_PYTHON=$python \
        -DPython_EXECUTABLE="$PWD/.venv/bin/python" -DLIBSEAL_HEADER_CHECK=ON
}

build_standard() {
    configure_standard
    build build/tests
}

standard() {
    build_standard
    cpp_tests cpp build/tests/tests/libseal_tests
    replay build/tests/tests
    memory_faults build/tests/tests
    python_tests
}

slow_clang() {
    need_tools
    need_packages clang-14
    configure build/clang -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_COMPILER=clang++-14 -DLIBSEAL_WARNINGS_AS_ERRORS=ON \
        -DLIBSEAL_PYTHON=ON -DPython_EXECUTABLE="$PWD/.venv/bin/python"
    build build/clang
    cpp_tests clang build/clang/tests/libseal_tests
    PYTHONPATH=$PWD/build/clang/python some_tests clang-python .venv/bin/python tests/python/{arrays,errors,forecast,life,calendar,hostile}_test.py
}

# By clang, which takes a quarter of g++'s time for it; with the assertions of Eigen and of the standard library.
sanitized() {  # NAME VALUE
    need_tools
    need_packages clang-14 libclang-rt-14-dev
    configure "build/$1" -DCMAKE_BUILD_TYPE=RelWithDebInfo "-DCMAKE_CXX_FLAGS_RELWITHDEBINFO=-O1 -gline-tables-only -D_GLIBCXX_ASSERTIONS" \
        -DCMAKE_CXX_COMPILER=clang++-14 -DLIBSEAL_SANITIZE="$2"
    build "build/$1"
    cpp_tests_by_file "$1" "build/$1/tests/libseal_tests"
    replay "build/$1/tests"
}

slow_asan() {
    export ASAN_OPTIONS=detect_stack_use_after_return=1 UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
    sanitized asan address,undefined
}

slow_tsan() {
    export TSAN_OPTIONS=halt_on_error=1
    sanitized tsan thread
}

slow_hardened() {
    need_tools
    say "building"
    "$CMAKE" --preset hardened >"$results/configure.txt" || { cat "$results/configure.txt"; return 1; }
    build build/hardened
    cpp_tests hardened build/hardened/tests/libseal_tests
    replay build/hardened/tests
}

slow_valgrind() {
    configure_standard
    need_packages valgrind
    "$CMAKE" --build build/tests --parallel "$(nproc)" --target libseal_bits
    say "the fixed job under valgrind"
    local set  # each set of instructions that this processor has and valgrind knows
    for set in portable avx2; do
        if LIBSEAL_INSTRUCTION_SET=$set valgrind --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite,indirect,possible \
            build/tests/tests/libseal_bits examples/data >"$results/valgrind_$set.txt" 2>&1; then echo "$set" >>"$results/valgrind.passed"
        else
            tail -n 60 "$results/valgrind_$set.txt"
            echo "$set" >>"$results/valgrind.failed"
        fi
    done
}

# Debian 12 has Catch2 2. Version 3 comes from its backports, unpacked into a folder: the system stays as it is.
slow_catch3() {
    need_tools
    local folder=$PWD/build/catch3_package
    if [ ! -d "$folder/usr" ]; then
        bash tests/support/fetch_backport.sh libcatch2-dev "$folder"
    fi
    configure build/catch3 -DCMAKE_BUILD_TYPE=Release -DLIBSEAL_WARNINGS_AS_ERRORS=ON \
        -DCatch2_DIR="$(dirname "$(find "$folder" -name Catch2Config.cmake)")"
    build build/catch3
    cpp_tests catch3 build/catch3/tests/libseal_tests
}

# fuzz SECONDS [TARGET...]
fuzz() {
    local seconds=$1
    shift
    need_tools
    need_packages clang-14 libclang-rt-14-dev
    configure build/fuzz -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_COMPILER=clang++-14 -DLIBSEAL_FUZZ=ON
    build build/fuzz
    bash tests/fuzz/run.sh build/fuzz/tests "${LIBSEAL_FUZZ_SECONDS:-$seconds}" "$results" "$@"
}

slow_fuzz() { fuzz 60; }

# shellcheck disable=SC2046  # a list of words
slow_fuzz_slice() { fuzz 600 $(bash tests/fuzz/slices.sh "$1"); }

slow_tidy() {
    need_tools
    need_packages clang-14 clang-tidy-14
    configure build/tidy -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_COMPILER=clang++-14
    local file
    for file in $(git ls-files 'libseal/src/*.cpp'); do
        if clang-tidy-14 --quiet -p build/tidy --warnings-as-errors='*' "$file" >"$results/tidy.txt" 2>&1; then
            echo "$file" >>"$results/tidy.passed"
        else
            cat "$results/tidy.txt"
            echo "$file" >>"$results/tidy.failed"
        fi
    done
}

slow_leaks() {
    build_standard
    LIBSEAL_LEAK_CASES=${LIBSEAL_LEAK_CASES:-300} build/tests/tests/libseal_tests "simulated leaks*" &&
        echo leaks >"$results/leaks.passed" || echo leaks >"$results/leaks.failed"
}

slow_projects() {
    build_standard
    LIBSEAL_PROJECT_SETS=all build/tests/tests/libseal_tests "instances*" &&
        echo projects >"$results/projects.passed" || echo projects >"$results/projects.failed"
}

slow_limits() {
    build_standard
    cpp_tests limits build/tests/tests/libseal_tests "[.limits]"
}

slow_coverage() {
    build_standard
    cpp_tests coverage build/tests/tests/libseal_tests "[.coverage]"
}

# Counters are kept exact by all threads. Branches that only an exception takes are not counted.
slow_lines() {
    need_tools
    configure build/lines -DCMAKE_BUILD_TYPE=None -DCMAKE_CXX_FLAGS=-O1 -DLIBSEAL_COVERAGE=ON -DLIBSEAL_PYTHON=ON \
        -DPython_EXECUTABLE="$PWD/.venv/bin/python"
    build build/lines
    find build/lines -name '*.gcda' -delete
    # Tests that kill a process may cut its counts; what the next one says of that is not the output that tests look at.
    export GCOV_ERROR_FILE=$results/counts_cut.txt
    cpp_tests lines build/lines/tests/libseal_tests
    replay build/lines/tests
    PYTHONPATH=$PWD/build/lines/python LIBSEAL_BUILD=$PWD/build/lines .venv/bin/python -m pytest tests/python --junitxml="$results/lines.xml" || true
    say "lines and branches that were reached"
    if .venv/bin/python tests/support/lines.py build/lines; then echo lines >>"$results/reached.passed"
    else echo lines >>"$results/reached.failed"; fi
}

slow_instructions() {
    configure_standard
    (need_packages valgrind) || say "going on without valgrind"
    "$CMAKE" --build build/tests --parallel "$(nproc)" --target libseal_instructions
    say "instructions of the hot loops"
    local code=0
    .venv/bin/python tests/instructions/compare.py --junit "$results/instructions.xml" || code=$?
    # A section above its limit is in the file. Without the file the counting itself broke.
    [ -f "$results/instructions.xml" ] || echo "compare.py ended with exit code $code" >"$results/instructions.broken"
}

# slow_mutation NUMBER
slow_mutation() {
    need_tools
    export LIBSEAL_DATA=${LIBSEAL_DATA:-$PWD/../shared/data}
    say "small faults, slice $1 of $mutation_slices"
    local code=0
    .venv/bin/python tests/mutation/mutate.py --sample 150 --seed 1 --slice "$1/$mutation_slices" --minutes 50 || code=$?
    case $code in
        0) echo "mutation-$1" >>"$results/mutation.passed" ;;
        3) echo "mutation-$1: time was up; run it again, it goes on" >"$results/mutation-$1.broken" ;;
        *) echo "mutation-$1" >>"$results/mutation.failed" ;;
    esac
}

slow_faults() {
    build_standard
    memory_faults build/tests/tests --thorough
}

# Builds of the library and of one program; what differs from the Release build of g++ is told and fails.
slow_determinism() {
    need_tools
    need_packages clang-14
    local name wanted=$results/bits_release.txt
    for name in release debug o2 clang; do
        local options=(-DCMAKE_BUILD_TYPE=Release)
        case $name in
            debug) options=(-DCMAKE_BUILD_TYPE=Debug) ;;
            o2) options+=("-DCMAKE_CXX_FLAGS_RELEASE=-O2 -DNDEBUG") ;;
            clang) options+=(-DCMAKE_CXX_COMPILER=clang++-14) ;;
        esac
        say "bits of the fixed job ($name)"
        configure "build/determinism-$name" "${options[@]}"
        "$CMAKE" --build "build/determinism-$name" --parallel "$(nproc)" --target libseal_bits
        if "build/determinism-$name/tests/libseal_bits" examples/data >"$results/bits_$name.txt" && diff "$wanted" "$results/bits_$name.txt"; then
            echo "$name" >>"$results/determinism.passed"
        else
            echo "$name" >>"$results/determinism.failed"
        fi
    done
}

# soak ARGUMENT...: of tests/load/soak.py
soak() {
    build_standard
    say "load: $*"
    if PYTHONPATH=$PWD/build/tests/python .venv/bin/python tests/load/soak.py "$@"; then echo "$*" >>"$results/load.passed"
    else echo "$*" >>"$results/load.failed"; fi
}

slow_soak() { soak --seconds "$((60 * ${LIBSEAL_SOAK_MINUTES:-60}))"; }

slow_fleets() { soak --fleets 1000; }

slow_fresh() { bash tests/fresh.sh "$results"; }

if [ ${#slow[@]} = 0 ]; then standard; fi
for name in "${slow[@]}"; do
    case $name in
        fuzz-*) slow_fuzz_slice "$name" ;;
        mutation-*) slow_mutation "${name#mutation-}" ;;
        *) "slow_$name" ;;
    esac
done
