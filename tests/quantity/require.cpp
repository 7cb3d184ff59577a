#include <catch2/catch.hpp>
#include <coilwright/quantity/require.hpp>

using namespace coilwright;

TEST_CASE("require lets the truth pass and names a caller's bug", "[require][property]") {
  CHECK_NOTHROW(require(true, "a thing"));
  CHECK_THROWS_WITH(require(false, "the radius is positive"), "the radius is positive");
  CHECK_THROWS_AS(require(false, "a thing"), InternalError);
}
