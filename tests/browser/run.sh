#!/usr/bin/env bash
# run.sh WRITE_PAGES CHIPLEDGER PYTHON FOLDER: writes pages, hand-made ones and those of real parts, and looks at them.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
samples=$here/../../step_samples
write_pages=$1 chipledger=$2 python=$3 folder=$4
"$python" -c 'import sys; sys.path.insert(0, sys.argv[1]); import browser; sys.exit(browser.find() is None)' "$here" || {
  echo "skipped: no Chromium is installed, so no page was looked at"
  exit 77
}
rm -rf "$folder"
mkdir -p "$folder"
"$write_pages" "$folder"
export SOURCE_DATE_EPOCH=1715904000
priced() {  # priced NAME OPTIONS...: 4 is "priced, but something is open"
  local name=$1 code=0
  shift
  "$chipledger" price "$samples/$name.step" --quiet --shop "$samples/shop-medlar.toml" "$@" || code=$?
  [ "$code" = 0 ] || [ "$code" = 4 ]
}
priced block-island --cell 0.2 --report "$folder/block.html" --json "$folder/block.json"
priced block-island --cell 0.2 --report "$folder/again.html" --threads 1
cmp "$folder/block.html" "$folder/again.html" || { echo "the same part gave two reports"; exit 1; }
# The size of a page is that of the part's triangles and of its paths' map, not of its prices.
priced medlar-islands --cell 0.2 --no-detail-prices --report "$folder/medlar.html"
size=$(stat -c %s "$folder/medlar.html")
[ "$size" -lt 2500000 ] || { echo "the page of the islands plate has $size bytes"; exit 1; }
PYTHONDONTWRITEBYTECODE=1 exec "$python" "$here/pages_test.py" "$folder" "$folder/block.html" "$folder/block.json"
