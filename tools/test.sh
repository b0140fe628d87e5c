#!/usr/bin/env bash
# Installs what is missing, builds everything with warnings as errors and runs all tests. Arguments
# go to ctest: `tools/test.sh -LE slow` leaves the slow ones out.
# Sheets are opened in a browser.
more_packages=(chromium chromium-driver poppler-utils python3)
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"
configure -DSIXFOLD_WERROR=ON
cmake --build build
ctest --test-dir build --output-on-failure --parallel "$(nproc)" "$@"
