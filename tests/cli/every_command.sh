#!/bin/sh
# SPDX-License-Identifier: MIT
# Every command and subcommand, as the program itself lists them: its help has
# an example; an option that nobody knows is refused by name, whatever else is
# right; and the example is run, in one folder, in an order in which each finds
# what those before it wrote.
#   every_command.sh PROGRAM FOLDER ROOT FILMS (by two_films.sh)
set -eu
program=$1
folder=$2
root=$3
films=$4
input="$root/tests/cli/input"

rm -rf "$folder"
mkdir -p "$folder/bin" "$folder/sheet-K" "$folder/sheet-M" "$folder/out/demo"
cd "$folder"
ln -s "$program" bin/evenfeed
PATH="$folder/bin:$PATH"

failed() {
  echo "$1" >&2
  cat said.txt told.txt >&2
  exit 1
}
# Runs a line; its exit code must be the first word.
ran() {
  expected=$1
  code=0
  sh -c "$2" >said.txt 2>told.txt </dev/null || code=$?
  [ "$code" -eq "$expected" ] || failed "exit $code, expected $expected: $2"
}
terms() { # of the list below the heading $1 of what was said last; all without
  sed -n "/^${1:-}/,\$p" said.txt | sed -n 's/^  \([a-z]*\)  .*/\1/p'
}

ran 0 evenfeed
commands=$(terms)
for command in $commands; do
  echo "$command"
  ran 0 "evenfeed $command --help"
  grep -q '^Commands:' said.txt || continue
  for below in $(terms Commands:); do echo "$command $below"; done
done >all.txt
: >examples.txt
while read -r command; do
  ran 0 "evenfeed $command --help"
  awk 'length > 80 { exit 1 }' said.txt || failed "$command --help is wider than 80 columns"
  [ -s told.txt ] && failed "$command --help says something on stderr"
  grep -q -e '--out TEXT' said.txt && failed "$command: --out is a file or a folder"
  sed -n 's/^  \(evenfeed .*\)/\1/p' said.txt >own.txt
  grep -q "^evenfeed $command " own.txt || failed "$command has no example"
  while read -r line; do
    ran 2 "${line%% >*} --colour"
    grep -q -- "--colour" told.txt || failed "$line --colour: another complaint"
    [ "$(wc -l <told.txt)" -eq 1 ] || failed "$line --colour: not one line"
    grep -q "See 'evenfeed ${command%% *}" told.txt || failed "where to look is not said"
  done <own.txt
  cat own.txt >>examples.txt
done <all.txt

# What whoever reads the help brings along, and files as other commands write
# them.
cp "$input/one-feed/feeds.csv" out/demo/feeds.csv
cp "$input/sheet-K.csv" sheet-K/tagged.csv
cp "$input/sheet-M.csv" sheet-M/tagged.csv
cp "$root/examples/samples.csv" .
cp "$films/K.toml" small.toml
cp -r "$input/kept-session" out/sheet-M
evenfeed simulate --weeks "$input/weeks.toml" --db launchers.db --quiet
evenfeed store service --db launchers.db --launcher bench --new-launcher \
  --add new-balls --quiet

# In order: a small film, its bench, the folder 'tuesday', and what reads them;
# a launcher's name before it is merged. A camera that is not there is tried
# elsewhere (cli/live_stream), and so are two trials over each other
# (cli/overlay).
{
  for first in simulate calibrate session; do
    grep "^evenfeed $first " examples.txt
  done
  grep -v -e '^evenfeed simulate ' -e '^evenfeed calibrate ' -e '^evenfeed session ' \
    -e '^evenfeed live ' -e '^evenfeed overlay ' -e ' rename .*bench --to bench-A$' examples.txt | sort -u
} | sed -e 's/--feeds 12,21/--feeds 1,2/' -e 's/--slow 8/--slow 2/' \
  -e '/^evenfeed session /s|$| --bench bench.toml|' \
  -e 's/doctor --size 1280x720 --rate 60/doctor --size 160x120 --rate 5/' \
  -e 's/--scene [a-z0-9]* /--scene small.toml /' >lines.txt
while read -r line; do
  ran 0 "$line"
  case $line in
    "evenfeed simulate "*)
      cp film/session.mp4 film.mp4
      cp film/session.mp4 session.mp4
      ;;
  esac
done <lines.txt
count=$(wc -l <lines.txt)
if [ "$count" -lt 24 ] || [ "$(wc -l <all.txt)" -lt 25 ]; then
  echo "only $count examples of $(wc -l <all.txt) commands were run" >&2
  exit 1
fi
cd /
rm -rf "$folder"
