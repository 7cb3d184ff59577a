// A folder of its own for one test, gone with it: tests run side by side, so no two may share a name.
#pragma once

#include <filesystem>
#include <fstream>
#include <random>
#include <string>

class ScratchFolder {
 public:
  ScratchFolder() {
    std::random_device random;
    do folder_ = std::filesystem::temp_directory_path() / ("coilwright-test-" + std::to_string(random()));
    while (!std::filesystem::create_directory(folder_));
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;

  // Writes a file there and returns its path.
  std::string file(const std::string& name, const std::string& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
    return path(name);
  }
  [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }
  [[nodiscard]] bool empty() const { return std::filesystem::is_empty(folder_); }

 private:
  std::filesystem::path folder_;
};
