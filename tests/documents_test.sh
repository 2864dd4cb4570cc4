#!/bin/sh
# SPDX-License-Identifier: MIT
# documents_test.sh SHARE: the manual pages say something of every command and
# are well formed; the completions work in the shells that are here.
set -eu
share=$1
pages=$(ls "$share"/man/man1/*.1 | wc -l)
[ "$pages" -ge 11 ] || { echo "only $pages manual pages"; exit 1; }
for page in "$share"/man/man1/*.1; do
  grep -q '^\.SH NAME' "$page" && grep -q '^\.SH OPTIONS' "$page"
  if command -v mandoc >/dev/null; then
    mandoc -T lint -W warning "$page" || { echo "$page is not well formed"; exit 1; }
  fi
done
grep -q 'must be given' "$share/man/man1/evenfeed-session.1"
grep -q 'evenfeed store export' "$share/man/man1/evenfeed-store.1" ||
  grep -q 'EVENFEED STORE EXPORT' "$share/man/man1/evenfeed-store.1"

same() {  # what was offered must hold each of the words
  offered=$1
  shift
  for word in "$@"; do
    echo "$offered" | grep -qx -- "$word" || {
      echo "'$word' is not offered in: $offered"
      exit 1
    }
  done
}
in_bash() {
  bash --norc -c '. "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
    _evenfeed; printf "%s\n" "${COMPREPLY[@]}"' bash \
    "$share/bash-completion/completions/evenfeed" "$@"
}
same "$(in_bash evenfeed '')" session store help wear
same "$(in_bash evenfeed se)" session
same "$(in_bash evenfeed store '')" list export backup
same "$(in_bash evenfeed session --)" --out --profile --launcher
same "$(in_bash evenfeed session film.mp4 --profile '')" table-tennis pickleball
same "$(in_bash evenfeed simulate --scene h)" half720p120
same "$(in_bash evenfeed measure --spin '')" top back none unknown
same "$(in_bash evenfeed store service --add '')" wheel-cleaned new-balls motor-serviced
same "$(in_bash evenfeed store list --)" --csv --db

if command -v fish >/dev/null; then
  in_fish() {
    fish --no-config -c "source '$share/fish/vendor_completions.d/evenfeed.fish'
      complete --do-complete '$1'" | cut -f1
  }
  same "$(in_fish 'evenfeed se')" session
  same "$(in_fish 'evenfeed store ')" list export backup
  same "$(in_fish 'evenfeed session --')" --out --profile --launcher
  same "$(in_fish 'evenfeed session --profile ')" table-tennis pickleball
fi
if command -v zsh >/dev/null; then
  zsh -n "$share/zsh/vendor-completions/_evenfeed"
  zsh -f -c 'autoload -U compinit && compinit -u -D
    . "$1"; whence -w _evenfeed; echo ${_comps[evenfeed]}' zsh \
    "$share/zsh/vendor-completions/_evenfeed" | grep -qx _evenfeed
fi
echo "$pages manual pages, completions of $(command -v bash zsh fish | wc -l) shells"
