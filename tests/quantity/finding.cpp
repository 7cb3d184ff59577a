#include <catch2/catch.hpp>
#include <coilwright/quantity/finding.hpp>

using namespace coilwright;

TEST_CASE("a refusal carries its findings in place of a value", "[finding][property]") {
  const Result<double> refused = refuse("coil.pitch", "The pitch is zero.");
  REQUIRE_FALSE(refused.has_value());
  REQUIRE(refused.error().size() == 1);
  CHECK(refused.error()[0] == Finding{Level::fault, "coil.pitch", "The pitch is zero.", std::nullopt});
}

TEST_CASE("findings are joined in order", "[finding][property]") {
  const Finding first{Level::caution, "a", "One.", std::nullopt};
  const Finding second{Level::question, "b", "Two?", Place{"job.toml", 3, 14}};
  Findings all{first};
  append(all, {second, first});
  CHECK(all == Findings{first, second, first});
}

TEST_CASE("findings differ by every part", "[finding][property]") {
  const Finding finding{Level::fault, "a", "One.", Place{"job.toml", 3, 14}};
  for (const Finding& other : {Finding{Level::caution, "a", "One.", Place{"job.toml", 3, 14}},
                               Finding{Level::fault, "b", "One.", Place{"job.toml", 3, 14}},
                               Finding{Level::fault, "a", "Two.", Place{"job.toml", 3, 14}},
                               Finding{Level::fault, "a", "One.", Place{"job.toml", 3, 15}},
                               Finding{Level::fault, "a", "One.", std::nullopt}})
    CHECK(finding != other);
}
