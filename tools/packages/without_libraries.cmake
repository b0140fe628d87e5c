# Programs of Debian's packages use the system's libraries and look for none of their own.
file(GLOB programs ${CPACK_TEMPORARY_DIRECTORY}/*/usr/bin/*)
foreach(program IN LISTS programs)
  file(RPATH_REMOVE FILE ${program})
endforeach()
