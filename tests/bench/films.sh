# SPDX-License-Identifier: MIT
# For the benchmarks' scripts, to be sourced with $root set: builds the program
# and makes films of shipped scenes, or of those in scenes/, once, in $films.
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
films="$root/build/films"
mkdir -p "$films"
# The same film with the sound of a busy hall: $films/NAME-sound.
make_sounding_film() {
  [ -f "$films/$1-sound/session.mp4" ] && return
  own="$root/tests/bench/scenes/$1.toml"
  [ -f "$own" ] || own="$root/profiles/scenes/$1.toml"
  sed '/^\[sound\]/,/^$/d' "$own" >"$films/$1-sound.toml"
  cat >>"$films/$1-sound.toml" <<'END'

[sound]
present = true
speech_below_db = 20
neighbour_hz = 1
offset_ms = 80
drift_ppm = 30
END
  "$root/build/evenfeed" simulate --scene "$films/$1-sound.toml" --seed 1 \
    --out "$films/$1-sound" >&2
}
make_film() {
  [ -f "$films/$1/session.mp4" ] && return
  own="$root/tests/bench/scenes/$1.toml"
  [ -f "$own" ] || own=$1
  "$root/build/evenfeed" simulate --scene "$own" --seed 1 \
    --out "$films/$1" >&2
}
