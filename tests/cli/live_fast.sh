#!/bin/sh
# SPDX-License-Identifier: MIT
# live_fast.sh PROGRAM WORK MADE (by short_film.sh): a rehearsal gives what
# session gives, and does not begin with a camera that stands elsewhere.
set -eu
program=$1
work=$2
made=$3
rm -rf "$work"
mkdir -p "$work"
cd "$work"
fail() { echo "live: $*"; exit 1; }
ln -s "$made/film" "$made/bench.toml" "$made/as-film" .

"$program" live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page \
  --fast --out whole --quiet
for file in feeds.csv tagged.csv flights.csv bench.toml; do
  cmp "as-film/$file" "whole/$file" || fail "$file is not what session writes"
done
told=$(grep -c '"kind":"feed"' whole/journal.jsonl)
[ "$told" -eq 4 ] || fail "$told feeds were told of 4"
tail -n 1 whole/journal.jsonl | grep -q '"kind":"ended"' || fail "the end is not in the journal"

# A camera that stands elsewhere than when its bench was calibrated.
sed 's/^centre_px = \[[^,]*,/centre_px = [380,/' bench.toml >moved-camera.toml
"$program" live --rehearse film/session.mp4 --bench moved-camera.toml --fast --no-page --out wrong 2>refused &&
  fail "a bench of another camera place was taken"
grep -q 'not what the camera shows now' refused || fail "$(cat refused)"
[ ! -e wrong ] || fail "a session that did not begin left $(ls wrong)"

# Without a bench a person at the terminal is asked, and may move the camera.
printf 'm\r' | script -qec "$program live --rehearse film/session.mp4 --fast --no-page --out moved" moved.txt >/dev/null &&
  fail "the camera was to be moved, and it went on"
grep -q 'Does it lie on the table' moved.txt || fail "nobody was asked: $(cat moved.txt)"
grep -q 'Begin again when it stands' moved.txt || fail "$(cat moved.txt)"
[ ! -e moved ] || fail "something was kept: $(ls moved)"
rm -rf "$work"
