#!/usr/bin/env bash
# run.sh FOLDER SECONDS RESULTS: runs each fuzz target of a LIBSEAL_FUZZ build for so long.
# New inputs stay in build/fuzz_corpus; a crash leaves its input there too.
set -euo pipefail
folder=$1 seconds=$2 results=$3
here=$(cd "$(dirname "$0")" && pwd)
for target in "$folder"/fuzz/fuzz_*; do
    [ -f "$target" ] && [ -x "$target" ] || continue
    name=${target##*/fuzz_}
    found=$PWD/build/fuzz_corpus/$name
    mkdir -p "$found"
    if "$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=2000 -print_final_stats=1 \
        -artifact_prefix="$found/crash-" "$found" "$here/corpus/$name" >"$results/fuzz_$name.txt" 2>&1; then
        echo "fuzz_$name" >>"$results/fuzz.passed"
        grep -E 'number_of_executed_units|^Done' "$results/fuzz_$name.txt"
    else
        echo "fuzz_$name" >>"$results/fuzz.failed"
        tail -n 40 "$results/fuzz_$name.txt"
    fi
done
