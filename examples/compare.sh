#!/bin/sh
# SPDX-License-Identifier: MIT
# From two films to one sentence, on an invented bench: films two trials, with
# sheet K and with sheet M, measures and judges both, pairs the trials that got
# the same feed, and says how the sheets differ. How fast each sheet returned
# the ball is invented here (no program measured it): a share of the feed's true
# speed, better by 0.25 m/s with sheet K, with a scatter of 0.08 m/s.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
evenfeed="$root/build/evenfeed"

# returns FILM RESULT LEVEL SEED: a return speed for every measured feed whose
# bounce is one of the film's. A sum of six even numbers stands for a normal one.
returns() {
  awk -F, -v level="$3" -v state="$4" '
    function even() { state = (state * 16807) % 2147483647
                      return state / 2147483647 }
    FNR == 1 { delete column
               for (i = 1; i <= NF; i++) column[$i] = i
               if (NR > 1) print "feed,return_speed_mps"; next }
    NR == FNR { bounce[NR] = $column["t_bounce_s"]
                speed[NR] = $column["speed_in_mps"]; next }
    $column["t_bounce_s"] != "" {
      sum = -3; for (i = 0; i < 6; i++) sum += even()
      for (k in bounce) {
        apart = bounce[k] - $column["t_bounce_s"]
        if (bounce[k] != "" && apart * apart < 0.01) {
          printf "%s,%.3f\n", $column["feed"],
            0.55 * speed[k] + level + 0.08 * sum * 1.41421; break } } }' \
    "$1/truth.csv" "$2/feeds.csv"
}

for sheet in K M; do
  film="$root/out/compare-film-$sheet"
  result="$root/out/sheet-$sheet"
  [ "$sheet" = K ] && seed=1 || seed=2
  if [ ! -f "$film/session.mp4" ]; then
    echo "Making the film of sheet $sheet in $film ..."
    "$evenfeed" simulate --scene "$root/examples/compare-$sheet.toml" \
      --seed "$seed" --out "$film"
  fi
  echo "Measuring and judging it ..."
  "$evenfeed" session "$film/session.mp4" --profile table-tennis --out "$result" \
    --quiet
  [ "$sheet" = K ] && level=0.25 || level=0
  returns "$film" "$result" "$level" "$seed" >"$result/returns.csv"
done
"$evenfeed" pair "$root/out/sheet-K/tagged.csv" "$root/out/sheet-M/tagged.csv" \
  --names "sheet K,sheet M" --out "$root/out/K-M" --caliper-sd 1.5 \
  --characteristics x_mm,y_mm,speed_in_mps,descent_deg \
  --samples "$root/examples/samples.csv" \
  --outcomes "$root/out/sheet-K/returns.csv" "$root/out/sheet-M/returns.csv"
echo "Page: $root/out/K-M/pair.html"
