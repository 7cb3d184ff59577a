#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <coilwright/command/output.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <system_error>

namespace coilwright {
namespace {

namespace fs = std::filesystem;

Finding not_written(const std::string& path, int error) {
  return {Level::fault, "output",
          "Could not write " + path + ": " + std::error_code(error, std::generic_category()).message() +
              ". Nothing was left behind; give another place with -o.",
          std::nullopt};
}

// 0, or why not all could be written.
int write_all(int file, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(file, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

int write_and_close(int file, std::string_view text) {
  const int error = write_all(file, text);
  const int close_error = ::close(file) == 0 ? 0 : errno;
  return error != 0 ? error : close_error;
}

}  // namespace

std::optional<Finding> write_file(const std::string& path, std::string_view text) {
  std::error_code ignored;
  const fs::file_status status = fs::status(path, ignored);
  if (fs::exists(status) && !fs::is_regular_file(status)) {
    if (fs::is_directory(status)) return not_written(path, EISDIR);
    const int file = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
    if (file < 0) return not_written(path, errno);
    const int error = write_and_close(file, text);
    return error == 0 ? std::nullopt : std::optional(not_written(path, error));
  }
  // The file behind a link is replaced, not the link.
  const fs::path target = fs::exists(status) ? fs::canonical(path, ignored) : fs::path(path);
  const std::string to_be_filled_in(6, 'X');  // by mkostemp
  std::string temporary = (target.parent_path() / (".coilwright-" + to_be_filled_in)).string();
  const int file = ::mkostemp(temporary.data(), O_CLOEXEC);
  if (file < 0) return not_written(path, errno);
  // A temporary file is private; the result has the rights that any new file has, or those of what it
  // replaces.
  struct stat before {};
  const mode_t mask = ::umask(0);
  ::umask(mask);
  const mode_t rights = ::stat(target.c_str(), &before) == 0 ? before.st_mode & 07777u : 0666u & ~mask;
  int error = ::fchmod(file, rights) == 0 ? 0 : errno;
  const int write_error = write_and_close(file, text);
  if (error == 0) error = write_error;
  if (error == 0 && std::rename(temporary.c_str(), target.c_str()) != 0) error = errno;
  if (error == 0) return std::nullopt;
  ::unlink(temporary.c_str());
  return not_written(path, error);
}

bool write_standard_output(std::string_view text) {
  return std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
}

bool shows_colors(Stream stream) {
  const char* no_color = std::getenv("NO_COLOR");
  const bool forbidden = no_color != nullptr && *no_color != '\0';
  return !forbidden && ::isatty(stream == Stream::output ? STDOUT_FILENO : STDERR_FILENO) == 1;
}

}  // namespace coilwright
