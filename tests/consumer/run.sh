#!/usr/bin/env bash
# Installs the build tree into a folder of its own, builds a stranger's project on it and runs both programs.
set -euo pipefail
build=$1 source=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$build" --prefix "$work/installed" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
"$work/installed/bin/chipledger" --version
for file in share/man/man1/chipledger.1 share/bash-completion/completions/chipledger \
  share/chipledger/schema/chipledger.estimate.schema.json share/chipledger/cutting/crib.toml share/doc/chipledger/README.md; do
  [ -s "$work/installed/$file" ] || { echo "not installed: $file"; exit 1; }
done
# The installed tables are whole and each is a shop file that the installed program takes.
for table in "$source"/../../src/cutting/data/*.toml; do
  installed="$work/installed/share/chipledger/cutting/$(basename "$table")"
  cmp "$table" "$installed"
  "$work/installed/bin/chipledger" shop "$installed" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
done
cmake -S "$source" -B "$work/consumer" -DCMAKE_PREFIX_PATH="$work/installed" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
cmake --build "$work/consumer" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
"$work/consumer/consumer"
