#!/bin/sh
# SPDX-License-Identifier: MIT
# The whole job on an invented bench: installs what is missing, builds, makes a
# film of a launcher feeding a table (once), measures and judges every feed,
# and says where the report is.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
film="$root/out/demo-film"
result="$root/out/demo"
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
evenfeed="$root/build/evenfeed"

if [ ! -f "$film/session.mp4" ]; then
  echo "Making the demo film in $film ..."
  "$evenfeed" simulate --scene "$root/examples/demo.toml" --out "$film"
fi
echo "Measuring and judging it ..."
"$evenfeed" session "$film/session.mp4" --profile table-tennis --out "$result"
echo "Report: $result/report.html"
