#include <coilwright/rolling/blank.hpp>

#include <catch2/catch.hpp>

using namespace coilwright;

TEST_CASE("every length of the blank counts once", "[blank][oracle]") {
  // A rail at reach 600 by hand: 235.34 + 799.89 + 6276.38 + 234.71 = 7546.3, settling 0; with settling as long
  // as the lead arc 8346.2.
  Blank b;
  b.flat_front = Length::mm(235.34);
  b.flat_back = Length::mm(234.71);
  b.lead_arc = Length::mm(799.89);
  b.run_in = Length::mm(500);
  b.developed = Length::mm(6276.38);
  CHECK(b.cut_length().mm() == Approx(7546.3).margin(0.0501));
  b.settling = b.lead_arc;
  CHECK(b.cut_length().mm() == Approx(8346.2).margin(0.0501));
  // Run-in and lead arc are the same material: the longer governs.
  b.run_in = Length::mm(2000);
  CHECK(b.start_up() == Length::mm(2000));
  b.trim_front = Length::mm(30);
  b.trim_back = Length::mm(40);
  CHECK(b.usable_from().mm() == Approx(235.34 + 2000 + 30));
  CHECK((b.usable_to() - b.usable_from()).mm() == Approx(b.developed.mm()).epsilon(1e-12));
  CHECK(b.cut_length().mm() == Approx(b.usable_to().mm() + 40 + 234.71));
  CHECK(b.rolled().mm() == Approx(2000 + 30 + 6276.38 + 40));
}
