#!/bin/sh
# SPDX-License-Identifier: MIT
# What is piped in is read as a file is, and only once.
#   standard_input.sh PROGRAM FOLDER INPUT
set -eu
program=$1
folder=$2
input=$3
rm -rf "$folder"
mkdir -p "$folder"
cd "$folder"

same() { # of FILE, a command line with @ in its place
  file=$1
  shift
  "$program" $(echo "$@" | sed "s|@|$file|") >as-file.txt
  "$program" $(echo "$@" | sed "s|@|-|") <"$file" >piped.txt
  [ -s piped.txt ] || { echo "$*: nothing" >&2; exit 1; }
  cmp as-file.txt piped.txt
}
same "$input/sheet-K.csv" qualify @ --out - --quiet
same "$input/sheet-K.csv" pair @ "$input/sheet-M.csv" --names K,M --outcome ret_speed_mps
same "$input/../../../examples/samples.csv" plan factors @

code=0
"$program" pair - - --names K,M <"$input/sheet-K.csv" >said.txt 2>told.txt || code=$?
[ "$code" -eq 2 ]
grep -q 'standard input can be read once' told.txt
code=0
"$program" qualify - </dev/null >said.txt 2>told.txt || code=$?
[ "$code" -eq 1 ]
grep -q 'standard input: the file is empty' told.txt
cd /
rm -rf "$folder"
