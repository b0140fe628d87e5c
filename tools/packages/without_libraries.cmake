# The program of Debian's package uses the system's libraries and looks for none of its own.
file(GLOB programs ${CPACK_TEMPORARY_DIRECTORY}/*/usr/bin/sixfold)
foreach(program IN LISTS programs)
  file(RPATH_REMOVE FILE ${program})
endforeach()
