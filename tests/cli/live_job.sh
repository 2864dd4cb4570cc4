#!/bin/sh
# SPDX-License-Identifier: MIT
# live_job.sh PROGRAM WORK MADE (by short_film.sh): a rehearsal killed at any
# moment is taken up again, and it ends in good order when asked. What needs no
# film at its own pace is in live_fast.sh.
set -eu
program=$1
work=$2
made=$3
rm -rf "$work"
mkdir -p "$work"
cd "$work"
fail() { echo "live: $*"; exit 1; }
ln -s "$made/film" "$made/bench.toml" .
live() { "$program" live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page "$@"; }
# In place of the shell's own copy of itself, so that $! is the program.
apart() { exec "$program" live --rehearse film/session.mp4 --bench bench.toml --pictures none --no-page "$@"; }

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

rm -rf "$work"
