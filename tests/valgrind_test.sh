#!/bin/sh
# SPDX-License-Identifier: MIT
# valgrind_test.sh SOURCE BUILD: geometry, stats and flight under valgrind, which
# sees reads of memory that was never written and does not run what is
# sanitized: built once more in BUILD, without sanitizers. One job at a time: it
# is the longest of all tests, and others run beside it.
set -eu
mkdir -p "$2"
log=$2/build.log
quietly() {
  "$@" >"$log" 2>&1 || {
    tail -n 40 "$log"
    exit 1
  }
}
quietly cmake -S "$1" -B "$2" -G Ninja -DEVENFEED_DEVELOPER=ON \
  -DEVENFEED_SANITIZE=OFF -DEVENFEED_VALGRIND=ON -DCMAKE_UNITY_BUILD=ON \
  -DCMAKE_UNITY_BUILD_BATCH_SIZE=12 -DCMAKE_CXX_FLAGS_RELEASE=-O1
quietly cmake --build "$2" --parallel 1 \
  --target test_geometry test_stats test_flight
ctest --test-dir "$2" --label-regex valgrind --no-tests=error \
  --output-on-failure
