#!/bin/sh
# SPDX-License-Identifier: MIT
# Every struct of options can be asked whether its values can be, and somebody
# has written how.
#   check_options.sh SRC
set -eu
cd "$1"
count=0
for header in $(grep -lE '^struct [A-Za-z0-9]*Options \{' */*.h); do
  for name in $(sed -n 's/^struct \([A-Za-z0-9]*Options\) {.*/\1/p' "$header"); do
    count=$((count + 1))
    if ! sed -n "/^struct $name {/,/^};/p" "$header" | grep -q '^  void check() const'; then
      echo "src/$header: $name has no check()" >&2
      exit 1
    fi
    if ! grep -q "^void $name::check() const" "${header%/*}"/*.cpp; then
      echo "src/$header: nobody defines $name::check()" >&2
      exit 1
    fi
  done
done
if [ "$count" -lt 50 ]; then
  echo "only $count structs of options were found" >&2
  exit 1
fi
