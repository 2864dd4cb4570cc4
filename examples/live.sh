#!/bin/sh
# SPDX-License-Identifier: MIT
# The bench page on an invented bench: installs what is missing, builds, makes a
# film of a launcher feeding a table (once), plays it at its own speed, and says
# where the page is. Ctrl-C ends it; what was measured is written.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
film="$root/out/demo-film"
result="$root/out/live"
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
evenfeed="$root/build/evenfeed"

if [ ! -f "$film/session.mp4" ]; then
  echo "Making the demo film in $film ..."
  "$evenfeed" simulate --scene "$root/examples/demo.toml" --out "$film"
fi
rm -rf "$result"
exec "$evenfeed" live --rehearse "$film/session.mp4" --profile table-tennis --yes --out "$result"
