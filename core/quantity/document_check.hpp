// What is asked of a file before a parser sees it. For the document reader of this room.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <cstddef>
#include <string>
#include <string_view>

namespace coilwright {

inline constexpr std::size_t largest_document_bytes = 256 * 1024;
inline constexpr std::size_t longest_document_line_bytes = 4096;
inline constexpr int most_document_nesting = 16;  // names joined by dots; brackets inside each other

// The first complaint of each line, at most ten: size, line length, UTF-8, control characters, characters
// beyond ASCII outside strings and comments, nesting. Empty: a parser that recurses can be let at it.
Findings check_document_text(std::string_view text, const std::string& name);

}  // namespace coilwright
