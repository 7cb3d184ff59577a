// A caller's bug, caught in every build: `require` states what a function demands of its caller. User
// input never reaches it; that is checked before and comes back as findings.
#pragma once

#include <stdexcept>

namespace coilwright {

// Thrown only for a mistake of ours; the programs turn it into exit code 70.
class InternalError : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

inline void require(bool condition, const char* what) {
  if (!condition) throw InternalError(what);
}

}  // namespace coilwright
