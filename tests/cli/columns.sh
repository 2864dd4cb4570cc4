#!/bin/sh
# SPDX-License-Identifier: MIT
# columns.sh PROGRAM FOLDER INPUT: rows of tables, which a terminal's width does
# not break (cli/wrapped.h), fit 80 columns.
set -eu
program=$1
folder=$2
input=$3
rm -rf "$folder"
mkdir -p "$folder"
cd "$folder"
cp "$input/sheet-K.csv" "$input/sheet-M.csv" "$input/samples.csv" .
rows=0
fits() {
  "$program" "$@" >out.txt
  wide=$(grep -E '[^ ] {2,}[^ ]|^ +[^ ]' out.txt | grep -vE '^ +- |^  [^ ]' | awk 'length > 80' || true)
  if [ -n "$wide" ]; then
    echo "evenfeed $*: wider than 80 columns:" >&2
    echo "$wide" >&2
    exit 1
  fi
  rows=$((rows + $(grep -cE '[^ ] {2,}[^ ]' out.txt || true)))
}
fits plan order --samples K,M --trials 40 --seed 7
fits plan order --samples a-long-name,M --trials 20 --seed 7
fits plan camera --height 2400 --distance 900 --lens 1x --fps 60
fits plan trials --sd 0.1 --difference 0.1,0.2
fits plan factors samples.csv
fits pair sheet-K.csv sheet-M.csv
fits pair --counts 4/22,11/20,19/21
# There were tables.
[ "$rows" -ge 25 ]
