#!/usr/bin/env bash
# gallery.sh CHIPLEDGER FOLDER [SCENARIO...]: every report and sheet of the demo chassis (medlar, cringle, sundew), and
# pictures of them. Several minutes for all; look at every picture afterwards.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
samples=$here/../../step_samples
chipledger=$1 folder=$2
shift 2
mkdir -p "$folder"
[ $# -gt 0 ] || set -- medlar cringle sundew
run() {
  local code=0
  "$chipledger" "$@" --quiet || code=$?
  [ "$code" = 0 ] || [ "$code" = 4 ] || { echo "chipledger $* left with $code" >&2; exit 1; }
}
for scenario in "$@"; do
  shop=(--shop "$samples/shop-$scenario.toml")
  product=$samples/product-$scenario.toml
  plain=$samples/$scenario-plain.step pocketed=$samples/$scenario-pocketed.step
  islands=$samples/$scenario-islands.step
  [ -f "$islands" ] || islands=$samples/$scenario-island.step
  for part in "$samples/$scenario"-*.step; do
    run price "$part" "${shop[@]}" --cell 0.1 --report "$folder/$(basename "$part" .step).html"
  done
  run price "$islands" "${shop[@]}" --cell 0.1 --no-detail-prices --sheet machinist --report "$folder/$scenario-sheet-machinist.html"
  run price "$islands" "${shop[@]}" --cell 0.1 --sheet client --terms "$product" --report "$folder/$scenario-sheet-client.html"
  run detail "$islands" island-1 "${shop[@]}" --cell 0.1 --report "$folder/$scenario-detail.html"
  run compare "$plain" "$islands" "$pocketed" "${shop[@]}" --cell 0.1 --report "$folder/$scenario-compare.html"
  run vary "$islands" --set island-1.height=2:4:0.2 "${shop[@]}" --cell 0.2 --report "$folder/$scenario-vary.html"
  run route "$product" --cell 0.2 --advice --report "$folder/$scenario-route.html"
  run route "$product" --cell 0.2 --sheet client --report "$folder/$scenario-route-client.html"
done
PYTHONDONTWRITEBYTECODE=1 "${PYTHON:-python3}" "$here/gallery.py" "$folder"
