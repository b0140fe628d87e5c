# As dev, with races between threads caught:
#   cmake -S . -B build-tsan -G Ninja -C tools/presets/tsan.cmake
include(${CMAKE_CURRENT_LIST_DIR}/dev.cmake)
set(SIXFOLD_SANITIZE "thread" CACHE STRING "Sanitizers")
