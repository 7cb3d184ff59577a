// Values by their key, as a file or the options of a program give them: not yet understood, each with its
// place. Layers of them replace one another (a file, then options) before anything is converted, so that
// one set of rules reads them all.
//
// A length, an angle, a force or a stress is a text with its unit, or a plain number under a key that ends
// in a unit: `radius = "800 mm"` is the same as `radius_mm = 800`.
#pragma once

#include <coilwright/quantity/document.hpp>
#include <coilwright/quantity/finding.hpp>
#include <map>
#include <string>
#include <vector>

namespace coilwright {

enum class ValueKind {
  length,
  lengths,
  angle,
  force,
  stress,
  number,
  numbers,
  whole_number,
  words,
  word_list,
  tables
};

// Something that can be given: its full key ("rolls.outer_spacing"), what it holds, and what it is in one
// line.
struct KnownKey {
  std::string key;
  ValueKind kind;
  std::string help;
};

// The endings that a key of this kind may have ("mm", "m", "in"); such a key takes a plain number.
std::vector<std::string> unit_endings(ValueKind kind);

struct GivenValue {
  DocumentValue value;
  std::string given_as;  // the key as it was written, "coil.radius_mm"
  std::string unit;      // its ending, "mm"; empty when the value itself must say the unit
};

class KeyedValues {
 public:
  // All values of a table and of the tables in it. Keys that are not known come back as faults with the
  // nearest known one; a value given twice likewise. `where` is what such a fault calls the table itself.
  static KeyedValues from_table(const DocumentValue& table, const std::vector<KnownKey>& known,
                                Findings& faults, const std::string& where = "at the top of the file");

  // A value under its own key or under the key with a unit's ending ("coil.radius_mm").
  void set(const KnownKey& known, const std::string& given_as, DocumentValue value);
  void drop(const std::string& key) { values_.erase(key); }
  [[nodiscard]] const GivenValue* find(const std::string& key) const;
  [[nodiscard]] bool has(const std::string& key) const { return find(key) != nullptr; }
  [[nodiscard]] bool empty() const { return values_.empty(); }
  [[nodiscard]] const std::map<std::string, GivenValue>& all() const { return values_; }

  // Takes over what a later layer gives. A later value also displaces the other ways to say the same: each
  // group lists keys of which the later one counts.
  void replace_by(const KeyedValues& later, const std::vector<std::vector<std::string>>& same_thing = {});
  // The values whose key starts with "prefix.", without it.
  [[nodiscard]] KeyedValues below(const std::string& prefix) const;

 private:
  std::map<std::string, GivenValue> values_;  // by full key without a unit's ending
};

// "radius, pitch or turns" for use in sentences.
std::string or_list(const std::vector<std::string>& words);

}  // namespace coilwright
