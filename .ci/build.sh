#!/bin/sh
# SPDX-License-Identifier: MIT
# build.sh FOLDER TARGET [CMAKE OPTION...]: installs what is missing, then
# configures and builds TARGET in FOLDER (below the project's root). What the
# tools say goes to FOLDER/build.log and is shown only when something fails.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
folder="$root/$1"
target=$2
shift 2
"$root/.ci/setup.sh"

log="$folder/build.log"
mkdir -p "$folder"
: >"$log"
logged() {
  if ! "$@" >>"$log" 2>&1; then
    tail -n 60 "$log" >&2
    echo "build: '$*' failed; the whole log is $log" >&2
    exit 1
  fi
}
# An existing build folder keeps its own generator. A library compiled in one or
# two pieces takes half the time of one compiled file by file; who changes files
# waits less for smaller pieces (tests/run.sh).
[ -f "$folder/CMakeCache.txt" ] ||
  set -- -G Ninja -DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=24 "$@"
echo "Building $target in $folder ..."
logged cmake -S "$root" -B "$folder" "$@"
logged cmake --build "$folder" --target "$target" --parallel "$(nproc)"
