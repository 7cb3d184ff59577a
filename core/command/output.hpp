// Writing an answer: whole or not at all.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

// To a file through a temporary one beside it, so that nobody ever sees half of it; to a device or a pipe
// directly. The finding says what went wrong.
std::optional<Finding> write_file(const std::string& path, std::string_view text);

// To standard output, flushed; false if not all of it could be written.
bool write_standard_output(std::string_view text);

// Colours are wanted: standard output (or standard error) is a terminal and NO_COLOR is not set.
enum class Stream { output, error };
bool shows_colors(Stream stream);

}  // namespace coilwright
