#!/bin/sh
# SPDX-License-Identifier: MIT
# What a source offers stands in the header of its name, or, where one class
# fills several sources, in that of the name that theirs begin with.
#   check_own_headers.sh SRC
set -eu
cd "$1"
seen=0
lacking=""
for source in */*.cpp; do
  seen=$((seen + 1))
  name=${source%.cpp}
  while [ ! -f "$name.h" ] && [ "$name" != "${name%_*}" ]; do
    name=${name%_*}
  done
  [ -f "$name.h" ] || lacking="$lacking $source"
done
if [ "$seen" -lt 300 ]; then
  echo "only $seen sources were seen: is $1 the folder?" >&2
  exit 1
fi
if [ -n "$lacking" ]; then
  echo "no header of their name:$lacking" >&2
  exit 1
fi
echo "$seen sources, each with its header"
