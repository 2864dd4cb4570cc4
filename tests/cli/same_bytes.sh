#!/bin/sh
# SPDX-License-Identifier: MIT
# same_bytes.sh PROGRAM FOLDER: the same sightings give the same bytes whatever
# lay in memory before (the address sanitizer fills what is allocated) and on
# however many processors. Invented: 10 feeds with drag, and 20 tracks of
# strays, which lead fits astray, behind the camera too.
set -eu
program=$1
folder=$2
mkdir -p "$folder"
cd "$folder"

zeros=$(awk 'BEGIN { for (i = 0; i < 81; i++) printf i ? ", 0" : "0" }')
cat >bench.toml <<END
[camera]
width_px = 1280
height_px = 720
focal_px = 1000
centre_px = [639.5, 359.5]
k1 = 0
k2 = 0
exposure_ms = 2
[pose]
rotation_wxyz = [0.383103435, 0.922865555, 0.036372317, -0.015099014]
translation_mm = [-498.449074, -27.782275, 2719.058047]
[calibration]
surface = "table tennis table"
landmarks = 20
residual_px = 0.3
residual_mm = 1
covariance = [$zeros]
END

awk '
function even(low, high) {  # a generator of our own: every awk draws the same
  state = (state * 1103 + 12345) % 1048576
  return low + (high - low) * state / 1048576
}
function noise() { return 0.3 * 1.4 * (even(-1, 1) + even(-1, 1)) }
function see(t,   i, d, px) {
  for (i = 0; i < 3; i++) d[i] = p[i] - eye[i]
  for (i = 0; i < 3; i++) px[i] = r[i, 0] * d[0] + r[i, 1] * d[1] + r[i, 2] * d[2]
  say(t, 639.5 + 1000 * px[0] / px[2] + noise(), 359.5 + 1000 * px[1] / px[2] + noise())
}
function say(t, u, v) {
  if (u > 0 && u < 1279 && v > 0 && v < 719) printf "%.6f,%.3f,%.3f,0.3\n", t, u, v
}
function feed(begin,   t, speed, k, step) {
  p[0] = -1.2; p[1] = even(-0.02, 0.02); p[2] = 0.3
  w[0] = even(5.1, 5.3); w[1] = 0; w[2] = even(0.85, 0.95)
  step = 1 / 6000
  for (k = 0; k < 4200; k++) {
    if (k % 100 == 0) see(begin + k * step)
    speed = sqrt(w[0] ^ 2 + w[1] ^ 2 + w[2] ^ 2)
    for (i = 0; i < 3; i++) {
      w[i] -= step * 0.14 * speed * w[i]
      if (i == 2) w[i] -= step * 9.81
      p[i] += step * w[i]
    }
    if (p[2] < 0.02 && w[2] < 0) { w[2] *= -0.92; w[0] *= 0.75; w[1] *= 0.75 }
  }
}
function stray(begin,   n, i, u, v, du, dv, ddu, ddv, jitter) {
  n = 8 + int(even(0, 3)) * 6
  u = even(100, 700); v = even(100, 650); du = even(6, 45); dv = even(-25, 25)
  ddu = even(-1.5, 1.5); ddv = even(-3, 3); jitter = even(0, 6)
  for (i = 0; i < n; i++) {
    say(begin + i / 60, u + jitter * noise(), v + jitter * noise())
    u += du; v += dv; du += ddu; dv += ddv
  }
}
BEGIN {
  state = 7
  split("0.65 -1.9 1.9", three, " ")
  for (i = 0; i < 3; i++) eye[i] = three[i + 1]
  split("0.996898149 0.078702485 0 0.055564549 -0.703817625 -0.7082043 -0.055737439 0.706007556 -0.706007556", nine, " ")
  for (i = 0; i < 9; i++) r[int(i / 3), i % 3] = nine[i + 1]
  print "t_s,u_px,v_px,s_px"
  for (k = 0; k < 10; k++) { feed(2 * k); stray(2 * k + 0.75); stray(2 * k + 1.3) }
}' >sightings.csv

measure() {  # measure OUT FILL_BYTE [COMMAND...]
  out=$1
  fill=$2
  shift 2
  ASAN_OPTIONS=max_malloc_fill_size=1073741824:malloc_fill_byte=$fill:max_free_fill_size=1073741824:free_fill_byte=$fill \
    MALLOC_PERTURB_=$fill "$@" "$program" measure --quiet --sightings sightings.csv \
    --bench bench.toml --out "$out"
}
measure feeds-0.csv 0
grep -q ',measured,' feeds-0.csv || { echo "nothing was measured"; exit 1; }
measure feeds-85.csv 85
measure feeds-170.csv 170
measure feeds-one.csv 85 taskset -c 0
for other in 85 170 one; do
  cmp feeds-0.csv "feeds-$other.csv"
done
