#!/usr/bin/env bash
# slices.sh [NAME]: the slices of the fuzz targets, one a line with its targets; or the targets of one slice.
# Five targets of ten minutes each and the build fit into an hour.
set -euo pipefail
cd "$(dirname "$0")"
per_slice=5
# These compare two ways to compute one thing; all others read bytes.
compared="effects kernels network project rainflow schedule"
readers=""
for file in fuzz_*.cpp; do
    name=${file#fuzz_}
    name=${name%.cpp}
    case " $compared " in *" $name "*) ;; *) readers="$readers $name" ;; esac
done

# print KIND TARGET...
print() {
    local kind=$1 number=1
    shift
    while [ $# -gt 0 ]; do
        echo "fuzz-$kind-$number ${*:1:$per_slice}"
        number=$((number + 1))
        shift $(($# < per_slice ? $# : per_slice))
    done
}

# shellcheck disable=SC2086  # lists of words
all=$(print readers $readers && print compared $compared)
if [ $# = 0 ]; then echo "$all"; else sed -n "s/^$1 //p" <<<"$all"; fi
