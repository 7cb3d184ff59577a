#include <algorithm>
#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright {
namespace {

std::string last_part(const std::string& key) {
  return key.substr(key.rfind('.') + 1);
}

// The unit that a key ends in, if what stands before it is a known key of a kind that has units.
const KnownKey* known_key(const std::vector<KnownKey>& known, const std::string& key, std::string& unit) {
  unit.clear();
  for (const KnownKey& candidate : known) {
    if (candidate.key == key) return &candidate;
    if (key.size() <= candidate.key.size() || !key.starts_with(candidate.key)) continue;
    for (const std::string& ending : unit_endings(candidate.kind))
      if (key == candidate.key + '_' + ending) {
        unit = ending;
        return &candidate;
      }
  }
  return nullptr;
}

bool starts_a_key(const std::vector<KnownKey>& known, const std::string& path) {
  return std::any_of(known.begin(), known.end(),
                     [&](const KnownKey& candidate) { return candidate.key.starts_with(path + '.'); });
}

// What may stand in a table: the names one level below it.
std::vector<std::string> names_in(const std::vector<KnownKey>& known, const std::string& path) {
  std::vector<std::string> names;
  const std::string prefix = path.empty() ? "" : path + '.';
  for (const KnownKey& candidate : known) {
    if (!candidate.key.starts_with(prefix)) continue;
    std::string name = candidate.key.substr(prefix.size());
    name.resize(std::min(name.size(), name.find('.')));
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  }
  return names;
}

// An unknown key, with what was probably meant: a name of the same table, or one of another.
std::string unknown_key_text(const std::vector<KnownKey>& known, const std::string& path,
                             const std::string& name, const std::string& where) {
  const std::string here = path.empty() ? where : "in [" + path + "]";
  std::string text = "There is no key \"" + name + "\" " + here + ".";
  std::vector<std::string> names = names_in(known, path);
  for (const std::string& candidate : std::vector<std::string>(names))
    for (const KnownKey& key : known)
      if (key.key == (path.empty() ? "" : path + '.') + candidate)
        for (const std::string& ending : unit_endings(key.kind)) names.push_back(candidate + '_' + ending);
  if (const std::string nearest = nearest_word(name, names); !nearest.empty())
    return text + " Did you mean \"" + nearest + "\"?";
  for (const KnownKey& candidate : known)
    if (last_part(candidate.key) == name && candidate.key.find('.') != std::string::npos)
      return text + " \"" + name + "\" belongs in [" + candidate.key.substr(0, candidate.key.rfind('.')) +
             "].";
  return text + " What can stand there: " + or_list(names_in(known, path)) + ".";
}

struct TableWalk {
  const std::vector<KnownKey>& known;
  KeyedValues& values;
  Findings& faults;
  const std::string& where;

  void take(const DocumentTable& table, const std::string& path) {
    for (const auto& [name, value] : table) {
      const std::string key = path.empty() ? name : path + '.' + name;
      std::string unit;
      if (const KnownKey* candidate = known_key(known, key, unit)) {
        if (const GivenValue* before = values.find(candidate->key))
          faults.push_back({Level::fault, key,
                            "\"" + last_part(before->given_as) + "\" and \"" + name +
                                "\" say the same thing twice. Keep one of them.",
                            value.key_place});
        else
          values.set(*candidate, key, value);
      } else if (!starts_a_key(known, key)) {
        faults.push_back({Level::fault, key, unknown_key_text(known, path, name, where), value.key_place});
      } else if (const auto* inner = std::get_if<DocumentTable>(&value.value)) {
        take(*inner, key);
      } else {
        faults.push_back({Level::fault, key,
                          "\"" + key + "\" is a table, written as [" + key +
                              "] with its keys below it: " + or_list(names_in(known, key)) + ".",
                          value.place});
      }
    }
  }
};

}  // namespace

std::vector<std::string> unit_endings(ValueKind kind) {
  switch (kind) {
    case ValueKind::length:
    case ValueKind::lengths:
      return {"mm", "cm", "m", "in", "ft"};
    case ValueKind::angle:
      return {"deg", "rad"};
    case ValueKind::force:
      return {"kn", "n"};
    case ValueKind::stress:
      return {"mpa", "ksi"};
    default:
      return {};
  }
}

std::string or_list(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
    text += words[i];
  }
  return text;
}

KeyedValues KeyedValues::from_table(const DocumentValue& table, const std::vector<KnownKey>& known,
                                    Findings& faults, const std::string& where) {
  KeyedValues values;
  const auto* inside = std::get_if<DocumentTable>(&table.value);
  if (inside == nullptr) {
    faults.push_back({Level::fault, "", "A table of keys is expected here.", table.place});
    return values;
  }
  TableWalk{known, values, faults, where}.take(*inside, "");
  return values;
}

void KeyedValues::set(const KnownKey& known, const std::string& given_as, DocumentValue value) {
  std::string unit;
  if (given_as.size() > known.key.size() && given_as.starts_with(known.key))
    unit = given_as.substr(known.key.size() + 1);
  values_.insert_or_assign(known.key, GivenValue{std::move(value), given_as, std::move(unit)});
}

const GivenValue* KeyedValues::find(const std::string& key) const {
  const auto found = values_.find(key);
  return found == values_.end() ? nullptr : &found->second;
}

void KeyedValues::replace_by(const KeyedValues& later,
                             const std::vector<std::vector<std::string>>& same_thing) {
  for (const auto& group : same_thing)
    if (std::any_of(group.begin(), group.end(), [&](const std::string& key) { return later.has(key); }))
      for (const std::string& key : group) drop(key);
  for (const auto& [key, given] : later.values_) values_.insert_or_assign(key, given);
}

KeyedValues KeyedValues::below(const std::string& prefix) const {
  KeyedValues inner;
  for (const auto& [key, given] : values_) {
    if (!key.starts_with(prefix + '.')) continue;
    GivenValue moved = given;
    if (moved.given_as.starts_with(prefix + '.')) moved.given_as.erase(0, prefix.size() + 1);
    inner.values_.insert_or_assign(key.substr(prefix.size() + 1), std::move(moved));
  }
  return inner;
}

}  // namespace coilwright
