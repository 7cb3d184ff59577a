// The pieces of the growing part in plain words, and where a place on the part is.
#pragma once

#include <coilwright/clearance/clearance.hpp>
#include <string_view>

namespace coilwright {

// "incoming stock", "stretch between the rolls", "coil", "lead arc", "swinging front end".
std::string_view piece_words(Piece piece);

}  // namespace coilwright
