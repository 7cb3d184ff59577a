#include <coilwright/quantity/require.hpp>
#include <coilwright/report/piece_words.hpp>

namespace coilwright {

std::string_view piece_words(Piece piece) {
  switch (piece) {
    case Piece::stock:
      return "incoming stock";
    case Piece::spans:
      return "stretch between the rolls";
    case Piece::coil:
      return "coil";
    case Piece::lead_arc:
      return "lead arc";
    case Piece::front_end:
      return "swinging front end";
  }
  throw InternalError("unknown piece of the part");
}

}  // namespace coilwright
