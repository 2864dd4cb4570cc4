#!/bin/sh
# SPDX-License-Identifier: MIT
# examples.sh PROGRAM FOLDER ROOT FILMS (by two_films.sh): scripts of examples/
# as they stand, in a root whose program is built, whose film is made and whose
# scenes are short. compare.sh needs more feeds than a test can film, live.sh
# plays a film at its own speed (cli/live_job).
set -eu
program=$1
folder=$2
root=$3
films=$4
rm -rf "$folder"
mkdir -p "$folder/.ci" "$folder/build" "$folder/out"
cd "$folder"
cp -r "$root/examples" .
printf '#!/bin/sh\necho "$@" >>built.txt\n' >.ci/build.sh
chmod +x .ci/build.sh
ln -s "$program" build/evenfeed
ln -s "$films/film-K" out/demo-film
cp "$root/tests/cli/input/weeks.toml" examples/ten-weeks.toml

for name in demo:report.html ten-weeks:wear.html; do
  script=examples/${name%:*}.sh
  "$script" >said.txt 2>told.txt || { echo "$script: exit $?"; cat said.txt told.txt; exit 1; }
  page=$(sed -n 's/^\(Report\|Page\): //p' said.txt)
  [ "$(basename "$page")" = "${name#*:}" ] && [ -s "$page" ] ||
    { echo "$script: its page is '$page'"; cat said.txt told.txt; exit 1; }
done
[ "$(grep -c '^build evenfeed ' built.txt)" -eq 2 ] || { echo "not built first"; exit 1; }
cd /
rm -rf "$folder"
