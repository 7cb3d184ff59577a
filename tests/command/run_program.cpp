#include "run_program.hpp"

#include <sys/wait.h>

#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

std::string contents(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

Ran run_shell(const std::string& command) {
  const ScratchFolder scratch;
  const std::string out = scratch.path("out"), err = scratch.path("err");
  const int status = std::system(("( " + command + " ) >'" + out + "' 2>'" + err + "' </dev/null").c_str());
  if (!WIFEXITED(status)) throw std::runtime_error("the program was killed: " + command);
  return {WEXITSTATUS(status), contents(out), contents(err)};
}

Ran run(const std::string& arguments, const std::string& before) {
  return run_shell(before + " '" COILWRIGHT_PROGRAM "' " + arguments);
}
