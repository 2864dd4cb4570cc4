#!/bin/sh
# SPDX-License-Identifier: MIT
# live_sources.sh PROGRAM WORK MADE NODE: cameras as they are met, with ffmpeg in
# their place: RTSP, MJPEG over HTTP and MPEG-TS over UDP. Each is opened, its
# feeds are measured as they truly were, its end is named, and its film plays.
set -eu
program=$1
work=$2
made=$3  # by short_film.sh
node=$4
here=$(cd "$(dirname "$0")" && pwd)
rm -rf "$work"
mkdir -p "$work"
cd "$work"
started=
fail() { echo "live sources: $*"; [ -z "$started" ] || kill -9 $started 2>/dev/null || true; exit 1; }
ln -s "$made/film" .
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
end() { # NAME PID WORST: its end was named, and it is asked to come to its own
  tries=0
  until grep -q '"kind":"camera-lost"' $1/journal.jsonl 2>/dev/null; do
    kill -0 $2 2>/dev/null || fail "$1: it ended by itself"
    tries=$((tries + 1))
    [ $tries -lt 900 ] || fail "$1: its end was not named: $(tail -n 1 $1/journal.jsonl | cut -c1-300)"
    sleep 0.1
  done
  kill -TERM $2
  status=0
  wait $2 || status=$?
  [ $status -le "$3" ] || fail "$1: exit code $status"
}
"$node" "$here/rtsp_camera.js" $port made.mp4 & started="$started $!"
sleep 1
live rtsp "rtsp://127.0.0.1:$port/cam" & rtsp=$!
live udp "udp://127.0.0.1:$((port + 2))" & udp=$!
started="$started $rtsp $udp"
send -i made.mp4 -c copy -f mpegts "udp://127.0.0.1:$((port + 2))?pkt_size=1316" & started="$started $!"
end rtsp $rtsp 0
end udp $udp 0
# Its times are those of arrival: by itself, and where this machine is too busy
# to take them in time nothing is measured (1), but never something else.
send -i made.mkv -c copy -flush_packets 1 -f mpjpeg -listen 1 "http://127.0.0.1:$((port + 1))/cam" & started="$started $!"
sleep 0.5
live http "http://127.0.0.1:$((port + 1))/cam" --rate 60 & http=$!
started="$started $http"
end http $http 1
# Every feed is one that was, within four stated sigmas and 2 mm.
for name in rtsp:4 udp:4 http:0; do
  least=${name#*:}
  name=${name%:*}
  [ $least -eq 0 ] && [ ! -e $name/feeds.csv ] || awk -F, -v least="$least" '
    FNR == 1 { for (i = 1; i <= NF; ++i) c[$i] = i; next }
    NR == FNR { ++n; x[n] = $c["x_mm"]; y[n] = $c["y_mm"]; v[n] = $c["speed_in_mps"]; next }
    function off(value, sigma, true, more) {
      d = value - true; d = d < 0 ? -d : d; return d > 4 * sigma + more
    }
    { found = 0
      for (i = 1; i <= n; ++i) {
        if (off($c["x_mm"], $c["sx_mm"], x[i], 2) || off($c["y_mm"], $c["sy_mm"], y[i], 2)) continue
        if (!off($c["speed_in_mps"], $c["s_speed_in_mps"], v[i], 0.02)) found = 1
      }
      good += found; rows += 1 }
    END { exit rows != good || rows < least || rows > 4 }' film/truth.csv $name/feeds.csv ||
    fail "$name: not the feeds that were: $(cut -d, -f1-8 $name/feeds.csv | tr '\n' ';') true: $(cut -d, -f1-8 film/truth.csv | tr '\n' ';')"
  frames=$(ffprobe -v error -count_frames -show_entries stream=nb_read_frames -of csv=p=0 $name/film.mkv | tr -dc 0-9)
  [ "${frames:-0}" -ge 300 ] || fail "$name: its film has ${frames:-no} pictures"
done
kill $started 2>/dev/null || true
rm -rf "$work"
