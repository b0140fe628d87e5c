#!/usr/bin/env bash
# Installs what is missing, builds the tool, works out the demo lesson and judges the demo match.
more_packages=()
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure release build
cmake --build build --target sixfold
lesson=(build/sixfold lesson tools/demo/first_choices.json --out build/first_choices.html --force)
match=(build/sixfold match tools/demo/club_match.txt --out build/club_match.html --force)
for command in lesson match; do
  declare -n words=$command
  echo
  echo "${words[*]}"
  echo
  "${words[@]}"
done
