#!/usr/bin/env bash
# Installs what is missing, builds the tool and works out the demo lesson.
more_packages=()
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure release build
cmake --build build --target sixfold
lesson=(build/sixfold lesson tools/demo/first_choices.json --out build/first_choices.html --force)
echo
echo "${lesson[*]}"
echo
"${lesson[@]}"
