#!/bin/sh
# SPDX-License-Identifier: MIT
# two_films.sh PROGRAM FOLDER INPUT: made once for the tests that share them:
# small films of two trials each on the samples K and M, whose cameras stood
# apart.
set -eu
rm -rf "$2"
mkdir -p "$2"
cd "$2"
sed -e 's/^feeds = 4$/feeds = 2/' -e 's/^duration_s = 4.6$/duration_s = 2.6/' \
  -e 's/^width_px = 640$/width_px = 480/' -e 's/^height_px = 480$/height_px = 360/' \
  -e 's/^focal_px = 520$/focal_px = 390/' \
  "$3/two-trials.toml" >K.toml
sed 's/\[400, -1200, 2300\]/[500, -1500, 2300]/' K.toml >M.toml
for sample in K M; do
  "$1" simulate --scene $sample.toml --seed 5 --out film-$sample --quiet
done
