#!/usr/bin/env bash
# run.sh FOLDER SECONDS RESULTS [TARGET...]: runs fuzz targets of a LIBSEAL_FUZZ build for so long each; all, if none is named.
# New inputs stay in build/fuzz_corpus; a crash leaves its input there too. Mended, it goes to corpus/TARGET/found_*.
set -euo pipefail
folder=$1 seconds=$2 results=$3
shift 3
here=$(cd "$(dirname "$0")" && pwd)
if [ $# = 0 ]; then for target in "$folder"/fuzz/fuzz_*; do [ -f "$target" ] && [ -x "$target" ] && set -- "$@" "${target##*/fuzz_}"; done; fi
for name in "$@"; do
    target=$folder/fuzz/fuzz_$name
    found=$PWD/build/fuzz_corpus/$name
    dictionary=()
    [ -f "$here/dictionaries/$name.dict" ] && dictionary=(-dict="$here/dictionaries/$name.dict")
    mkdir -p "$found"
    if "$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=2000 -print_final_stats=1 "${dictionary[@]}" \
        -artifact_prefix="$found/crash-" "$found" "$here/corpus/$name" >"$results/fuzz_$name.txt" 2>&1; then
        echo "fuzz_$name" >>"$results/fuzz.passed"
        echo "fuzz_$name $(grep -E 'number_of_executed_units' "$results/fuzz_$name.txt" || true)"
    else
        echo "fuzz_$name" >>"$results/fuzz.failed"
        tail -n 40 "$results/fuzz_$name.txt"
    fi
done
