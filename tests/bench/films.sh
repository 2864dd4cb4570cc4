# SPDX-License-Identifier: MIT
# For the benchmarks' scripts, to be sourced with $root set: builds the program
# and makes films of shipped scenes, or of those in scenes/, once, in $films.
"$root/.ci/build.sh" build evenfeed \
  -DCMAKE_BUILD_TYPE=Release -DEVENFEED_DEVELOPER=OFF
films="$root/build/films"
mkdir -p "$films"
make_film() {
  [ -f "$films/$1/session.mp4" ] && return
  own="$root/tests/bench/scenes/$1.toml"
  [ -f "$own" ] || own=$1
  "$root/build/evenfeed" simulate --scene "$own" --seed 1 \
    --out "$films/$1" >&2
}
