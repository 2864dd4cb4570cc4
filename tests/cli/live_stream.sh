#!/bin/sh
# SPDX-License-Identifier: MIT
# live_stream.sh PROGRAM WORK MADE (by short_film.sh): what comes through a socket with stamps that
# jitter and pictures that are lost is measured as the film is; a stream that
# breaks off is named and taken up again; what was recorded plays, wherever it
# was cut off.
set -eu
program=$1
work=$2
made=$3
rm -rf "$work"
mkdir -p "$work"
cd "$work"
pid=
fail() { echo "live stream: $*"; [ -z "$pid" ] || kill -9 "$pid" 2>/dev/null || true; exit 1; }
ln -s "$made/film" "$made/bench.toml" "$made/as-film" .
port=$((20000 + $$ % 20000))
address="tcp://127.0.0.1:$port?listen=1"
# Stamps up to 9 ms off, two pictures in a hundred lost; the program listens.
send() { # FROM_S LENGTH_S
  tries=0
  until ffmpeg -v error -nostdin -ss "$1" -t "$2" -i made.ts -c copy -f mpegts "tcp://127.0.0.1:$port" 2>/dev/null; do
    tries=$((tries + 1))
    [ $tries -lt 100 ] || fail "nobody listens"
    sleep 0.1
  done
}
ffmpeg -v error -nostdin -i film/session.mp4 -vf "select='not(eq(mod(n,50),25))'" -fps_mode passthrough \
  -c:v libx264 -preset ultrafast -crf 10 -bf 0 -g 30 -enc_time_base 1:90000 -an -bsf:v "setts=ts=TS+random(0)*0.009/TB" -f mpegts made.ts
await() { # WORDS JOURNAL
  tries=0
  until grep -q "$1" "$2" 2>/dev/null; do
    kill -0 $pid 2>/dev/null || fail "it ended before $1"
    tries=$((tries + 1))
    [ $tries -lt 600 ] || fail "no $1 in the journal"
    sleep 0.05
  done
}
# Column COLUMN of every row.
column() { awk -F, -v name="$2" 'NR == 1 { for (i = 1; i <= NF; ++i) if ($i == name) c = i; next } { print $c }' "$1"; }

"$program" live "$address" --bench bench.toml --pictures none --no-page --out stream >words & pid=$!
send 0 3.2
await camera-lost stream/journal.jsonl
sleep 0.5
send 3.2 60
await camera-back stream/journal.jsonl
tries=0
until [ "$(grep -c '"kind":"feed"' stream/journal.jsonl)" -ge 4 ]; do
  tries=$((tries + 1))
  [ $tries -lt 300 ] || fail "$(grep -c '"kind":"feed"' stream/journal.jsonl) feeds were told of 4"
  sleep 0.1
done
kill -TERM $pid
wait $pid || fail "SIGTERM: exit code $?"
grep -q 'camera is back' words || fail "nothing said of its return: $(cat words)"
grep -q 'what flew then is missing' stream/summary.json || fail "the gap is in no warning"
# Recorded as it came, both parts in one film, which is measured again.
"$program" session stream/film.mkv --bench bench.toml --out again --pictures none --quiet
for folder in stream again; do
  rows=$(($(wc -l <$folder/feeds.csv) - 1))
  [ "$rows" -eq 4 ] || fail "$folder: $rows feeds of 4"
  for value in x_mm:sx_mm y_mm:sy_mm speed_in_mps:s_speed_in_mps; do
    for of in as-film $folder; do
      column $of/feeds.csv "${value%:*}" >$of.value
      column $of/feeds.csv "${value#*:}" >$of.sigma
    done
    paste as-film.value as-film.sigma $folder.value $folder.sigma | awk '
      { d = $1 - $3; s = sqrt($2 * $2 + $4 * $4); if (d * d > 9 * s * s) bad = 1 } END { exit bad || NR != 4 }' ||
      fail "$folder: ${value%:*} is not what the film has: $(paste as-film.value $folder.value $folder.sigma)"
  done
done

# Killed while it records: the film plays up to there; then it is gone on with.
mkfifo pipe
feed_pipe() { ffmpeg -v error -nostdin "$@" -i made.ts -c copy -f mpegts -y pipe 2>/dev/null & writer=$!; }
feed_pipe -readrate 2
"$program" live pipe --bench bench.toml --pictures none --no-page --quiet --out killed & pid=$!
await '"kind":"feed"' killed/journal.jsonl
kill -9 $pid
wait $pid 2>/dev/null || true
wait $writer 2>/dev/null || true
frames=$(ffprobe -v error -count_frames -show_entries stream=nb_read_frames -of csv=p=0 killed/film.mkv | tr -dc 0-9)
[ "${frames:-0}" -ge 60 ] || fail "the film that was cut off has ${frames:-no} pictures"
feed_pipe
"$program" live --resume killed --pictures none --no-page --quiet
wait $writer
[ -s killed/film-2.mkv ] || fail "nothing was recorded after --resume"
rows=$(($(wc -l <killed/feeds.csv) - 1))
[ "$rows" -ge 5 ] || fail "killed and taken up again: $rows feeds"
rm -rf "$work"
