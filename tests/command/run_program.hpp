// Runs `coilwright` through a shell and keeps what it said.
#pragma once

#include <filesystem>
#include <string>

struct Ran {
  int exit_code;
  std::string out, err;
};

// `arguments` as typed behind the program's name; `before` stands in front (an environment, say).
Ran run(const std::string& arguments, const std::string& before = "");

// Any shell command.
Ran run_shell(const std::string& command);

// A folder of its own for one test, gone with it.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  // Writes a file there and returns its path.
  std::string file(const std::string& name, const std::string& text) const;
  [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }
  [[nodiscard]] bool empty() const { return std::filesystem::is_empty(folder_); }

 private:
  std::filesystem::path folder_;
};

std::string contents(const std::string& path);
