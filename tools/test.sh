#!/usr/bin/env bash
# Installs what is missing, builds everything with warnings as errors and runs all tests. Sheets are
# opened in a browser. Run as:
#   tools/test.sh [--sanitized] [arguments of ctest]
# `tools/test.sh -LE slow` leaves the slow tests out. With --sanitized the fast ones are run in a
# build of their own that catches errors of memory, undefined behaviour and broken preconditions.
sanitized=no
if [ "${1:-}" = --sanitized ]; then
  sanitized=yes
  shift
fi
more_packages=(chromium chromium-driver libopenmpi-dev openmpi-bin poppler-utils python3
               python3-jsonschema python3-numpy)
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"

if [ "$sanitized" = yes ]; then
  build=build-asan
  preset=asan
  chosen=(-LE slow)
else
  build=build
  preset=release
  chosen=()
fi
configure "$preset" "$build" -DSIXFOLD_WERROR=ON
cmake --build "$build"
ctest --test-dir "$build" --output-on-failure --parallel "$(nproc)" "${chosen[@]}" "$@"
