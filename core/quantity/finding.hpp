// What the program has to say about an input or an answer, and the type that returns a value or the
// reasons why there is none.
#pragma once

#include <optional>
#include <string>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

namespace coilwright {

enum class Level {
  caution,   // holds for who acts on the plan; the answer stays as it is
  fault,     // the answer is no, or the input cannot be used
  question,  // a sentence that can be pasted into a letter to the customer
};

// Where a value was read: a file with line and column (1-based), or the name of an option in `file`,
// with the column inside its text.
struct Place {
  std::string file;
  int line = 0;    // 0: not from a file
  int column = 0;  // 0: unknown
  friend bool operator==(const Place&, const Place&) = default;
};

struct Finding {
  Level level = Level::fault;
  std::string about;  // what it speaks of, as a key of a job or machine file ("stock.tube") or a plan word
  std::string text;   // one or more whole sentences
  std::optional<Place> place;
  friend bool operator==(const Finding&, const Finding&) = default;
};

using Findings = std::vector<Finding>;

// Either a valid value, or everything that is wrong with what it was to be made from (never empty).
template <class T>
using Result = tl::expected<T, Findings>;

inline tl::unexpected<Findings> refuse(Findings findings) { return tl::unexpected<Findings>(std::move(findings)); }
inline tl::unexpected<Findings> refuse(std::string about, std::string text) {
  return refuse(Findings{{Level::fault, std::move(about), std::move(text), std::nullopt}});
}

inline void append(Findings& to, const Findings& from) { to.insert(to.end(), from.begin(), from.end()); }

}  // namespace coilwright
