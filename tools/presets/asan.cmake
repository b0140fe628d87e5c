# As dev, with errors of memory and undefined behaviour caught where they happen:
#   cmake -S . -B build-asan -G Ninja -C tools/presets/asan.cmake
include(${CMAKE_CURRENT_LIST_DIR}/dev.cmake)
set(SIXFOLD_SANITIZE "address;undefined" CACHE STRING "Sanitizers")
