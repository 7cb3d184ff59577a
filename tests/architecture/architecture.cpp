#include <catch2/catch.hpp>

#include "house_rules.hpp"

namespace {

// How many rules a project of this one file breaks (with the header that goes with a source).
std::size_t broken_by(const std::string& path, const std::string& text) {
  std::vector<SourceFile> files{{path, text}};
  if (path.ends_with(".cpp")) files.push_back({path.substr(0, path.size() - 4) + ".hpp", ""});
  return broken_rules(files).size();
}

}  // namespace

TEST_CASE("the project keeps the rules of the house", "[property]") {
  const auto files = project_files(COILWRIGHT_TOP);
  const auto has = [&](const std::string& path) {
    return std::any_of(files.begin(), files.end(), [&](const auto& file) { return file.path == path; });
  };
  CHECK(has("CMakeLists.txt"));
  CHECK(has("core/coil/helix.cpp"));
  CHECK(has("tests/architecture/architecture.cpp"));
  CHECK(has("samples/run"));
  for (const std::string& broken : broken_rules(files)) FAIL_CHECK(broken);
}

TEST_CASE("a room leans only on itself and the rooms before it", "[property]") {
  CHECK(broken_by("core/coil/a.hpp", "#include <coilwright/quantity/quantity.hpp>\n") == 0);
  CHECK(broken_by("core/coil/a.hpp", "#include <coilwright/coil/helix.hpp>\n") == 0);
  CHECK(broken_by("core/clearance/a.cpp", "#include <coilwright/rolling/pose.hpp>\n") == 0);
  CHECK(broken_by("core/coil/a.hpp", "  # include  <coilwright/machine/machine.hpp> // why\n") == 1);
  CHECK(broken_by("core/rolling/a.cpp", "#include <coilwright/clearance/clearance.hpp>\n") == 1);
  CHECK(broken_by("core/plan/a.cpp", "#include <coilwright/attic/a.hpp>\n") == 1);
  CHECK(broken_by("core/coil/a.cpp", "#include \"../machine/machine.hpp\"\n") == 1);
  CHECK(broken_by("core/attic/a.hpp", "") == 1);
  CHECK(broken_by("viewer/scene/a.cpp", "#include <coilwright/plan/plan.hpp>\n") == 0);
  CHECK(broken_by("viewer/scene/a.cpp", "#include <coilwright/command/flags.hpp>\n") == 1);
  CHECK(broken_by("viewer/scene/a.cpp", "#include \"window/window.hpp\"\n") == 1);
}

TEST_CASE("a library is used where it belongs", "[property]") {
  CHECK(broken_by("viewer/scene/a.cpp", "#include <vtkActor.h>\n") == 0);
  CHECK(broken_by("core/report/a.cpp", "#include <vtkActor.h>\n") == 1);
  CHECK(broken_by("core/command/a.cpp", "#include <CLI/CLI.hpp>\n") == 0);
  CHECK(broken_by("core/plan/a.cpp", "#include <CLI/CLI.hpp>\n") == 1);
  CHECK(broken_by("viewer/a.cpp", "#include <CLI/CLI.hpp>\n") == 1);
  CHECK(broken_by("core/quantity/document.cpp", "#include <toml++/toml.h>\n") == 0);
  CHECK(broken_by("core/machine/a.cpp", "#include <toml++/toml.h>\n") == 1);
  CHECK(broken_by("core/report/a.cpp", "#include <nlohmann/json.hpp>\n") == 0);
  CHECK(broken_by("core/report/a.hpp", "#include <nlohmann/json.hpp>\n") == 1);
  CHECK(broken_by("core/report/drawing.cpp", "#include <cairo-pdf.h>\n#include <cairo.h>\n") == 0);
  CHECK(broken_by("core/report/a.cpp", "#include <cairo.h>\n") == 1);
  CHECK(broken_by("core/stock/a.hpp",
                  "#include <Eigen/Core>\n#include <tl/expected.hpp>\n#include <vector>\n") == 0);
  CHECK(broken_by("core/stock/a.cpp", "#include <unistd.h>\n#include <boost/math/tools/roots.hpp>\n") == 0);
  CHECK(broken_by("core/stock/a.hpp", "#include <unistd.h>\n#include <boost/math/tools/roots.hpp>\n") == 2);
  CHECK(broken_by("core/stock/a.cpp", "#include <fmt/core.h>\n#include <unheard/of.hpp>\n") == 1);
}

TEST_CASE("a file has a header of its name, one idea and nothing left undone", "[property]") {
  CHECK(broken_rules({{"core/coil/a.cpp", ""}}).size() == 1);
  CHECK(broken_rules({{"core/coil/b_part.cpp", ""}, {"core/coil/a.hpp", ""}}).size() == 1);
  CHECK(broken_rules({{"core/coil/a_longer_part.cpp", ""}, {"core/coil/a.hpp", ""}}).empty());
  CHECK(broken_rules({{"core/command/main.cpp", ""}}).empty());
  std::string lines(450, '\n');
  CHECK(broken_by("tests/coil/a.cpp", lines) == 0);
  CHECK(broken_by("tests/coil/a.cpp", lines + "\n") == 1);
  CHECK(broken_by("README.md", std::string("TO") + "DO: words\n") == 1);
  CHECK(broken_by("core/coil/a.hpp", std::string("// FIX") + "ME\n") == 1);
  CHECK(broken_by("core/coil/a.hpp", std::string("// see notes.") + "md, and README.md\n") == 1);
  CHECK(broken_by("core/coil/a.cpp", "double x = std::stod(text);\n") == 1);
  CHECK(broken_by("core/coil/a.cpp", "#define TWICE(x) (2 * (x))\n") == 1);
}
