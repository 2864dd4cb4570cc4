#!/bin/sh
# SPDX-License-Identifier: MIT
# Installs what is missing, builds with warnings as errors and sanitizers, and
# runs every test. Arguments go to ctest: tests/run.sh -R report
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
"$root/.ci/build.sh" build-developer all -DEVENFEED_DEVELOPER=ON \
  -DCMAKE_UNITY_BUILD_BATCH_SIZE=12
exec ctest --test-dir "$root/build-developer" --output-on-failure \
  --parallel "$(nproc)" "$@"
