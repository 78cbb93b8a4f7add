#!/usr/bin/env bash
# fetch_backport.sh PACKAGE FOLDER: downloads a package of Debian 12 backports and unpacks it into FOLDER.
# apt's own lists and caches are kept out of it, so the system does not change and no root is needed.
set -euo pipefail
package=$1
mkdir -p "$2"
folder=$(cd "$2" && pwd)
work=$folder.apt
mkdir -p "$work/lists/partial" "$work/cache/archives/partial" "$work/parts"
echo "deb [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] http://deb.debian.org/debian bookworm-backports main" \
    >"$work/sources.list"
options=(-o Dir::Etc::sourcelist="$work/sources.list" -o Dir::Etc::sourceparts="$work/parts"
    -o Dir::State::lists="$work/lists" -o Dir::Cache="$work/cache" -o APT::Sandbox::User="$(id -un)")
apt-get -qq "${options[@]}" update
(cd "$work" && apt-get -qq "${options[@]}" download "$package")
dpkg -x "$work/$package"_*.deb "$folder"
