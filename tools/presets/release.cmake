# What is shipped and measured: cmake -S . -B build -G Ninja -C tools/presets/release.cmake
set(CMAKE_BUILD_TYPE Release CACHE STRING "Build type")
