#include <algorithm>
#include <coilwright/machine/mesh_file.hpp>
#include <coilwright/machine/solid_file.hpp>
#include <coilwright/machine/value_reader.hpp>
#include <filesystem>
#include <memory>
#include <optional>

namespace coilwright {
namespace {

using enum ValueKind;

// A mesh smaller or larger than this was read in the wrong unit (judgement: a 2 m frame given in metres and read as
// millimetres is 2 mm across, one given in millimetres and read as metres is 2 km).
constexpr double least_mesh_mm = 20.0, most_mesh_mm = 100e3;

enum class ShapeWord { cylinder, frustum, box, half_space, hull, mesh };

const std::vector<std::pair<std::string, ShapeWord>> shape_choices{{"box", ShapeWord::box},
                                                                   {"cylinder", ShapeWord::cylinder},
                                                                   {"frustum", ShapeWord::frustum},
                                                                   {"half-space", ShapeWord::half_space},
                                                                   {"hull", ShapeWord::hull},
                                                                   {"mesh", ShapeWord::mesh}};

const std::vector<KnownKey> common_keys{{"name", words, ""}, {"shape", words, ""}, {"rides", words, ""}};

// The measures of each shape.
std::vector<KnownKey> measures(ShapeWord shape) {
  switch (shape) {
    case ShapeWord::cylinder:
      return {{"from", lengths, ""}, {"to", lengths, ""}, {"radius", length, ""}};
    case ShapeWord::frustum:
      return {
          {"from", lengths, ""}, {"to", lengths, ""}, {"from_radius", length, ""}, {"to_radius", length, ""}};
    case ShapeWord::box:
      return {{"min", lengths, ""}, {"max", lengths, ""}, {"turned", angle, ""}};
    case ShapeWord::half_space:
      return {{"point", lengths, ""}, {"normal", numbers, ""}};
    case ShapeWord::hull:
      return {{"points", lengths, ""}};
    case ShapeWord::mesh:
      return {{"file", words, ""}, {"unit", words, ""}};
  }
  return {};
}

std::vector<KnownKey> keys_of(std::optional<ShapeWord> shape) {
  std::vector<KnownKey> keys = common_keys;
  for (const auto& [word, known] : shape_choices)
    if (!shape || *shape == known)
      for (KnownKey& key : measures(known))
        if (std::none_of(keys.begin(), keys.end(), [&](const KnownKey& k) { return k.key == key.key; }))
          keys.push_back(std::move(key));
  return keys;
}

std::optional<std::string> text_of(const DocumentValue& table, std::string_view key) {
  const DocumentValue* value = std::holds_alternative<DocumentTable>(table.value) ? table.find(key) : nullptr;
  const auto* text = value ? std::get_if<std::string>(&value->value) : nullptr;
  return text ? std::optional<std::string>(*text) : std::nullopt;
}

class SolidReader {
 public:
  SolidReader(const DocumentValue& table, const std::string& about, Findings& faults,
              std::vector<std::string>& remarks)
      : table_(table),
        faults_(faults),
        remarks_(remarks),
        values_(
            KeyedValues::from_table(table, keys_of(known_shape(table)), faults, "in a solid of this shape")),
        in_(values_, std::nullopt, faults, about) {}

  std::optional<Solid> read() {
    const auto shape_word = in_.choice("shape", shape_choices);
    if (!values_.has("shape"))
      lacks("shape", "say what it is: shape = \"box\", \"cylinder\", \"frustum\", \"half-space\", \"hull\" or \"mesh\"");
    const std::vector<std::pair<std::string, Rides>> rides_choices{{"frame", Rides::frame},
                                                                   {"centre slide", Rides::centre_slide},
                                                                   {"outboard arm", Rides::outboard_arm}};
    const Rides rides = in_.choice("rides", rides_choices).value_or(Rides::frame);
    const std::string name = in_.words("name").value_or("");
    if (!values_.has("name")) lacks("name", "give it a name by which the clearance can speak of it");
    if (!shape_word) return std::nullopt;
    const std::optional<Shape> body = shape(*shape_word);
    if (!body) return std::nullopt;
    return Solid{name, *body, rides};
  }

 private:
  static std::optional<ShapeWord> known_shape(const DocumentValue& table) {
    const auto word = text_of(table, "shape");
    for (const auto& [name, shape] : shape_choices)
      if (word == name) return shape;
    return std::nullopt;
  }

  void lacks(const std::string& key, const std::string& what) {
    in_.missing(key, "This solid has no " + key + ": " + what + ".");
    faults_.back().place = table_.place;
  }

  std::optional<Eigen::Vector3d> point(const std::string& key) {
    if (!values_.has(key)) return lacks(key + "_mm", "give " + key + "_mm = [x, y, z]"), std::nullopt;
    const std::vector<Length> xyz = in_.lengths(key, Allowed::any);
    if (xyz.size() == 3) return Eigen::Vector3d(xyz[0].mm(), xyz[1].mm(), xyz[2].mm());
    in_.fault(key, "A point is a list of three numbers, such as " + key + "_mm = [0, 250, -40].");
    return std::nullopt;
  }

  std::optional<double> radius(const std::string& key, Allowed allowed) {
    if (!values_.has(key)) return lacks(key + "_mm", "give " + key + "_mm"), std::nullopt;
    const auto read = in_.length(key, allowed);
    return read ? std::optional<double>(read->mm()) : std::nullopt;
  }

  std::optional<Shape> mesh() {
    static const std::vector<std::pair<std::string, double>> units{
        {"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}, {"ft", 304.8}};
    if (!values_.has("file")) lacks("file", "name the mesh file, STL or OBJ, that lies beside this one");
    if (!values_.has("unit"))
      lacks("unit", "mesh files do not say their unit: give unit = \"mm\", \"cm\", \"m\", \"in\" or \"ft\"");
    const auto file = in_.words("file");
    const auto unit = in_.choice("unit", units);
    if (!file || !unit) return std::nullopt;
    const std::filesystem::path beside = std::filesystem::path(table_.place.file).parent_path();
    Result<TriangleMesh> read = read_mesh_file((beside / *file).string(), *unit);
    if (!read) {
      for (const Finding& finding : read.error()) in_.fault("file", "The mesh of " + name() + ": " + finding.text);
      return std::nullopt;
    }
    const auto& box = read->nodes().front();
    const double size = (box.max - box.min).maxCoeff();
    if (size < least_mesh_mm || size > most_mesh_mm) {
      in_.fault("unit", "The mesh of " + name() + " is " + mm_text(Length::mm(size)) + " across as it is read, in " +
                            in_.as_given("unit") + ". No part of a bending machine is that " +
                            (size < least_mesh_mm ? "small: if its numbers are metres say unit = \"m\"."
                                                  : "large: if its numbers are millimetres say unit = \"mm\"."));
      return std::nullopt;
    }
    const TriangleMesh::Edges& edges = read->edges();
    if (read->left_out() > 0)
      remarks_.push_back("The mesh of " + name() + " has " + std::to_string(read->left_out()) +
                         " triangles without extent: they are left out.");
    if (!read->closed())
      remarks_.push_back("The mesh of " + name() + " is open (" + std::to_string(edges.open) +
                         " edges border on nothing): its surface is checked, but it has no inside, so a part that "
                         "lies wholly in it would not be seen.");
    if (edges.branched > 0)
      remarks_.push_back("The mesh of " + name() + " branches at " + std::to_string(edges.branched) +
                         " edges, where more than two triangles meet: its surface is checked as it is.");
    if (edges.turned > 0)
      remarks_.push_back("The mesh of " + name() + " has " + std::to_string(edges.turned) +
                         " edges at which one triangle faces in and its neighbour out: its surface is checked as it is.");
    return MeshBody{std::make_shared<const TriangleMesh>(*std::move(read))};
  }

  [[nodiscard]] std::string name() const { return "\"" + text_of(table_, "name").value_or("") + "\""; }

  std::optional<Shape> shape(ShapeWord word) {
    switch (word) {
      case ShapeWord::cylinder: {
        const auto from = point("from"), to = point("to");
        const auto r = radius("radius", Allowed::positive);
        if (from && to && r) return Cylinder{*from, *to, *r};
        return std::nullopt;
      }
      case ShapeWord::frustum: {
        const auto from = point("from"), to = point("to");
        const auto r_from = radius("from_radius", Allowed::not_negative),
                   r_to = radius("to_radius", Allowed::not_negative);
        if (from && to && r_from && r_to) return Frustum{*from, *to, *r_from, *r_to};
        return std::nullopt;
      }
      case ShapeWord::box: {
        const auto min = point("min"), max = point("max");
        const auto turned = in_.angle("turned", Allowed::any);
        if (min && max) return Box{*min, *max, turned.value_or(Angle{}).rad()};
        return std::nullopt;
      }
      case ShapeWord::half_space: {
        const auto on = point("point");
        const std::vector<double> n = in_.numbers("normal");
        if (!values_.has("normal"))
          return lacks("normal", "give normal = [x, y, z], pointing out of the material"), std::nullopt;
        const Eigen::Vector3d normal =
            n.size() == 3 ? Eigen::Vector3d(n[0], n[1], n[2]) : Eigen::Vector3d::Zero();
        if (!(normal.stableNorm() > 0.0)) {
          in_.fault("normal",
                    "The normal is a direction of three numbers pointing out of the material, such as normal "
                    "= [0, 0, 1] for a floor.");
          return std::nullopt;
        }
        if (on) return HalfSpace{*on, normal.stableNormalized()};
        return std::nullopt;
      }
      case ShapeWord::hull: {
        if (!values_.has("points"))
          return lacks("points_mm", "give points_mm = [x, y, z, x, y, z, …], three numbers for each corner"), std::nullopt;
        const std::vector<Length> flat = in_.lengths("points", Allowed::any);
        if (flat.empty() || flat.size() % 3 != 0) {
          in_.fault("points", "The corners of a hull are given as x, y, z of one after the other, three numbers each.");
          return std::nullopt;
        }
        std::vector<Eigen::Vector3d> points;
        for (std::size_t i = 0; i < flat.size(); i += 3)
          points.emplace_back(flat[i].mm(), flat[i + 1].mm(), flat[i + 2].mm());
        Result<ConvexHull> hull = hull_of(points);
        if (hull) return *std::move(hull);
        for (const Finding& finding : hull.error()) in_.fault("points", finding.text);
        return std::nullopt;
      }
      case ShapeWord::mesh:
        return mesh();
    }
    return std::nullopt;
  }

  const DocumentValue& table_;
  Findings& faults_;
  std::vector<std::string>& remarks_;
  KeyedValues values_;
  ValueReader in_;
};

}  // namespace

std::vector<Solid> read_solids(const DocumentValue& tables, const std::string& about_prefix, Findings& faults,
                               std::map<std::string, Place>& places, std::vector<std::string>& remarks) {
  std::vector<Solid> solids;
  const auto* list = std::get_if<DocumentArray>(&tables.value);
  if (list == nullptr) {
    faults.push_back(
        {Level::fault, about_prefix + "solid",
         "Solids are a list: write each one under its own heading [[" + about_prefix + "solid]].",
         tables.place});
    return solids;
  }
  for (const DocumentValue& table : *list) {
    const std::string name = text_of(table, "name").value_or("");
    auto solid =
        SolidReader(table, about_prefix + "solid." + (name.empty() ? "" : name + "."), faults, remarks).read();
    if (!solid) continue;
    places.emplace("solid." + solid->name, table.place);
    solids.push_back(std::move(*solid));
  }
  return solids;
}

DocumentValue replaced_solids(const DocumentValue& tables, const DocumentValue& later) {
  const auto* new_list = std::get_if<DocumentArray>(&later.value);
  if (new_list == nullptr) return later;  // not a list: a fault when it is read
  DocumentValue merged = tables;
  auto* list = std::get_if<DocumentArray>(&merged.value);
  if (list == nullptr) return tables;
  for (const DocumentValue& solid : *new_list) {
    const auto name = text_of(solid, "name");
    const auto same = std::find_if(list->begin(), list->end(), [&](const DocumentValue& s) {
      return name && text_of(s, "name") == name;
    });
    if (same != list->end())
      *same = solid;
    else
      list->push_back(solid);
  }
  return merged;
}

}  // namespace coilwright
