#!/bin/sh
# SPDX-License-Identifier: MIT
# Ten weeks of an invented launcher whose wheel wears and is replaced in week
# seven (ten-weeks.toml): files 50 sessions in a store, then tells what they say
# about wear. Installs and builds what is missing.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
db="$root/out/weeks.db"
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
evenfeed="$root/build/evenfeed"

mkdir -p "$root/out"
rm -f "$db" "$db-wal" "$db-shm"
"$evenfeed" simulate --weeks "$root/examples/ten-weeks.toml" --db "$db"
"$evenfeed" wear --db "$db" --launcher bench-A --out "$root/out/wear"
echo "Page: $root/out/wear/wear.html"
