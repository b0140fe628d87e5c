# Release for 64-bit ARM, by Debian's cross compiler; its programs run here under qemu-user:
#   cmake -S . -B build-aarch64 -G Ninja -C tools/presets/aarch64.cmake
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(CMAKE_SYSTEM_NAME Linux CACHE STRING "System")
set(CMAKE_SYSTEM_PROCESSOR aarch64 CACHE STRING "Processor")
set(CMAKE_CXX_COMPILER aarch64-linux-gnu-g++ CACHE STRING "Compiler")
set(CMAKE_CROSSCOMPILING_EMULATOR qemu-aarch64 -L /usr/aarch64-linux-gnu CACHE STRING "Emulator")
# Libraries for ARM that could not be installed beside this machine's own: see README.md.
set(CMAKE_PREFIX_PATH ${CMAKE_BINARY_DIR}/root/usr CACHE STRING "Libraries")
# Its compilers' wrappers are this machine's.
set(CMAKE_DISABLE_FIND_PACKAGE_MPI ON CACHE BOOL "Without MPI")
