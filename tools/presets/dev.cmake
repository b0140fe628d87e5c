# For work on the code, asserts and the standard library's own checks on:
#   cmake -S . -B build-dev -G Ninja -C tools/presets/dev.cmake
set(CMAKE_BUILD_TYPE Debug CACHE STRING "Build type")
set(CMAKE_CXX_FLAGS_DEBUG "-O1 -g -D_GLIBCXX_ASSERTIONS" CACHE STRING "Compiler flags")
