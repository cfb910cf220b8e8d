#!/usr/bin/env bash
# gallery.sh CHIPLEDGER FOLDER [SAMPLE...]: prices the demo chassis, writes every report and sheet of each, and makes
# pictures of them. Several minutes for all samples; look at every picture afterwards.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
samples=$here/../../step_samples
chipledger=$1 folder=$2
shift 2
mkdir -p "$folder"
[ $# -gt 0 ] || set -- $(cd "$samples" && ls ./*.step | sed 's|^\./||; s|\.step$||' | grep -E '^(medlar|cringle|sundew)-')
run() {
  local code=0
  "$chipledger" "$@" --quiet || code=$?
  [ "$code" = 0 ] || [ "$code" = 4 ] || echo "chipledger $* left with $code" >&2
}
shop=(--shop "$samples/shop-medlar.toml")
for name in "$@"; do
  run price "$samples/$name.step" "${shop[@]}" --cell 0.1 --report "$folder/$name.html"
done
first=$1
run price "$samples/$first.step" "${shop[@]}" --cell 0.1 --no-detail-prices --sheet machinist --report "$folder/sheet-machinist.html"
run price "$samples/$first.step" "${shop[@]}" --cell 0.1 --sheet client --report "$folder/sheet-client.html"
run detail "$samples/medlar-islands.step" island-1 "${shop[@]}" --cell 0.1 --report "$folder/detail.html"
run compare "$samples/medlar-plain.step" "$samples/medlar-islands.step" "$samples/medlar-pocketed.step" "${shop[@]}" \
  --cell 0.1 --report "$folder/compare.html"
run vary "$samples/medlar-islands.step" --set island-1.height=2.4:3.8:0.1 "${shop[@]}" --cell 0.2 --report "$folder/vary.html"
for product in "$samples"/product-*.toml; do
  [ -f "$product" ] || continue
  run route "$product" --cell 0.2 --report "$folder/route-$(basename "$product" .toml).html"
done
PYTHONDONTWRITEBYTECODE=1 "${PYTHON:-python3}" "$here/gallery.py" "$folder"
