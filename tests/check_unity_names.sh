#!/bin/sh
# SPDX-License-Identifier: MIT
# The sources of a folder are compiled together, as many at a time as the build
# is told to: no two of them may give one name to two things of their own.
#   check_unity_names.sh SRC
set -eu
cd "$1"
heard=$(mktemp -d)
trap 'rm -rf "$heard"' EXIT
for folder in */; do
  awk -v folder="$folder" '
    function seen(name) {
      if (name in first && first[name] != FILENAME)
        print folder ": " name " in " first[name] " and " FILENAME
      first[name] = FILENAME
      count++
    }
    /^(struct|class|enum class|enum) [A-Za-z0-9]+( final)?( :[^:].*)? \{/ {
      sub(/^(struct|class|enum class|enum) /, ""); sub(/[^A-Za-z0-9].*/, ""); seen($0); next
    }
    # One type may be called the same twice, not two.
    /^using [A-Za-z0-9]+ =/ {
      if ($2 in meant && meant[$2] != $0) seen($2)
      if (!($2 in meant)) { meant[$2] = $0; seen($2) }
      next
    }
    /^(static |inline )?(constexpr|const) / && match($0, /k[A-Z][A-Za-z0-9_]*( =|\[|\{)/) {
      name = substr($0, RSTART, RLENGTH); sub(/[^A-Za-z0-9_].*/, "", name); seen(name); next
    }
    # Heads of functions that fit into one line; longer ones may be overloads.
    /^[A-Za-z].*\) (const )?\{$/ && !/::[a-z_]+\(|::[A-Z][A-Za-z]*\(/ { seen($0) }
    END { print count >"/dev/stderr" }
  ' "$folder"*.cpp
done >"$heard/names" 2>"$heard/counts"
total=$(awk '{ sum += $1 } END { print sum }' "$heard/counts")
clashes=$(cat "$heard/names")
if [ "$total" -lt 1000 ]; then
  echo "only $total names were seen: the script no longer reads the sources" >&2
  exit 1
fi
if [ -n "$clashes" ]; then
  echo "one name for two things:" >&2
  echo "$clashes" >&2
  exit 1
fi
echo "$total names, each of one thing in its folder"
