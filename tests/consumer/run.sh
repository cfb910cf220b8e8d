#!/usr/bin/env bash
# Installs the build tree into a folder of its own, builds a stranger's project on it and runs both programs.
set -euo pipefail
build=$1 source=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$build" --prefix "$work/installed" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
"$work/installed/bin/chipledger" --version
cmake -S "$source" -B "$work/consumer" -DCMAKE_PREFIX_PATH="$work/installed" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
cmake --build "$work/consumer" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
"$work/consumer/consumer"
