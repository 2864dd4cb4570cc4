#!/bin/sh
# SPDX-License-Identifier: MIT
# live_job.sh PROGRAM WORK: a rehearsal gives what session gives, killed at any
# moment and taken up again it still does, and it ends in good order when asked.
set -eu
program=$1
work=$2
rm -rf "$work"
mkdir -p "$work"
cd "$work"
fail() { echo "live: $*"; exit 1; }
"$program" simulate --scene short640p60 --seed 3 --out film --quiet
"$program" calibrate film/session.mp4 --out bench.toml --quiet
"$program" session film/session.mp4 --bench bench.toml --out as-film --pictures none --quiet
live() { "$program" live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page "$@"; }
# In place of the shell's own copy of itself, so that $! is the program.
apart() { exec "$program" live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page "$@"; }

live --fast --out whole --quiet
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

# Killed at two moments; at most the feed in the air may be missing.
for after in 1 3; do
  apart --out killed --quiet & pid=$!
  tries=0
  until [ "$(grep -c '"kind":"feed"' killed/journal.jsonl 2>/dev/null || true)" -ge "$after" ] 2>/dev/null; do
    kill -0 $pid 2>/dev/null || break
    tries=$((tries + 1))
    [ $tries -lt 2400 ] || fail "feed $after was never told"
    sleep 0.05
  done
  kill -9 $pid 2>/dev/null || true
  wait $pid 2>/dev/null || true
  if [ "$after" -eq 1 ]; then
    live --fast --out killed 2>refused && fail "a session that was cut off was written over"
    grep -q 'resume' refused || fail "nothing said of --resume: $(cat refused)"
  fi
  "$program" live --resume killed --fast --pictures none --no-page --quiet
  rows=$(($(wc -l <killed/feeds.csv) - 1))
  [ "$rows" -ge 3 ] || fail "killed after feed $after: $rows feeds of 4"
  rm -rf killed
done

# Asked to end, it writes what it has.
apart --out asked >words & pid=$!
until grep -q '"kind":"feed"' asked/journal.jsonl 2>/dev/null; do sleep 0.05; done
kill -TERM $pid
wait $pid || fail "SIGTERM: exit code $?"
[ -s asked/report.html ] || fail "no page after SIGTERM"
grep -q 'SETTLING' words || fail "no state on the terminal"
"$program" live --resume asked --no-page 2>refused && fail "what has ended was resumed"
grep -q 'came to its end' refused || fail "$(cat refused)"

# At a terminal, with an order sheet: its keys are the log, and it ends by them.
printf 'order,purpose,sample,ball,note\n1,warm-up,,1,\n2,trial,K,2,\n3,trial,K,1,turn the glass\n4,trial,K,3,\n5,trial,M,2,\n' >order.csv
mkfifo keys
script -qec "$program live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page \
  --order order.csv --out typed" typed.txt <keys >/dev/null & pid=$!
exec 3>keys
await() { # COUNT PATTERN
  tries=0
  until [ "$(grep -c "$2" typed/journal.jsonl 2>/dev/null || true)" -ge "$1" ] 2>/dev/null; do
    tries=$((tries + 1))
    [ $tries -lt 2400 ] || fail "no $2 in the journal: $(tail -c 500 typed.txt)"
    sleep 0.05
  done
}
await 1 '"kind":"feed"'
printf '\r' >&3
await 1 '"word":"step"'
await 3 '"kind":"feed"'
printf 'nnet cord\rxux' >&3
await 2 '"word":"exclude"'
printf 'qqy\r' >&3
sleep 0.1
printf '\033qy\r' >&3
wait $pid || fail "ended by key: exit code $?"
exec 3>&-
grep -q 'K: 0 of 2 fed, then turn the glass; next: K, 1 feed' typed.txt || fail "the order is not on the terminal"
column() { awk -F, -v name="$1" 'NR == 1 { for (i = 1; i <= NF; ++i) if ($i == name) c = i; next } { print $c }' typed/feeds.csv; }
row() { column "$1" | sed -n "$2p"; }
[ "$(row sample 1)/$(row sample 3)" = /K ] || fail "samples: $(column sample)"
[ "$(row ball 1)" = 1 ] && [ -n "$(row ball 3)" ] || fail "balls: $(column ball)"
[ "$(column excluded | grep -c yes)" -eq 1 ] || fail "excluded: $(column excluded)"
column note | grep -q 'net cord' || fail "notes: $(column note)"
grep -q 'said at the bench not to count' typed/tagged.csv || fail "the feed that does not count was judged"

# Without a bench a person at the terminal is asked, and may move the camera.
printf 'm\r' | script -qec "$program live --rehearse film/session.mp4 --fast --no-page --out moved" moved.txt >/dev/null &&
  fail "the camera was to be moved, and it went on"
grep -q 'Does it lie on the table' moved.txt || fail "nobody was asked: $(cat moved.txt)"
grep -q 'Begin again when it stands' moved.txt || fail "$(cat moved.txt)"
[ ! -e moved ] || fail "something was kept: $(ls moved)"
rm -rf "$work"
