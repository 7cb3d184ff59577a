#include <catch2/catch.hpp>
#include <cstdint>
#include <viewer/scene/label_layout.hpp>

using namespace coilwright::view;

namespace {

class Dice {
 public:
  explicit Dice(std::uint32_t seed) : state_(seed) {}
  double between(double low, double high) {
    state_ = state_ * 1664525u + 1013904223u;
    return low + (high - low) * (state_ / 4294967296.0);
  }

 private:
  std::uint32_t state_;
};

}  // namespace

TEST_CASE("labels never lie on each other, on what is taken, outside the area, or across a leader", "[property]") {
  int placed = 0, asked = 0;
  for (std::uint32_t seed = 1; seed <= 60; ++seed) {
    Dice dice(seed);
    LabelGround ground{{{0, 0}, {1200, 700}}, {{{0, 600}, {400, 700}}, {{900, 0}, {1200, 120}}}, {}, 6.0, 1.0};
    for (int i = 0; i < 200; ++i) ground.busy.push_back({{dice.between(300, 900), dice.between(100, 600)}, std::nullopt});
    std::vector<LabelRequest> requests;
    for (int i = 0; i < 14; ++i) {
      LabelRequest request;
      request.anchors = {{dice.between(50, 1150), dice.between(130, 590)}};
      request.size = {dice.between(60, 260), dice.between(18, 30)};
      request.seat = i % 3 == 0 ? LabelRequest::Seat::on_anchor : LabelRequest::Seat::beside;
      requests.push_back(request);
    }
    const auto places = place_labels(requests, ground);
    REQUIRE(places.size() == requests.size());
    asked += static_cast<int>(requests.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (!places[i]) continue;
      ++placed;
      const PixelBox& box = places[i]->box;
      REQUIRE(ground.area.contains(box));
      REQUIRE((box.size() - requests[i].size).norm() < 1e-9);
      for (const PixelBox& taken : ground.taken) REQUIRE_FALSE(box.overlaps(taken));
      for (std::size_t k = 0; k < places.size(); ++k) {
        if (k == i || !places[k]) continue;
        REQUIRE_FALSE(box.grown(5.9).overlaps(places[k]->box));
        if (places[k]->leader_end != places[k]->anchor)
          REQUIRE_FALSE(crosses(box, places[k]->anchor, places[k]->leader_end));
      }
    }
  }
  // Crowded as these pictures are, nine labels in ten must find a place (judgement).
  CHECK(10 * placed >= 9 * asked);
}

TEST_CASE("without room a label is left out, not squeezed in", "[property]") {
  LabelRequest wide;
  wide.anchors = {{50, 50}};
  wide.size = {200, 20};
  CHECK_FALSE(place_labels({wide}, {{{0, 0}, {100, 100}}, {}, {}, 6.0, 1.0})[0]);
  LabelRequest outside;
  outside.anchors = {{500, 500}};
  outside.size = {20, 10};
  CHECK_FALSE(place_labels({outside}, {{{0, 0}, {100, 100}}, {}, {}, 6.0, 1.0})[0]);
}

TEST_CASE("a label beside its anchor does not cover it, one on its line may", "[property]") {
  LabelRequest request;
  request.anchors = {{300, 200}};
  request.size = {80, 20};
  const LabelGround ground{{{0, 0}, {600, 400}}, {}, {}, 6.0, 1.0};
  const auto beside = place_labels({request}, ground)[0];
  REQUIRE(beside);
  CHECK_FALSE(beside->box.contains(Pixel(300, 200)));
  request.seat = LabelRequest::Seat::on_anchor;
  const auto on = place_labels({request}, ground)[0];
  REQUIRE(on);
  CHECK(on->box.contains(Pixel(300, 200)));
}

TEST_CASE("segments and boxes", "[oracle]") {
  const PixelBox box{{10, 10}, {20, 20}};
  CHECK(crosses(box, {0, 15}, {30, 15}));
  CHECK(crosses(box, {12, 12}, {13, 13}));
  CHECK(crosses(box, {0, 0}, {30, 30}));
  CHECK_FALSE(crosses(box, {0, 0}, {30, 5}));
  CHECK_FALSE(crosses(box, {0, 15}, {5, 15}));
  CHECK_FALSE(crosses(box, {15, 25}, {15, 60}));
}
