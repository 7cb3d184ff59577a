// The certified least distance from courses of the part to convex bodies and meshes, by best-first branch and
// bound.
//
// A course is a stretch of centreline, or the surface that a straight end sweeps when it continues the
// centreline from every lag of a stretch. Each piece of a course is bounded from below by the supporting
// half-space that one distance evaluation gives (shape_distance.hpp) and by how far the curve can go
// against it (stretch.hpp); the straight is first searched for its nearest point, and any point of it
// gives a valid half-space. Bound in the manner of Piyavskii and Shubert, but of second order, so that the
// number of pieces does not explode near the least distance (Kannan and Barton, J. Glob. Optim. 2017).
//
// "Certified": proved bounds, evaluated in double with the rounding bound below, not interval arithmetic.
#pragma once

#include <Eigen/Core>
#include <coilwright/clearance/box_search.hpp>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/clearance/mesh_distance.hpp>
#include <coilwright/clearance/section_box.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/clearance/stretch.hpp>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace coilwright {

// Rounding of a distance or of a bound: fewer than 500 operations on numbers no larger than the extent
// lose less than 2^-44 of it (6e-10 mm in a scene of 10 m).
inline double rounding_bound_mm(double extent_mm) { return extent_mm * 0x1p-44; }

struct Course {
  Stretch stretch;
  double straight_mm = 0.0;                  // 0: the centreline itself
  std::span<const std::uint32_t> bodies;     // of a scenery, to keep away from
  SectionBox section{};                      // its rectangle, to whose points all distances are; without edges: the curve
};

// A patch of a part of several segments, thick as a rectangle of these half edges along normal and binormal; both 0:
// the centreline itself. Its middle may lie off the centreline; all of it is turned about the centreline, from the normal
// toward the binormal, as SectionBox is.
// What a rectangle, here and above, goes into a convex body counts as far as its deepest point goes.
struct PatchCourse {
  FedPatch patch;
  std::span<const std::uint32_t> bodies;
  Eigen::Vector2d half_edges = Eigen::Vector2d::Zero();
  Eigen::Vector2d middle = Eigen::Vector2d::Zero();
  double turned_rad = 0.0;

  [[nodiscard]] SectionBox section() const { return {middle, half_edges, 0.0, turned_rad}; }
};

// What stands around: a body is named by its place among the convex ones, or by mesh_index.
struct Scenery {
  std::span<const ConvexBody> convex;
  std::span<const MeshDistance> meshes{};
  // Points and lines have no inside: nothing is nearer to them than 0. Without saying so, a part that lies along one
  // would be divided for ever.
  enum class Inside { has_depth, none } inside = Inside::has_depth;
};
inline constexpr std::uint32_t mesh_mark = 0x8000'0000u;
constexpr std::uint32_t mesh_index(std::size_t place) { return mesh_mark | static_cast<std::uint32_t>(place); }
constexpr bool names_mesh(std::uint32_t body) { return (body & mesh_mark) != 0; }

// Where a distance was met: the point X(lag) + ahead X'(lag) of a course, and the body.
struct Meeting {
  std::size_t course;
  std::uint32_t body;
  double lag_mm, ahead_mm;
  Eigen::Vector3d point;      // of the section's rectangle, or of the centreline; or of its straight
  Eigen::Vector3d direction;  // from the body, unit
  double distance_mm;         // of that point
  // On a patch: fed length at which it was met, and the place on the part from its leading end.
  double fed_mm = 0.0, along_mm = 0.0;
};

// lower_mm <= least distance <= upper_mm, upper - lower <= tolerance. Infinite when nothing was searched.
// With a cutoff and no meeting, nothing lies nearer than lower_mm, and upper_mm is the cutoff.
struct LeastDistance {
  double lower_mm = std::numeric_limits<double>::infinity();
  double upper_mm = std::numeric_limits<double>::infinity();
  std::optional<Meeting> meeting;
};

class CertifiedMinimum {
 public:
  explicit CertifiedMinimum(double tolerance_mm);

  // Searches only for what is nearer than the cutoff.
  LeastDistance find(std::span<const Course> courses, Scenery around,
                     double cutoff_mm = std::numeric_limits<double>::infinity());
  LeastDistance find(std::span<const Course> courses, std::span<const ConvexBody> bodies,
                     double cutoff_mm = std::numeric_limits<double>::infinity()) {
    return find(courses, Scenery{bodies}, cutoff_mm);
  }

  LeastDistance find(std::span<const PatchCourse> courses, Scenery around,
                     double cutoff_mm = std::numeric_limits<double>::infinity());

  // Distances of one point to one body since construction.
  [[nodiscard]] std::size_t evaluations() const { return evaluations_; }

 private:
  // What the last look at a body, or at a piece of a mesh, left to know.
  struct Memory {
    MeshDistance::Piece piece{};  // of a mesh
    double nearest = 0.0;         // along the straight, where to look first
    Eigen::Vector3d offset = Eigen::Vector3d::Zero();  // in the section and along its straight, where to look first
    // The half-space found of it: direction . x + level is at most the distance of x, anywhere.
    Eigen::Vector3d direction = Eigen::Vector3d::Zero();
    double level = -std::numeric_limits<double>::infinity();
  };
  // A body that a piece of a course may come near to; lists of them are copied again and again.
  struct Candidate {
    double lower;  // of this body over this piece
    std::uint32_t body;
    std::uint32_t memory;  // its place among the memories
  };
  // Of a course: a box of its parameters (of a stretch only w, the lag), with the bodies still possible. A piece
  // of a mesh is alone.
  struct Part {
    double lower;
    PatchBox box;
    std::uint32_t first, count;
    std::uint32_t course;
    bool cut_s = false;  // which way to halve it
  };
  // A half-space that supports the body: `at_start + slope l` bounds the distance along the straight
  // l >= 0 from below; `nearest` is the l to look at first next time.
  struct Support {
    double at_start, slope, nearest;
    Eigen::Vector3d direction;
  };
  // One piece of a course, its middle worked out.
  struct View {
    const Course* course;
    const PatchCourse* patch;
    std::uint32_t index;
    PatchBox box;
    double lag, half;
    BoundedPoint start, end;  // of the straight; the same without one
    // Of a patch: the corners of the section, or the centreline alone.
    std::array<PatchPoint, 4> corner;
    std::size_t corners;
    // Of a course with a section: its corners, behind them those at the end of a straight.
    std::array<BoundedPoint, 8> course_corner;
    std::size_t course_corners;
    SearchBox box_of_section;  // of both
    bool exists;  // all of it
    double reach_mm;  // how far a point of it may be from where its middle has it, of a section's corner or a straight's
  };

  void add(Part part, std::span<const Candidate> candidates);
  void add(Part part, std::span<const Candidate> candidates, const View& view);
  // The same over a box that winds round its axis: no distance is looked at.
  void add_wound(Part part, std::span<const Candidate> candidates);
  void push(const Part& part);
  void push_with_meshes(const Part& part);  // those collected, each alone
  void start_course(std::uint32_t index);
  void start_patch(std::uint32_t index);
  // A course that keeps off the surface of a mesh lies inside or outside with all of its points: one of them tells.
  void take_inside(const Meeting& meeting, const std::array<double, 2>& at);
  void divide(const Part& part);
  SurfaceDistance look(const View& view, std::uint32_t body, const Memory& memory, double ahead);
  double lower_along_straight(const View& view, std::uint32_t body, Memory& memory);
  [[nodiscard]] View view_of(const Part& part) const;
  static void view_of_patch(View& view);
  static void view_of_section(View& view);
  [[nodiscard]] static double reach_of(const View& view);
  // Leaves in `against` the direction of the half-space that it stands on.
  double lower_over_patch(const View& view, std::uint32_t body, Memory& memory, Eigen::Vector3d& against);
  // What is known of a candidate without looking: by the ball round the body, by the last half-space found of it.
  [[nodiscard]] double known_without_looking(const View& view, const Candidate& candidate) const;
  // How far from the middle of a piece that lies straight its point nearest to a body is, about; 0 on any other piece.
  [[nodiscard]] double nearest_along(const View& view, std::uint32_t body) const;
  static void remember(Memory& memory, const SurfaceDistance& found, const Eigen::Vector3d& of);
  std::uint32_t kept(const Memory& memory);
  // Lower bound of how far all of it stays from a point, not pursued beyond what is enough.
  [[nodiscard]] static double away_from(const View& view, const Eigen::Vector3d& point, double enough_mm);
  // Lower bound of its distance to a convex body, by the ball round that.
  [[nodiscard]] double by_its_ball(const View& view, std::uint32_t body) const;
  // Whether one ball round all of them is too far; then they are set aside.
  bool all_too_far(const View& view, std::span<const std::uint32_t> bodies);
  SurfaceDistance look_at(const View& view, std::uint32_t body, const Memory& memory, const Eigen::Vector3d& point, double ahead,
                          double s, double w);
  // Over a section, searched as closely as the piece's own curl allows to be of use.
  double lower_over_section(const View& view, std::uint32_t body, Memory& memory, double curl);
  // Of a patch or a course with a section, from one half-space: `at_centre` at the middle.
  [[nodiscard]] static double lower_of_section(const View& view, double at_centre, const Eigen::Vector3d& direction);
  [[nodiscard]] static double lower_of_patch(const View& view, double at_centre, const Eigen::Vector3d& direction);
  [[nodiscard]] static double least_rise(const View& view, const PatchPoint& corner, const Eigen::Vector3d& g);
  [[nodiscard]] static bool cuts_s(const View& view, const Eigen::Vector3d& g);
  LeastDistance search();
  [[nodiscard]] static double lower(const View& view, const Support& support);

  double tolerance_;
  std::span<const Course> courses_;
  std::span<const PatchCourse> patches_;
  Scenery around_{};
  double rounding_ = 0.0;
  double dropped_ = 0.0;  // least lower bound of what was set aside
  LeastDistance best_;
  std::array<double, 2> met_at_{};  // parameters of the patch where the best was met
  std::vector<Candidate> candidates_, mesh_candidates_, halved_, whole_;
  std::vector<Memory> memories_;
  std::vector<Part> parts_;
  struct Queued {
    double lower;
    std::uint32_t part;  // its place among the parts
  };
  std::vector<Queued> heap_;
  std::size_t evaluations_ = 0;
};

}  // namespace coilwright
