#!/usr/bin/env bash
# Installs what is missing, builds, runs the demo in C++ and in Python, and says where its results are.
set -euo pipefail
cd "$(dirname "$0")/.."
source .ci/install.sh

case ${1:-} in
    "") ;;
    --help | -h)
        echo "bash examples/run.sh: builds in build/examples, runs examples/demo.cpp and demo.py, results in examples/output"
        exit 0 ;;
    *) die "unknown option $1" ;;
esac
for file in examples/demo.cpp examples/demo.py; do
    [ -f "$file" ] || die "$file does not exist yet: there is no demo to run"
done

need_compiler
need_venv examples/requirements.txt
need_cmake

say "building"
# What tests/run.sh has built is used again; else a build of what the demo needs, without tests.
of_this_checkout() { grep -qx "CMAKE_HOME_DIRECTORY:INTERNAL=$PWD" "$1/CMakeCache.txt" 2>/dev/null; }
folder=build/tests
if ! of_this_checkout "$folder" || ! grep -q '^LIBSEAL_PYTHON:BOOL=ON' "$folder/CMakeCache.txt"; then
    folder=build/examples
    of_this_checkout "$folder" || rm -rf "$folder"
    mkdir -p build
    "$CMAKE" -S . -B "$folder" -G Ninja -DCMAKE_BUILD_TYPE=Release -DLIBSEAL_TESTS=OFF -DLIBSEAL_PYTHON=ON \
        -DPython_EXECUTABLE="$PWD/.venv/bin/python" >build/examples.txt || { cat build/examples.txt; exit 1; }
fi
"$CMAKE" --build "$folder" --parallel "$(nproc)" --target demo _libseal

say "C++ demo"
"$folder/examples/demo" examples/data examples/output/cpp
say "Python demo"
PYTHONPATH=$PWD/$folder/python .venv/bin/python examples/demo.py examples/data examples/output
for file in calendar.ics calendar.csv calendar.json; do
    cmp "examples/output/cpp/$file" "examples/output/$file" || die "C++ and Python wrote different $file"
done
say "the calendar files of both programs are equal to the byte"
say "results, to open with a browser, a calendar program or a spreadsheet:"
find "$PWD/examples/output" -type f | sort
