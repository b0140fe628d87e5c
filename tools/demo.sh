#!/usr/bin/env bash
# Installs what is missing, builds the tool, works out the demo lessons, the second one against the
# shipped net and against a beginner, a net that has learnt for a few seconds, judges a match, and
# says where to go on.
more_packages=()
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure release build
cmake --build build --target sixfold
show() {
  echo
  echo "$*"
  echo
  "$@"
}
lesson=tools/demo/against_a_beginner.json
beginner=build/beginner.safetensors
show build/sixfold lesson tools/demo/first_choices.json --out build/first_choices.html --force
show build/sixfold lesson $lesson
show build/sixfold train --recipe quick --games 4000 --seed 7 --out $beginner --force
show build/sixfold lesson $lesson --opponent-net $beginner \
  --out build/against_a_beginner.html --force
show build/sixfold match tools/demo/club_match.txt --out build/club_match.html --force
echo
echo "open a board: build/sixfold board"
