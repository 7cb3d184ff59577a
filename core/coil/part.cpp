#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/coil/part.hpp>
#include <coilwright/coil/part_closing.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

bool eases(const Segment& s) {
  return s.bends() == Bends::up || s.bends() == Bends::down;
}

// How far the bend of a segment is turned about the tangent from one that bends in.
double turned(Bends bends, double up_side) {
  switch (bends) {
    case Bends::in:
      return 0.0;
    case Bends::out:
      return pi;
    case Bends::up:
      return up_side * 0.5 * pi;
    case Bends::down:
      return -up_side * 0.5 * pi;
  }
  return 0.0;
}

}  // namespace

void Part::join() {
  const auto first_climb =
      std::find_if(segments_.begin(), segments_.end(), [](const Segment& s) { return s.hand().has_value(); });
  const auto first_easing = std::find_if(segments_.begin(), segments_.end(), eases);
  eased_ = first_easing != segments_.end();
  const double up_side = climbs_to_minus_z_ ? -1.0 : 1.0;

  centreline_ = Centreline();
  double bend = 0.0;
  for (const Segment& s : segments_) {
    const bool straight = s.kind() == SegmentKind::straight;
    const double wanted = straight ? bend : turned(s.bends(), up_side);
    double turn = wanted - bend;
    if (turn > pi) turn -= 2.0 * pi;
    if (turn <= -pi) turn += 2.0 * pi;
    centreline_.append(s.curve(), turn);
    bend = wanted;
    if (s.hand() && std::find(hands_.begin(), hands_.end(), *s.hand()) == hands_.end())
      hands_.push_back(*s.hand());
  }
  up_ = up_side * Eigen::Vector3d::UnitZ();
  if (first_climb == segments_.end() || first_easing < first_climb) return;
  // The axis of a screw is the direction of tau t + kappa b; of a cone it is fixed by the same two at its
  // start.
  const auto& joined = centreline_.segments()[static_cast<std::size_t>(first_climb - segments_.begin())];
  up_ = axis_of(joined.curve, joined.start);
  if (up_.dot(joined.start.tangent) < 0.0) up_ = -up_;
}

void Part::note_turns() {
  const auto number = [](std::size_t i) { return "Segment " + std::to_string(i + 1); };
  const auto add = [&](TurnNeed need, std::size_t segment, std::string text) {
    const bool said =
        std::any_of(turnings_.begin(), turnings_.end(), [&](const Turning& t) { return t.need == need; });
    if (!said) turnings_.push_back({need, segment, std::move(text)});
  };
  const Segment* first_bent = nullptr;
  const Segment* first_climbing = nullptr;
  const bool any_climb = !hands_.empty() || eased_;
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    const Segment& s = segments_[i];
    if (s.kind() == SegmentKind::straight) continue;
    if (eases(s)) {
      add(TurnNeed::quarter_turn, i,
          number(i) + " is an easing: it bends " + (s.bends() == Bends::up ? "up" : "down") +
              ", so the stock has to be turned by 90 degrees about its own axis for it, or it is bent apart "
              "and spliced on.");
      continue;
    }
    if (first_bent == nullptr) first_bent = &s;
    if (s.hand() && first_climbing == nullptr) first_climbing = &s;
    if (s.hand() && *s.hand() != *first_climbing->hand()) {
      add(TurnNeed::other_hand, i,
          number(i) + " is a " + std::string(hand_text(*s.hand())) + " and what comes before is a " +
              std::string(hand_text(*first_climbing->hand())) +
              ". Turning the part over does not change its hand, and a machine makes the other hand with the "
              "other "
              "feed: roll it as a piece of its own and splice it at " +
              length_text(Length::mm(centreline_.segments()[i].from_mm), Show::both) +
              " from the front end.");
      continue;
    }
    if (s.bends() == first_bent->bends()) continue;
    if (!any_climb)
      add(TurnNeed::turn_over, i,
          number(i) +
              " bends the other way. The part is flat: withdraw the centre roll, turn the part over and go "
              "on.");
    else
      add(TurnNeed::turn_over_climbing, i,
          number(i) +
              " bends the other way, and the part climbs: turned over, what was above lies below, and it is "
              "not "
              "known here that the machine has room for that. Roll it as a piece of its own and splice it "
              "at " +
              length_text(Length::mm(centreline_.segments()[i].from_mm), Show::both) +
              " from the front end.");
  }
}

Part Part::of(const Coil& coil) {
  SegmentSpec spec;
  spec.kind = SegmentKind::helix;
  spec.hand = coil.hand();
  spec.with(SegmentMeasure::radius, coil.helix().plan_radius())
      .with(SegmentMeasure::pitch, coil.helix().pitch())
      .with_turns(coil.turns());
  const Result<Part> part = from({spec}, coil.faces());
  require(part.has_value(), "a coil is a part");
  return *part;
}

Length Part::inside_length() const {
  Length sum;
  for (const Segment& s : segments_)
    sum += eases(s) ? s.length() : (s.bends() == Bends::out ? s.outside_length() : s.inside_length());
  return sum;
}

Length Part::outside_length() const {
  Length sum;
  for (const Segment& s : segments_)
    sum += eases(s) ? s.length() : (s.bends() == Bends::out ? s.inside_length() : s.outside_length());
  return sum;
}

std::vector<Joint> Part::joints() const {
  std::vector<Joint> joints;
  const auto& all = centreline_.segments();
  for (std::size_t i = 0; i + 1 < all.size(); ++i)
    joints.push_back({i, all[i].to_mm(), all[i].curve.curvature(all[i].curve.length_mm()),
                      all[i + 1].curve.curvature(0.0), all[i + 1].bend_turned_rad});
  return joints;
}

}  // namespace coilwright
