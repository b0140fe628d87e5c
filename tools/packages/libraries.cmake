# Installs the shared libraries that `program` needs, and their licences where Debian has them.
file(GET_RUNTIME_DEPENDENCIES EXECUTABLES ${program} RESOLVED_DEPENDENCIES_VAR needed
     PRE_EXCLUDE_REGEXES "^(libc|libm|libgcc_s|libstdc\\+\\+)\\.so" "^ld-linux")
foreach(shared IN LISTS needed)
  file(INSTALL DESTINATION ${CMAKE_INSTALL_PREFIX}/lib/sixfold TYPE SHARED_LIBRARY
       FILES ${shared} FOLLOW_SYMLINK_CHAIN)
  file(REAL_PATH ${shared} real)
  execute_process(COMMAND dpkg-query --search ${real} OUTPUT_VARIABLE owner ERROR_QUIET)
  string(REGEX MATCH "^[^:]+" package "${owner}")
  if(EXISTS /usr/share/doc/${package}/copyright)
    file(INSTALL DESTINATION ${CMAKE_INSTALL_PREFIX}/share/doc/sixfold TYPE FILE
         FILES /usr/share/doc/${package}/copyright RENAME copyright.${package})
  endif()
endforeach()
