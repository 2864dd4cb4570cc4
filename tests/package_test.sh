#!/bin/sh
# SPDX-License-Identifier: MIT
# package_test.sh BUILD FOLDER VERSION: the Debian package is made of what is
# built, and does the main job in a root that holds nothing but its files and
# the system's libraries: no clone, no build folder, no shell.
# Exit code 77: this machine lets nobody make such a root.
set -eu
build=$1
folder=$2
version=$3

rm -rf "$folder"
mkdir -p "$folder/root"
cd "$folder"
as_root="unshare --mount"
[ "$(id -u)" -eq 0 ] || as_root="unshare --map-root-user --mount"
$as_root true 2>/dev/null || { echo "no mount namespaces here"; exit 77; }
command -v dpkg-deb >/dev/null || { echo "no dpkg here"; exit 77; }

# Fast to pack: this one is thrown away.
cpack --config "$build/CPackConfig.cmake" -G DEB -B made \
  -D CPACK_DEBIAN_COMPRESSION_TYPE=gzip >cpack.txt 2>&1 || { cat cpack.txt; exit 1; }
package=$(ls made/evenfeed_*.deb)
[ "$(dpkg-deb -f "$package" Package)" = evenfeed ]
[ "$(dpkg-deb -f "$package" Version)" = "$version" ]
# What it needs is found by the linker's names, and is to be had here.
needs=$(dpkg-deb -f "$package" Depends | tr ',' '\n' | sed 's/^ *//; s/ .*//')
[ "$(echo "$needs" | wc -l)" -ge 8 ] || { echo "needs only: $needs"; exit 1; }
for need in $needs; do
  dpkg-query -W "$need" >/dev/null || { echo "$need is not a package here"; exit 1; }
done
dpkg-deb -x "$package" root
for file in bin/evenfeed share/man/man1/evenfeed-session.1.gz \
  share/bash-completion/completions/evenfeed share/zsh/vendor-completions/_evenfeed \
  share/fish/vendor_completions.d/evenfeed.fish \
  share/evenfeed/profiles/table-tennis.toml share/doc/evenfeed/copyright; do
  [ -e "root/usr/$file" ] || { echo "/usr/$file is not in the package"; exit 1; }
done

cat >inside.sh <<'INSIDE'
set -eu
cd "$1/root"
mkdir -p etc proc dev tmp job usr/lib usr/lib64
for place in etc proc dev usr/lib usr/lib64; do
  [ -d "/$place" ] || continue
  mount --rbind "/$place" "$place" || exit 77
done
ln -s usr/lib lib
ln -s usr/lib64 lib64
run() { chroot . /usr/bin/evenfeed "$@"; }
run simulate --scene short640p60 --seed 3 --out /job/film --quiet
run session /job/film/session.mp4 --out /job/out --launcher bench-A --sample sheet-K
INSIDE
code=0
$as_root sh inside.sh "$folder" >said.txt 2>told.txt || code=$?
[ "$code" -eq 0 ] || { cat said.txt told.txt; exit "$code"; }
for file in report.html feeds.csv overlay.png pictures/feed-001.jpg; do
  [ -s "root/job/out/$file" ] || { echo "no $file"; cat said.txt told.txt; exit 1; }
done
grep -q '/job/out/report.html' said.txt
[ -s told.txt ] && { cat told.txt; exit 1; }
cd /
rm -rf "$folder"
