# Other interpreters, and the wheel as others build it. Sourced by tests/run.sh, whose functions and folders it uses.

# source_tree: the source package, unpacked in build/sdist/source. The folder is the same each time, so that the compiler cache knows it.
source_tree() {
    rm -rf build/sdist/source && mkdir -p build/sdist/source
    rm -f build/sdist/*.tar.gz
    .venv/bin/python -c 'from scikit_build_core.build import build_sdist; build_sdist("build/sdist")' >"$results/sdist.txt"
    tar -xzf build/sdist/libseal-*.tar.gz -C build/sdist/source --strip-components=1
}

# fresh_environment FOLDER PYTHON [OPTION...]
fresh_environment() {
    local folder=$1 python=$2
    shift 2
    rm -rf "$folder"
    "$python" -m venv "$@" "$folder" && "$folder/bin/python" -m pip install --quiet --disable-pip-version-check --upgrade pip
}

# some_tests NAME PYTHON PATH...: tests under that interpreter, counted like all others.
some_tests() {
    local name=$1 python=$2 code=0
    shift 2
    say "Python tests ($name)"
    "$python" -m pytest "$@" --junitxml="$results/$name.xml" || code=$?
    if [ "$code" -gt 1 ]; then echo "pytest ended with exit code $code" >"$results/$name.broken"; fi
}

# other_tests NAME PYTHON: all Python tests but those of pages in a browser and of types, which no interpreter changes.
other_tests() { some_tests "$@" tests/python --ignore=tests/python/report_browser_test.py --ignore=tests/python/typing_test.py; }

slow_sdist() {
    need_tools
    say "a wheel from the source package alone, in an environment of its own"
    source_tree
    rm -rf build/sdist/wheels
    if fresh_environment build/sdist/env .venv/bin/python &&
        build/sdist/env/bin/python -m pip wheel --quiet --no-deps --wheel-dir build/sdist/wheels ./build/sdist/source &&
        build/sdist/env/bin/python -m pip install --quiet "$(echo "$PWD"/build/sdist/wheels/libseal-*.whl)[frames,report,plot,cli]" &&
        (cd build/sdist && env/bin/python source/examples/demo.py source/examples/data output && test -s output/calendar.ics && env/bin/libseal --version); then
        echo sdist >>"$results/sdist.passed"
    else
        echo sdist >>"$results/sdist.failed"
    fi
}

# Debian's own pybind11 and NumPy are the oldest that the module is promised for; what its tests need beside them comes from PyPI.
slow_debian-python() {
    need_tools
    need_packages pybind11-dev python3 python3-dev python3-numpy python3-venv
    local env=$PWD/build/debian_env numpy
    numpy=$(/usr/bin/python3 -c 'import numpy; print(numpy.__version__)')
    { echo "numpy==$numpy"; cat tests/support/debian_constraints.txt; } >"$results/constraints.txt"
    grep -v "^reliability" tests/requirements.txt | sed "s#^-r \.\./#-r $PWD/#" >"$results/requirements.txt"
    fresh_environment "$env" /usr/bin/python3 --system-site-packages
    "$env/bin/python" -m pip install --quiet -c "$results/constraints.txt" -r "$results/requirements.txt" || die "pip could not install the requirements beside NumPy $numpy"
    configure build/debian -DCMAKE_BUILD_TYPE=Release -DLIBSEAL_WARNINGS_AS_ERRORS=ON -DLIBSEAL_PYTHON=ON -DLIBSEAL_TESTS=OFF \
        -DPython_EXECUTABLE="$env/bin/python" -Dpybind11_DIR=/usr/lib/cmake/pybind11
    build build/debian
    PYTHONPATH=$PWD/build/debian/python other_tests debian-python "$env/bin/python"
}

# found_pythons: one interpreter a minor version from 3.10 on, of the path and of pyenv, and one without a global lock (3.13t);
# those that cannot make a module are left out.
found_pythons() {
    local minor lock candidate
    for minor in $(seq 10 20); do
        for lock in "" t; do
            for candidate in $(type -ap "python3.$minor$lock" || true) "${PYENV_ROOT:-$HOME/.pyenv}/versions/3.$minor".*"$lock"/bin/python; do
                if [ -x "$candidate" ] && usable_python "$candidate" && [ "$("$candidate" -c "$of_which_kind")" = "$minor$lock" ]; then
                    echo "3.$minor$lock $candidate"
                    break
                fi
            done
        done
    done
}
of_which_kind='import sys, sysconfig; print(sys.version_info[1], end="t" if sysconfig.get_config_var("Py_GIL_DISABLED") else "")'

# packages_for NAME PYTHON: all that the tests need. Where they cannot be had, as for a Python without a lock (many are not built for it),
# those that there are; tests that need another one say that they skipped.
packages_for() {
    local name=$1 python=$2 package
    local install=("$python" -m pip install --quiet --disable-pip-version-check)
    if [ "${name%t}" = "$name" ]; then "${install[@]}" -r tests/requirements.txt && return; fi
    grep -hv '^[#-]' tests/requirements.txt examples/requirements.txt | while read -r package; do
        "${install[@]}" --only-binary :all: "$package" || say "going on without $package"
    done
    "$python" -c 'import numpy, pybind11, pytest, scikit_build_core'
}

slow_pythons() {
    need_tools
    source_tree
    local name python env
    found_pythons >"$results/pythons.txt"
    while read -r name python; do
        say "Python $name: $python"
        env=$PWD/build/pythons/$name
        if fresh_environment "$env" "$python" &&
            packages_for "$name" "$env/bin/python" &&
            "$env/bin/python" -m pip wheel --quiet --no-build-isolation --no-deps --wheel-dir "$env/wheels" ./build/sdist/source &&
            "$env/bin/python" -m pip install --quiet --no-deps "$env"/wheels/libseal-*.whl; then
            # The lock stays off for all modules, also those that do not say that they can do without it.
            (if [ "${name%t}" != "$name" ]; then export PYTHON_GIL=0; fi; other_tests "python-$name" "$env/bin/python" </dev/null)
        else
            echo "Python $name: no wheel or no packages" >"$results/python-$name.broken"
        fi
    done <"$results/pythons.txt"
}
