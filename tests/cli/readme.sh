#!/bin/sh
# SPDX-License-Identifier: MIT
# Every command line of the README is run, in its order, in one folder: on what
# those before it wrote, and on a film of two feeds.
#   readme.sh PROGRAM FOLDER ROOT FILMS (by two_films.sh)
set -eu
program=$1
folder=$2
root=$3
films=$4
input="$root/tests/cli/input"

rm -rf "$folder"
mkdir -p "$folder/bin" "$folder/sheet-K" "$folder/sheet-M" "$folder/out"
cd "$folder"
ln -s "$program" bin/evenfeed
PATH="$folder/bin:$PATH"

# What the README's reader brings along.
cp "$films/film-K/session.mp4" film.mp4
ln film.mp4 K.mp4
ln film.mp4 M.mp4
for sample in K M; do
  cp "$input/sheet-$sample.csv" "sheet-$sample/tagged.csv"
  cp "$input/outcomes-$sample.csv" "$sample.csv"
done
cp "$input/sheet-K.csv" tagged.csv
cp "$input/sheet-K.csv" runs.csv
cp "$input/order.csv" .
mkdir today
cp "$input/logged.csv" today/tagged.csv
cp "$root/examples/samples.csv" .
cp -r "$input/kept-session" out/sheet-M
cp "$input/weeks.toml" eight-sessions.toml
sed -e 's/^feeds = 2$/feeds = 1/' -e 's/^duration_s = 2.6$/duration_s = 1.2/' \
  "$films/K.toml" >small.toml

# On this film: feeds it has, both trials of it, a scene as small as it is, fewer
# weeks, pictures that any machine keeps up with, and the second time the bench
# that is known. live plays a film at its own speed, which is tried elsewhere
# (cli/live_job).
awk '/^```/ { inside = !inside; next } inside && /^evenfeed /' "$root/README.md" |
  sed -e 's/--feeds 12,21/--feeds 1,2/' -e 's/--slow 8/--slow 2/' \
    -e 's|out/sheet-M --matched out/K-M/pairs.csv|out/sheet-K --pairs 1+2|' \
    -e "/^evenfeed session .* --db /s|\$| --bench $films/film-K/truth_bench.toml --pictures none|" \
    -e 's/oblique1080p50/small.toml/' \
    -e 's/doctor --size 1280x720 --rate 60/doctor --size 160x120 --rate 5/' \
    -e 's|examples/ten-weeks.toml|eight-sessions.toml|' >lines.txt
ran=0
while read -r line; do
  case $line in
    "evenfeed live "*) continue ;;
  esac
  code=0
  sh -c "$line" >said.txt 2>&1 </dev/null || code=$?
  case $line in
    *" --gate"*) [ "$code" -eq 3 ] && code=0 ;;
  esac
  if [ "$code" -ne 0 ]; then
    echo "exit $code: $line" >&2
    cat said.txt >&2
    exit 1
  fi
  ran=$((ran + 1))
done <lines.txt
if [ "$ran" -lt 25 ]; then
  echo "only $ran lines were run: the README is no longer read" >&2
  exit 1
fi
cd /
rm -rf "$folder"
