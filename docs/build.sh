#!/usr/bin/env bash
# Builds the site of the documents into build/site; any warning is an error. Once the tools are there, nothing is fetched.
#
#   bash docs/build.sh [FOLDER]
#
# PYTHON names an interpreter that has docs/requirements.txt; else .venv is used if it has them, else build/site-venv is made.
set -euo pipefail
cd "$(dirname "$0")/.."

has_tools() { [ -x "$(command -v "$1")" ] && "$1" -c "import sphinx, myst_parser, furo" 2>/dev/null; }

python=${PYTHON:-}
if [ -z "$python" ]; then
    python=build/site-venv/bin/python
    if has_tools .venv/bin/python; then
        python=.venv/bin/python
    elif ! has_tools "$python"; then
        python3 -m venv build/site-venv
        "$python" -m pip install --quiet -r docs/requirements.txt
    fi
fi

site=${1:-build/site}
source=$site-source
rm -rf "$site"
mkdir -p "$source"
"$python" docs/stage.py "$source"
"$python" -m sphinx -W --keep-going -q -b html -c docs -d "$source/.doctrees" "$source" "$site"
echo "site: $site/index.html"
