// The materials, sizes and machines that the program knows, as text and as JSON.
#pragma once

#include <string>

namespace coilwright {

std::string tables_text();
std::string tables_json();

}  // namespace coilwright
