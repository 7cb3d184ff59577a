#include <catch2/catch.hpp>
#include <clocale>
#include <coilwright/quantity/document.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <locale>
#include <sstream>
#include <string>

using namespace coilwright;

namespace {

class CommaForPoint : public std::numpunct<char> {
  char do_decimal_point() const override { return ','; }
  char do_thousands_sep() const override { return '.'; }
  std::string do_grouping() const override { return "\3"; }
};

// Puts back what was there, whatever the test does.
class OtherLocale {
 public:
  OtherLocale() : cpp_before_(std::locale()), c_before_(std::setlocale(LC_ALL, nullptr)) {
    std::locale::global(std::locale(std::locale::classic(), new CommaForPoint));
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "nl_NL.UTF-8", "es_ES.UTF-8"})
      if (std::setlocale(LC_ALL, name) != nullptr) break;
  }
  OtherLocale(const OtherLocale&) = delete;
  OtherLocale& operator=(const OtherLocale&) = delete;
  ~OtherLocale() {
    std::locale::global(cpp_before_);
    std::setlocale(LC_ALL, c_before_.c_str());
  }

 private:
  std::locale cpp_before_;
  std::string c_before_;
};

}  // namespace

TEST_CASE("a locale with a decimal comma changes nothing", "[locale][property]") {
  const OtherLocale other;
  std::ostringstream stream;
  stream << 1234.5;
  REQUIRE(stream.str() == "1.234,5");  // the locale is in force

  CHECK(read_length("600.5 mm", "a").value().mm() == 600.5);
  CHECK_FALSE(read_length("600,5 mm", "a").has_value());
  CHECK(read_number("2.5e3", "a").value() == 2500.0);
  CHECK_FALSE(read_number("1.234,5", "a").has_value());
  CHECK(read_angle("1.5 rad", "a").value().rad() == 1.5);
  CHECK(number_text(123456.75, 2) == "123456.75");
  CHECK(length_text(Length::mm(7546.3), Show::both) == "7546.3 mm (24'-9 1/8\")");
  CHECK(length_text(Length::inches(12000.0), Show::inch, 2) == "12000.0000 in");

  const auto document = read_document("a = 1234.5\nb = 1.5e-3\nc = 1_000\n", "job.toml");
  REQUIRE(document.has_value());
  CHECK(std::get<double>(document->find("a")->value) == 1234.5);
  CHECK(std::get<double>(document->find("b")->value) == 1.5e-3);
  CHECK(std::get<double>(document->find("c")->value) == 1000.0);
  CHECK_FALSE(read_document("a = 1,5\n", "job.toml").has_value());
  const auto far = read_document(std::string(1999, '\n') + "a = nan", "job.toml");
  REQUIRE_FALSE(far.has_value());
  CHECK(far.error()[0].place == Place{"job.toml", 2000, 5});
}
