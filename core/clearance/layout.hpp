// Which stretches of the part are counted against which body: pieces, contacts, the stock and the part itself.
#pragma once

#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/contact.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace coilwright {

// The stretches of the part between two lags, by growing lag.
std::vector<Stretch> stretches(const PosedPart& part, double from_mm, double to_mm);

// A stretch of one piece of the part; with a straight, of the front end.
struct PieceStretch {
  Piece piece;
  Stretch stretch;
  double straight_mm;
};

// Courses to search, with the piece that each belongs to.
struct PieceCourses {
  std::vector<Course> courses;
  std::vector<Piece> pieces;
};

enum class FrontEnd { without, with };

// A scene worked out: bodies with their frames, the part in stretches, what belongs to contacts.
// The scene and the part must outlive it.
class Layout {
 public:
  // Demands a part and finite lengths in order. Contacts are told apart only as far as `enough_mm` from the surface.
  Layout(const ClearanceScene& scene, double tolerance_mm, double enough_mm = std::numeric_limits<double>::infinity());
  Layout(const Layout&) = delete;
  Layout& operator=(const Layout&) = delete;

  [[nodiscard]] const std::vector<PieceStretch>& pieces() const { return pieces_; }
  [[nodiscard]] Scenery around() const { return {bodies_, meshes_}; }
  // Of an obstacle by its place in the scene; none without a contact.
  [[nodiscard]] const std::optional<NotCounted>& not_counted(std::size_t obstacle) const {
    return not_counted_[obstacle];
  }
  // Whose body it is, by the name that meetings give it; none: the incoming stock.
  [[nodiscard]] std::optional<std::size_t> obstacle_of(std::uint32_t body) const;
  // Distances of one point to one body spent on the contacts.
  [[nodiscard]] std::size_t evaluations() const { return evaluations_; }

  // What of one piece is counted against one obstacle.
  [[nodiscard]] PieceCourses against(std::size_t obstacle, Piece piece) const;
  // What is counted against all obstacles and the stock; obstacles without a contact share their courses.
  // Valid as long as the layout.
  [[nodiscard]] PieceCourses against_everything() const;
  [[nodiscard]] const SectionBox& section() const { return section_; }
  // By how much the stock's body may be nearer than the stock, whose edges are rounded.
  [[nodiscard]] double stock_excess_mm() const { return stock_excess_; }
  // Coil, lead arc and front end against the stock, as thick as it is; none for a part that is too short.
  [[nodiscard]] PieceCourses against_stock() const;
  // Pairs of the same with the loaded spans, and of the part with itself. The rigid helix without a front
  // end is left out: that pair has a closed form.
  [[nodiscard]] std::vector<PairCourse> pairs_with_spans() const;
  [[nodiscard]] std::vector<PairCourse> pairs_with_itself(FrontEnd front_end) const;
  // The nearest pair of the rigid helix, closed form: one turn apart, or at an end of the lags compared.
  [[nodiscard]] std::optional<PairMeeting> rigid_pair() const;

  // A meeting told as the pair of surface points that it is.
  [[nodiscard]] NearestPair nearest(std::string name, Piece piece, const Meeting& meeting) const;
  [[nodiscard]] NearestPair nearest(std::string name, const PairMeeting& meeting) const;
  // At an end of the part or of the lags compared, as far as the search knows the place.
  [[nodiscard]] bool at_end(const PairMeeting& meeting) const;

 private:
  void add_piece(Piece piece, double from_mm, double to_mm);
  // The straight front end that continues the part from a stretch of it.
  [[nodiscard]] double front_end_on(const Stretch& stretch) const {
    return stretch.stage() == Stage::arc ? arc_front_end_mm_ : spec_.front_end_mm;
  }
  void add(std::size_t obstacle, std::optional<Piece> only, PieceCourses& to) const;
  [[nodiscard]] std::span<const std::uint32_t> bodies_of(std::size_t obstacle) const;
  [[nodiscard]] std::optional<NotCounted> find_not_counted(std::size_t obstacle);
  // The lag from which the part is checked against itself and the stock; none when it is shorter.
  [[nodiscard]] std::optional<double> returns_from() const;
  [[nodiscard]] NearestPair pair_of(std::string name, Piece piece, double lag, double ahead,
                                    const Eigen::Vector3d& centre, const Eigen::Vector3d& toward_part,
                                    double centre_distance, double radius_mm) const;
  // The incoming stock as a body; sets how much larger it is.
  [[nodiscard]] ConvexBody stock_body();

  const ClearanceScene& spec_;
  SectionBox section_;
  double tolerance_, enough_, stock_excess_ = 0.0;
  double arc_front_end_mm_ = 0.0;  // the front end, long enough at every lag of the sprung arc
  std::vector<PieceStretch> pieces_;
  std::vector<Stretch> whole_;
  std::vector<ConvexBody> bodies_;    // convex ones of all obstacles in order, then the stock
  std::vector<MeshDistance> meshes_;  // likewise
  std::vector<std::uint32_t> indices_, first_body_;
  std::vector<std::uint32_t> without_contact_;
  std::vector<std::optional<NotCounted>> not_counted_;
  std::size_t evaluations_ = 0;
};

}  // namespace coilwright
