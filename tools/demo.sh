#!/usr/bin/env bash
# Installs what is missing, builds the tool, works out the demo lesson and says where to go on.
more_packages=()
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure release build
cmake --build build --target sixfold
lesson=(build/sixfold lesson tools/demo/first_choices.json --out build/first_choices.html --force)
echo
echo "${lesson[*]}"
echo
"${lesson[@]}"
echo
echo "open a board: build/sixfold board"
