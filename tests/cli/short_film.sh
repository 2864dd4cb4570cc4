#!/bin/sh
# SPDX-License-Identifier: MIT
# short_film.sh PROGRAM FOLDER: made once for the tests that need no film of
# their own: the short film that ships, its bench, and what session makes of
# them. None of the three has anything to complain of.
set -eu
rm -rf "$2"
mkdir -p "$2"
cd "$2"
{
  "$1" simulate --scene short640p60 --seed 3 --out film --quiet
  "$1" calibrate film/session.mp4 --out bench.toml --quiet
  "$1" session film/session.mp4 --bench bench.toml --out as-film --pictures none --quiet
} 2>told.txt || { cat told.txt; exit 1; }
[ ! -s told.txt ] || { cat told.txt; exit 1; }
