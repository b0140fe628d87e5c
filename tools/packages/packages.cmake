# What `cpack` makes of a build folder: packages for Debian, one for each component of what is
# installed, and an archive that runs wherever it is unpacked. Included after all that installs.
set(CPACK_PACKAGE_VENDOR "Sixfold developers")
set(CPACK_PACKAGE_CONTACT "Sixfold developers <sixfold@localhost>")
set(CPACK_RESOURCE_FILE_LICENSE ${PROJECT_SOURCE_DIR}/LICENSE)
set(CPACK_GENERATOR DEB TGZ)
set(CPACK_PACKAGE_FILE_NAME sixfold-${PROJECT_VERSION}-linux-${CMAKE_SYSTEM_PROCESSOR})
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
    OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_PROJECT_CONFIG_FILE ${CMAKE_CURRENT_LIST_DIR}/generator.cmake)

# Shared libraries that the archive brings along: all but those of the C and C++ compilers, which
# are on every Debian. The program looks for them beside itself.
install(CODE "set(program $<TARGET_FILE:sixfold>)" COMPONENT libraries EXCLUDE_FROM_ALL)
install(SCRIPT ${CMAKE_CURRENT_LIST_DIR}/libraries.cmake COMPONENT libraries EXCLUDE_FROM_ALL)

# Of these, all that something is installed in.
get_cmake_property(components COMPONENTS)
set(packages tool library mpi python)
foreach(component IN LISTS packages)
  if(NOT component IN_LIST components)
    list(REMOVE_ITEM packages ${component})
  endif()
endforeach()
set(CPACK_DEBIAN_SIXFOLD_COMPONENTS ${packages})
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(same_version "(= ${PROJECT_VERSION})")

set(CPACK_DEBIAN_TOOL_PACKAGE_NAME sixfold)
set(CPACK_DEBIAN_TOOL_PACKAGE_SECTION games)
set(CPACK_DEBIAN_TOOL_DESCRIPTION "backgammon rollouts with honest intervals
Plays every legal play of a roll out thousands of times and tells which is
right, by how much, and why, with confidence intervals; makes lesson sheets,
works through queues overnight and trains networks. Nothing is fetched from
a network.")

set(CPACK_DEBIAN_MPI_PACKAGE_NAME sixfold-mpi)
set(CPACK_DEBIAN_MPI_PACKAGE_SECTION games)
set(CPACK_DEBIAN_MPI_PACKAGE_DEPENDS "sixfold ${same_version}, openmpi-bin")
set(CPACK_DEBIAN_MPI_DESCRIPTION "backgammon rollouts by many machines
The rollouts and queues of sixfold, shared among the processes of Open MPI.")

set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libsixfold-dev)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SHLIBDEPS OFF)  # What its users link to is found by CMake.
set(CPACK_DEBIAN_LIBRARY_PACKAGE_DEPENDS "sixfold ${same_version}, libtbb-dev, libfmt-dev")
set(CPACK_DEBIAN_LIBRARY_DESCRIPTION "library for backgammon rollouts
The static library of sixfold with its one header and its package for CMake.
The network that it works with comes with the tool.")

set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-sixfold)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
    "sixfold ${same_version}, python3 (>= 3.11), python3 (<< 3.12), python3-numpy")
set(CPACK_DEBIAN_PYTHON_DESCRIPTION "Python module for backgammon rollouts
Questions to the engine of sixfold from Python.")

# Debian wants the licence of each package in a place of its own.
foreach(component IN LISTS packages)
  string(TOUPPER ${component} upper)
  install(FILES ${PROJECT_SOURCE_DIR}/LICENSE RENAME copyright COMPONENT ${component}
          DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${CPACK_DEBIAN_${upper}_PACKAGE_NAME})
endforeach()

include(CPack)
