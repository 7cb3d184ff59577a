// A machine read from its file, from the built-in example, or from either with some values replaced.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

// Every key of a machine ("rolls.outer_spacing"), in the order of a machine file. "solid" holds the tables
// of the tooling envelope.
const std::vector<KnownKey>& machine_keys();

// Replaces values of a machine by later ones. A solid with a known name replaces that one, another adds one.
void replace_machine_values(KeyedValues& machine, const KeyedValues& later);

// Understands a machine, all problems at once. `groove_if_unsaid`: the groove when the values do not
// name one; without it such rolls are taken as plain. `groove = "none"` says that they are.
// `about_prefix` stands before the keys in findings ("machine.").
Result<Machine> read_machine(const KeyedValues& values, std::optional<LengthUnit> bare,
                             std::optional<Length> groove_if_unsaid, const std::string& about_prefix = "");

// The values of a machine file, and the machine itself. A file that cannot be read is a fault about "file".
Result<KeyedValues> read_machine_values(const std::string& path);
Result<Machine> read_machine_file(const std::string& path,
                                  std::optional<Length> groove_if_unsaid = std::nullopt);

}  // namespace coilwright
