#!/bin/sh
# SPDX-License-Identifier: MIT
# check_format.sh CLANG_FORMAT ROOT: every source looks as .clang-format says.
set -eu
cd "$2"
[ -f .clang-format ]
list=$(find src tests -name '*.cpp' -o -name '*.h')
[ "$(echo "$list" | wc -l)" -gt 1000 ] || { echo "these are not all sources"; exit 1; }
echo "$list" | xargs "$1" --dry-run --Werror
