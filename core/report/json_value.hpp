// Values of a plan as JSON, and those of its parts that are written in files of their own. Not installed: it brings the
// JSON library with it.
#pragma once

#include <cmath>
#include <coilwright/plan/plan.hpp>
#include <coilwright/quantity/require.hpp>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

using Json = nlohmann::ordered_json;

// The only way a number gets into the document: the JSON library would write nan and inf as null without
// a word. Adding zero turns -0 into 0.
inline Json number(double value) {
  require(std::isfinite(value), "a document holds a number that is not finite");
  return value + 0.0;
}
inline Json number(const std::optional<double>& value) { return value ? number(*value) : Json(); }
inline Json mm(Length length) { return number(length.mm()); }
inline Json mm(const std::optional<Length>& length) { return length ? mm(*length) : Json(); }
inline Json newtons(Force force) { return number(force.newtons()); }
inline Json text(std::string_view words) { return std::string(words); }

inline Json point(const Eigen::Vector3d& p_F, const Plan& plan) {
  const Eigen::Vector3d p_M = to_machine_frame(p_F, plan.mirrored());
  return Json::array({number(p_M.x()), number(p_M.y()), number(p_M.z())});
}

// The same keys, each null: an answer that does not exist still has its place in the document.
inline Json nulls(std::initializer_list<const char*> keys) {
  Json out = Json::object();
  for (const char* key : keys) out[key] = nullptr;
  return out;
}

Json part_json(const Plan& plan);
Json clearance_json(const Plan& plan);

}  // namespace coilwright
