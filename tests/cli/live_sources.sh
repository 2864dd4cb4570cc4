#!/bin/sh
# SPDX-License-Identifier: MIT
# live_sources.sh PROGRAM WORK NODE: cameras as they are met, with ffmpeg in
# their place: RTSP, MJPEG over HTTP and MPEG-TS over UDP. Each is opened, its
# feeds are measured as they truly were, its end is named, and its film plays.
set -eu
program=$1
work=$2
node=$3
here=$(cd "$(dirname "$0")" && pwd)
rm -rf "$work"
mkdir -p "$work"
cd "$work"
started=
fail() { echo "live sources: $*"; [ -z "$started" ] || kill -9 $started 2>/dev/null || true; exit 1; }
"$program" simulate --scene short640p60 --seed 3 --out film --quiet
# As long again before it: what opening a stream and learning its background
# take is no feed's. A camera sends key pictures now and then.
ffmpeg -v error -nostdin -i film/session.mp4 -vf "tpad=start_mode=clone:start_duration=4,fps=60" -an \
  -c:v libx264 -preset ultrafast -crf 10 -bf 0 -g 30 made.mp4
ffmpeg -v error -nostdin -i made.mp4 -c:v mjpeg -q:v 2 made.mkv
port=$((20000 + $$ % 20000))
send() { exec ffmpeg -v error -nostdin -re "$@" 2>/dev/null; }
live() { # NAME ADDRESS ARGS...
  name=$1
  shift
  exec "$program" live "$@" --bench film/truth_bench.toml --pictures none --no-page --quiet --out "$name"
}
"$node" "$here/rtsp_camera.js" $port made.mp4 & started="$started $!"
send -i made.mkv -c copy -flush_packets 1 -f mpjpeg -listen 1 "http://127.0.0.1:$((port + 1))/cam" & started="$started $!"
sleep 1
live rtsp "rtsp://127.0.0.1:$port/cam" & rtsp=$!
live http "http://127.0.0.1:$((port + 1))/cam" --rate 60 & http=$!
live udp "udp://127.0.0.1:$((port + 2))" & udp=$!
started="$started $rtsp $http $udp"
send -i made.mp4 -c copy -f mpegts "udp://127.0.0.1:$((port + 2))?pkt_size=1316" & started="$started $!"
for name in rtsp http udp; do
  tries=0
  until grep -q '"kind":"camera-lost"' $name/journal.jsonl 2>/dev/null; do
    tries=$((tries + 1))
    [ $tries -lt 900 ] || fail "$name: its end was not named: $(tail -n 1 $name/journal.jsonl | cut -c1-300)"
    sleep 0.1
  done
done
kill -TERM $rtsp $http $udp
wait $rtsp || fail "rtsp: exit code $?"
wait $http || fail "http: exit code $?"
wait $udp || fail "udp: exit code $?"
# COLUMN of every row.
column() { awk -F, -v name="$2" 'NR == 1 { for (i = 1; i <= NF; ++i) if ($i == name) c = i; next } { print $c }' "$1"; }
for name in rtsp http udp; do
  for value in x_mm:12 y_mm:12 speed_in_mps:0.12; do
    column film/truth.csv "${value%:*}" >truth.value
    column $name/feeds.csv "${value%:*}" >$name.value
    paste truth.value $name.value | awk -v most="${value#*:}" '
      { d = $1 - $2; if (NF != 2 || d > most || d < -most) bad = 1 } END { exit bad || NR != 4 }' ||
      fail "$name: ${value%:*}: $(paste truth.value $name.value | tr '\n' ';')"
  done
  frames=$(ffprobe -v error -count_frames -show_entries stream=nb_read_frames -of csv=p=0 $name/film.mkv | tr -dc 0-9)
  [ "${frames:-0}" -ge 300 ] || fail "$name: its film has ${frames:-no} pictures"
done
kill $started 2>/dev/null || true
rm -rf "$work"
