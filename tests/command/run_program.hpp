// Runs `coilwright` through a shell and keeps what it said.
#pragma once

#include <string>

#include "scratch_folder.hpp"

struct Ran {
  int exit_code;
  std::string out, err;
};

// `arguments` as typed behind the program's name; `before` stands in front (an environment, say).
Ran run(const std::string& arguments, const std::string& before = "");

// Any shell command.
Ran run_shell(const std::string& command);

std::string contents(const std::string& path);
