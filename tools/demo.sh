#!/usr/bin/env bash
# Installs what is missing, builds the tool and works out the demo lesson.
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure
cmake --build build --target sixfold
echo
echo "build/sixfold lesson tools/demo/first_choices.json"
echo
build/sixfold lesson tools/demo/first_choices.json
