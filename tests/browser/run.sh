#!/usr/bin/env bash
# run.sh WRITE_PAGES CHIPLEDGER PYTHON FOLDER: writes pages, hand-made ones and those of real parts, and looks at them.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
samples=$here/../../step_samples
write_pages=$1 chipledger=$2 python=$3 folder=$4
export PYTHONDONTWRITEBYTECODE=1
"$python" -c 'import sys; sys.path.insert(0, sys.argv[1]); import browser; sys.exit(browser.find() is None)' "$here" || {
  echo "skipped: no Chromium is installed, so no page was looked at"
  exit 77
}
rm -rf "$folder"
mkdir -p "$folder"
"$write_pages" "$folder"
export SOURCE_DATE_EPOCH=1715904000
run() {  # 4 is "priced, but something is open"
  local code=0
  "$chipledger" "$@" --quiet || code=$?
  [ "$code" = 0 ] || [ "$code" = 4 ] || { echo "chipledger $* left with $code"; exit 1; }
}
# Every kind of page of one small part, with one thread and with two: the same bytes.
cat > "$folder/product.toml" <<TOML
name = "Block"
shop = "$samples/shop-medlar.toml"
batches = [10, 50]
[sales]
list_price = 300
[[milled]]
name = "block"
step = "$samples/block-island.step"
TOML
pages() {  # pages NAME THREADS
  local shop=(--shop "$samples/shop-medlar.toml" --cell 0.2) t=(--threads "$2") block=$samples/block-island.step
  run price "$block" "${shop[@]}" "${t[@]}" --report "$folder/$1-owner.html" --json "$folder/$1-owner.json" --plan "$folder/$1.svg"
  run price "$block" "${shop[@]}" "${t[@]}" --no-detail-prices --sheet machinist --report "$folder/$1-machinist.html"
  run price "$block" "${shop[@]}" "${t[@]}" --sheet client --terms "$folder/product.toml" --report "$folder/$1-client.html"
  run detail "$block" island-1 "${shop[@]}" "${t[@]}" --report "$folder/$1-detail.html" --json "$folder/$1-detail.json"
  run compare "$block" "$samples/block-window.step" "${shop[@]}" "${t[@]}" --report "$folder/$1-compare.html" --json "$folder/$1-compare.json"
  run vary "$block" --set island-1.height=2:3:0.5 "${shop[@]}" "${t[@]}" --report "$folder/$1-vary.html" --json "$folder/$1-vary.json"
  run route "$folder/product.toml" "${t[@]}" --cell 0.2 --report "$folder/$1-route.html" --json "$folder/$1-route.json"
  run route "$folder/product.toml" "${t[@]}" --cell 0.2 --sheet client --report "$folder/$1-routeclient.html"
}
pages real 2
pages again 1
for page in "$folder"/real*; do
  cmp "$page" "${page/real/again}" || { echo "the same part gave two of $page"; exit 1; }
done
rm -f "$folder"/again*
"$python" "$here/hostile.py" "$chipledger" "$samples/block-island.step" "$folder/hostile"
# The size of a page is that of the part's triangles and of its paths' map; the prices of details add little.
run price "$samples/medlar-islands.step" --shop "$samples/shop-medlar.toml" --cell 0.2 --report "$folder/medlar.html" --json "$folder/medlar.json"
"$python" "$here/pages_test.py" "$folder"
"$python" "$here/charts_test.py" "$folder"
exec "$python" "$here/rules_test.py" "$folder"
