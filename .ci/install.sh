# Installs what is missing, and nothing else. Sourced by tests/run.sh and examples/run.sh.
#
# Debian 12 is tested; Ubuntu 24.04 uses the same names and is untested. On any other system nothing is
# installed by this file: the build says itself what it lacks.

say() { printf '== %s\n' "$*"; }
die() { printf 'error: %s\n' "$*" >&2; exit 1; }

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"
    elif command -v sudo >/dev/null; then sudo "$@"
    else die "needs root or sudo for: $*"
    fi
}

has_package() { dpkg-query -W -f '${Status}' "$1" 2>/dev/null | grep -q 'ok installed'; }

# need_packages NAME...: apt packages; no apt call when nothing is missing.
need_packages() {
    if ! command -v dpkg-query >/dev/null; then
        say "no dpkg here; make sure that the equal of these is installed: $*"
        return 0
    fi
    local missing=() package
    for package in "$@"; do has_package "$package" || missing+=("$package"); done
    [ ${#missing[@]} = 0 ] && return 0
    say "installing ${missing[*]}"
    # One broken source of many must not stop us; if the lists are really of no use, the install fails below.
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq update || say "apt-get update had trouble; going on"
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -y --no-install-recommends install "${missing[@]}" >/dev/null ||
        die "apt-get could not install ${missing[*]}"
}

# version_at_least HAVE NEED
version_at_least() { [ "$(printf '%s\n%s\n' "$2" "$1" | sort -V | head -n 1)" = "$2" ]; }

# A Python that can make environments and has the headers for a compiled module.
usable_python() {
    "$1" - 2>/dev/null <<'PYTHON'
import os, sys, sysconfig
import venv, ensurepip
header = os.path.join(sysconfig.get_paths()["include"], "Python.h")
sys.exit(not (sys.version_info >= (3, 10) and os.path.exists(header)))
PYTHON
}

pick_python() {
    local candidate
    for candidate in "${LIBSEAL_PYTHON:-}" "$(command -v python3 || true)" /usr/bin/python3; do
        if [ -n "$candidate" ] && [ -x "$candidate" ] && usable_python "$candidate"; then
            printf '%s' "$candidate"
            return 0
        fi
    done
    return 1
}

# need_python: sets PYTHON, installing Debian's if no usable one is there.
need_python() {
    if ! PYTHON=$(pick_python); then
        need_packages python3 python3-venv python3-dev
        PYTHON=$(pick_python) || die "no Python 3.10 or newer with venv and headers; name one in LIBSEAL_PYTHON"
    fi
}

# need_venv FILE: the environment .venv with the packages of the requirements file FILE. A stamp of the Python
# and of the file's text makes the second run free.
need_venv() {
    local file=$1 stamp want
    if [ ! -x .venv/bin/python ] || ! .venv/bin/python -c '' 2>/dev/null; then
        need_python
        say "making .venv with $PYTHON"
        rm -rf .venv
        "$PYTHON" -m venv .venv
    fi
    stamp=.venv/stamp-$(printf '%s' "$file" | tr '/.' '--')
    want=$({ .venv/bin/python -VV; cat "$file" "${@:2}"; } | sha256sum)
    [ "$(cat "$stamp" 2>/dev/null)" = "$want" ] && return 0
    say "installing the Python packages of $file into .venv"
    .venv/bin/python -m pip install --quiet --disable-pip-version-check -r "$file" || die "pip could not install $file"
    printf '%s' "$want" >"$stamp"
}

# need_cmake: sets CMAKE; a cmake from PyPI only if the system's is too old.
need_cmake() {
    command -v cmake >/dev/null || need_packages cmake
    CMAKE=$(command -v cmake || true)
    local have=0
    [ -n "$CMAKE" ] && have=$("$CMAKE" --version | sed -n 's/^cmake version \([0-9.]*\).*/\1/p')
    if ! version_at_least "$have" 3.22; then
        say "cmake $have is older than 3.22: taking one from PyPI"
        .venv/bin/python -m pip install --quiet --disable-pip-version-check 'cmake>=3.22'
        CMAKE=$PWD/.venv/bin/cmake
    fi
}

# need_compiler: what the library itself needs.
need_compiler() {
    local packages=(libeigen3-dev libboost-dev rapidjson-dev)
    command -v "${CXX:-g++}" >/dev/null || packages+=(g++)
    command -v ninja >/dev/null || packages+=(ninja-build)
    need_packages "${packages[@]}"
}
