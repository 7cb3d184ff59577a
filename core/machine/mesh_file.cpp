#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <coilwright/machine/mesh_file.hpp>
#include <cstring>
#include <fstream>
#include <optional>

namespace coilwright {
namespace {

using Eigen::Vector3d;

constexpr std::size_t largest_file = 400'000'000;
constexpr std::size_t stl_head = 84, stl_triangle = 50;

static_assert(sizeof(float) == 4 && std::endian::native == std::endian::little, "binary STL is read as it lies");

bool is_space(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == '\f' || c == '\v'; }

// Words of a text one after the other, with the line they stand in.
class Words {
 public:
  explicit Words(std::string_view text) : left_(text) {}
  // Empty at the end.
  std::string_view next() {
    while (!left_.empty() && is_space(left_.front())) {
      if (left_.front() == '\n') ++line_;
      left_.remove_prefix(1);
    }
    std::size_t end = 0;
    while (end < left_.size() && !is_space(left_[end])) ++end;
    const std::string_view word = left_.substr(0, end);
    left_.remove_prefix(end);
    return word;
  }
  void skip_line() {
    const std::size_t end = left_.find('\n');
    left_.remove_prefix(end == std::string_view::npos ? left_.size() : end);
  }
  [[nodiscard]] int line() const { return line_; }
  std::optional<double> number() {
    std::string_view word = next();
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error == std::errc::result_out_of_range) {
      // As good as nothing, or too large for any machine.
      const std::size_t e = word.find_first_of("eE");
      return e != std::string_view::npos && e + 1 < word.size() && word[e + 1] == '-' ? 0.0 : HUGE_VAL;
    }
    if (error != std::errc() || end != word.data() + word.size()) return std::nullopt;
    return value;
  }
  std::optional<Vector3d> point() {
    const auto x = number(), y = number(), z = number();
    if (!x || !y || !z) return std::nullopt;
    return Vector3d(*x, *y, *z);
  }

 private:
  std::string_view left_;
  int line_ = 1;
};

tl::unexpected<Findings> not_a_mesh(const std::string& why) { return refuse("file", why); }

tl::unexpected<Findings> at_line(int line, const std::string& what) {
  return refuse("file", "Line " + std::to_string(line) + " of the mesh file " + what);
}

// The number of triangles that a binary STL announces, if the file is as long as that says.
std::optional<std::size_t> binary_triangles(std::string_view contents) {
  if (contents.size() < stl_head) return std::nullopt;
  std::uint32_t count = 0;
  std::memcpy(&count, contents.data() + stl_head - sizeof count, sizeof count);
  if (contents.size() != stl_head + stl_triangle * count) return std::nullopt;
  return count;
}

std::string too_many(std::size_t count) {
  return "The mesh has " + std::to_string(count) + " triangles or more, and at most " + std::to_string(most_triangles) +
         " can be used: thin it out where it was made.";
}

// Every three points are a triangle.
Result<TriangleMesh> soup(std::vector<Vector3d> points) {
  std::vector<TriangleMesh::Triangle> triangles;
  triangles.reserve(points.size() / 3);
  for (std::uint32_t i = 0; i + 2 < points.size(); i += 3) triangles.push_back({i, i + 1, i + 2});
  return TriangleMesh::from(std::move(points), std::move(triangles));
}

Result<TriangleMesh> read_text_stl(std::string_view contents, double mm_per_unit) {
  Words words(contents);
  if (words.next() != "solid")
    return not_a_mesh("This is not an STL file: it neither begins with \"solid\" nor is as long as its own count of "
                      "triangles says. It may be cut off.");
  words.skip_line();
  std::vector<Vector3d> points;
  std::size_t in_facet = 0;
  bool ended = false;
  for (std::string_view word = words.next(); !word.empty(); word = words.next()) {
    if (word == "vertex") {
      const auto p = words.point();
      if (!p) return at_line(words.line(), "does not give three numbers for a corner.");
      points.push_back(mm_per_unit * *p);
      ++in_facet;
      if (points.size() > 3 * most_triangles) return not_a_mesh(too_many(points.size() / 3));
    } else if (word == "facet") {
      in_facet = 0;
      ended = false;
    } else if (word == "endfacet") {
      if (in_facet != 3)
        return at_line(words.line(), "ends a facet of " + std::to_string(in_facet) + " corners; it must have three.");
      in_facet = 0;
    } else if (word == "normal") {
      if (!words.point()) return at_line(words.line(), "does not give three numbers for a normal.");
    } else if (word == "solid") {
      words.skip_line();
    } else if (word == "endsolid") {
      ended = true;
      words.skip_line();
    } else if (word != "outer" && word != "loop" && word != "endloop") {
      return at_line(words.line(), "does not belong into an STL file.");
    }
  }
  if (in_facet != 0 || !ended) return not_a_mesh("The mesh file is cut off: it does not end with \"endsolid\".");
  return soup(std::move(points));
}

}  // namespace

Result<TriangleMesh> read_stl(std::string_view contents, double mm_per_unit) {
  const auto count = binary_triangles(contents);
  if (!count) return read_text_stl(contents, mm_per_unit);
  if (*count > most_triangles) return not_a_mesh(too_many(*count));
  std::vector<Vector3d> points;
  points.reserve(3 * *count);
  for (std::size_t i = 0; i < *count; ++i) {
    std::array<float, 12> numbers{};  // the normal, then three corners
    std::memcpy(numbers.data(), contents.data() + stl_head + stl_triangle * i, sizeof numbers);
    for (std::size_t k = 3; k < 12; k += 3)
      points.push_back(mm_per_unit * Vector3d(numbers[k], numbers[k + 1], numbers[k + 2]));
  }
  return soup(std::move(points));
}

Result<TriangleMesh> read_obj(std::string_view contents, double mm_per_unit) {
  std::vector<Vector3d> points;
  std::vector<TriangleMesh::Triangle> triangles;
  int line = 0;
  while (!contents.empty()) {
    const std::size_t end = std::min(contents.find('\n'), contents.size());
    Words words(contents.substr(0, end));
    contents.remove_prefix(std::min(end + 1, contents.size()));
    ++line;
    const std::string_view kind = words.next();
    if (kind == "v") {
      const auto p = words.point();
      if (!p) return at_line(line, "does not give three numbers for a corner.");
      points.push_back(mm_per_unit * *p);
      if (points.size() > 3 * most_triangles) return not_a_mesh(too_many(triangles.size()));
    } else if (kind == "f") {
      std::vector<std::uint32_t> corners;
      for (std::string_view word = words.next(); !word.empty(); word = words.next()) {
        std::int64_t number = 0;
        const auto [stop, error] = std::from_chars(word.data(), word.data() + word.size(), number);
        const bool ends_well = error == std::errc() && (stop == word.data() + word.size() || *stop == '/');
        const std::int64_t corner = number < 0 ? static_cast<std::int64_t>(points.size()) + number : number - 1;
        if (!ends_well || number == 0 || corner < 0 || corner >= static_cast<std::int64_t>(points.size()))
          return at_line(line, "names a corner that has not been given.");
        corners.push_back(static_cast<std::uint32_t>(corner));
      }
      if (corners.size() < 3) return at_line(line, "gives a face of fewer than three corners.");
      for (std::size_t i = 1; i + 1 < corners.size(); ++i)
        triangles.push_back({corners[0], corners[i], corners[i + 1]});
      if (triangles.size() > most_triangles) return not_a_mesh(too_many(triangles.size()));
    }
  }
  if (triangles.empty()) return not_a_mesh("This OBJ file has no faces (lines that begin with f).");
  return TriangleMesh::from(std::move(points), std::move(triangles));
}

Result<TriangleMesh> read_mesh_file(const std::string& path, double mm_per_unit) {
  std::ifstream file(path, std::ios::binary | std::ios::ate);
  const std::streamoff size = file ? static_cast<std::streamoff>(file.tellg()) : -1;
  if (size < 0 || !file.seekg(0)) return not_a_mesh("The mesh file \"" + path + "\" cannot be read.");
  if (static_cast<std::size_t>(size) > largest_file)
    return not_a_mesh("The mesh file \"" + path + "\" is larger than 400 MB: thin it out where it was made.");
  std::string contents(static_cast<std::size_t>(size), '\0');
  if (!file.read(contents.data(), size)) return not_a_mesh("The mesh file \"" + path + "\" cannot be read.");
  const bool obj = path.ends_with(".obj") || path.ends_with(".OBJ");
  return obj ? read_obj(contents, mm_per_unit) : read_stl(contents, mm_per_unit);
}

}  // namespace coilwright
