#include <catch2/catch.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/printed_sum.hpp>

using namespace coilwright;

TEST_CASE("thirds: rounding each alone would lose a unit", "[printed_sum][property]") {
  const double third = 1.0 / 3.0;
  const PrintedSum sum = printed_sum({third, third, third}, third + third + third, 1);
  CHECK(sum.total == "1.0");
  CHECK(sum.parts == std::vector<std::string>{"0.4", "0.3", "0.3"});
}

TEST_CASE("what is exact stays as it is", "[printed_sum][property]") {
  const PrintedSum sum = printed_sum({0.25, 1200.0, 0.0}, 1200.25, 2);
  CHECK(sum.parts == std::vector<std::string>{"0.25", "1200.00", "0.00"});
  CHECK(sum.total == "1200.25");
  CHECK(printed_sum({7.0}, 7.0, 0).parts == std::vector<std::string>{"7"});
}

TEST_CASE("a total that is not the sum is a mistake of ours", "[printed_sum][input]") {
  CHECK_THROWS_AS(printed_sum({1.0, 2.0}, 3.001, 1), InternalError);
  CHECK_THROWS_AS(printed_sum({-1.0, 2.0}, 1.0, 1), InternalError);
}
