# Installs to a scratch prefix, builds a small program that knows nothing but that prefix, runs both programs.
file(REMOVE_RECURSE ${scratch})
function(run)
  execute_process(COMMAND ${ARGV} COMMAND_ECHO STDOUT COMMAND_ERROR_IS_FATAL ANY)
endfunction()
run(${CMAKE_COMMAND} --install ${build} --prefix ${scratch}/prefix)
run(${CMAKE_COMMAND} -S ${consumer} -B ${scratch}/build -G Ninja -DCMAKE_PREFIX_PATH=${scratch}/prefix
    -DCMAKE_CXX_COMPILER=${compiler} "-DCMAKE_CXX_FLAGS=${flags}")
run(${CMAKE_COMMAND} --build ${scratch}/build)
run(${scratch}/build/ring_length)
run(${scratch}/prefix/bin/coilwright --version)
