# Installs the project to a fresh prefix, moves that, builds a consumer against it and runs that and
# the installed tool. Run as: cmake -DBUILD=<build> -DSOURCE=<project> -DWORK=<scratch> -P this
file(REMOVE_RECURSE ${WORK})
function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE out)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${ARGN} failed:\n${out}")
  endif()
  set(output "${out}" PARENT_SCOPE)
endfunction()

run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/first)
file(RENAME ${WORK}/first ${WORK}/prefix)
# One header, under a name that is ours alone.
file(GLOB_RECURSE headers RELATIVE ${WORK}/prefix/include ${WORK}/prefix/include/*)
if(NOT headers STREQUAL "sixfold/sixfold.h")
  message(FATAL_ERROR "installed headers: ${headers}; expected sixfold/sixfold.h alone")
endif()
run(${CMAKE_COMMAND} -S ${SOURCE}/tests/package -B ${WORK}/build -G Ninja
    -DCMAKE_BUILD_TYPE=Release -DCMAKE_PREFIX_PATH=${WORK}/prefix)
run(${CMAKE_COMMAND} --build ${WORK}/build)
run(${WORK}/build/consumer)
if(NOT output MATCHES "24/14 +[-+]0[.][0-9]+ ± 0[.][0-9]+\n")
  message(FATAL_ERROR "the consumer did not roll 24/14 out: '${output}'")
endif()
run(${WORK}/prefix/bin/sixfold evaluate --after "31: 8/5 6/5" --dice 64 --json)
if(NOT output MATCHES "sixfold.evaluation/3")
  message(FATAL_ERROR "the installed tool printed '${output}'")
endif()
