// The few colours of every picture, and the ramp that says how far the part stays away.
//
// The ramp reads without telling red from green: a dark crimson that is also striped for what touches,
// orange to amber inside the margin, light to dark blue beyond it. Hard steps stand at 0 and at the margin.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace coilwright::view {

struct Rgb {
  unsigned char r, g, b;
  friend bool operator==(const Rgb&, const Rgb&) = default;
};

inline constexpr Rgb paper{247, 245, 240};
inline constexpr Rgb panel{255, 254, 251};
inline constexpr Rgb ink{38, 43, 48};
inline constexpr Rgb soft_ink{104, 109, 112};
inline constexpr Rgb hairline{196, 192, 183};
inline constexpr Rgb grid{223, 219, 209};
inline constexpr Rgb shadow{232, 228, 219};
inline constexpr Rgb collision{170, 0, 48};
inline constexpr Rgb caution{214, 110, 0};

// Machine parts: quiet, told apart by shade and warmth.
inline constexpr Rgb roll_colour{150, 160, 168};
inline constexpr Rgb frame_colour{216, 212, 202};
inline constexpr Rgb slide_colour{190, 201, 190};
inline constexpr Rgb arm_colour{208, 194, 166};
inline constexpr Rgb stock_colour{176, 181, 184};

Rgb mixed(Rgb a, Rgb b, double share_of_b);

// Clearance in mm to colour.
class Ramp {
 public:
  // `margin_mm` > 0. The ramp ends at a round number of about ten margins.
  explicit Ramp(double margin_mm);
  [[nodiscard]] Rgb colour(double clearance_mm) const;
  [[nodiscard]] double margin_mm() const { return margin_mm_; }
  [[nodiscard]] double far_mm() const { return far_mm_; }

 private:
  double margin_mm_, far_mm_;
};

}  // namespace coilwright::view
