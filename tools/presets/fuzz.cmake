# The fuzz targets as fuzzers, with what asan.cmake catches; needs clang++-16:
#   cmake -S . -B build-fuzz -G Ninja -C tools/presets/fuzz.cmake
set(CMAKE_CXX_COMPILER clang++-16 CACHE STRING "Compiler")
set(CMAKE_BUILD_TYPE Debug CACHE STRING "Build type")
set(CMAKE_CXX_FLAGS_DEBUG "-O2 -g -D_GLIBCXX_ASSERTIONS -Wno-unknown-warning-option -fconstexpr-steps=100000000" CACHE STRING "Compiler flags")
set(SIXFOLD_SANITIZE "address;undefined;fuzzer-no-link" CACHE STRING "Sanitizers")
set(SIXFOLD_FUZZ ON CACHE BOOL "Fuzzers")
set(SIXFOLD_BUILD_PYTHON OFF CACHE BOOL "No Python module")
set(SIXFOLD_BUILD_BENCH OFF CACHE BOOL "No measuring programs")
