#!/bin/sh
# SPDX-License-Identifier: MIT
# Installs the Debian packages of packages.txt that this machine lacks, and a
# compiler if there is none. Does nothing, and needs no network, when all are
# there.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
wanted=$(sed 's/#.*//' "$here/packages.txt" | xargs)

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
  echo "setup: this is not a Debian system, so install these yourself: $wanted" >&2
  exit 0
fi

missing=""
for package in $wanted; do
  status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing="$missing $package"
done
command -v c++ >/dev/null || command -v g++ >/dev/null || missing="$missing g++"
[ -n "$missing" ] || exit 0

as_root=""
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo >/dev/null; then
    echo "setup: run this as root, or install sudo. Missing:$missing" >&2
    exit 1
  fi
  as_root="sudo"
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
quietly() {
  if ! $as_root env DEBIAN_FRONTEND=noninteractive "$@" >"$log" 2>&1; then
    cat "$log" >&2
    echo "setup: '$*' failed. Is there a network and a Debian mirror?" >&2
    exit 1
  fi
}
echo "Installing:$missing"
quietly apt-get update -q
# The names are split on purpose.
# shellcheck disable=SC2086
quietly apt-get install -q -y --no-install-recommends \
  -o Acquire::Retries=3 $missing
