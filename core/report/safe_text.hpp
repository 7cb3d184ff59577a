// Text that somebody else wrote (a name in a file, a path), made fit for a terminal and a page.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace coilwright {

// Valid UTF-8 on one line: tabs and line ends become spaces; whatever is not UTF-8, and every other
// control character (an escape sequence could rewrite what stands on the screen, a direction mark could
// reverse it), becomes U+FFFD.
std::string safe_text(std::string_view text);

// The number of code points of valid UTF-8: columns on a page, but for the scripts that need two.
std::size_t columns(std::string_view utf8);

}  // namespace coilwright
