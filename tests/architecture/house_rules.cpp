#include "house_rules.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>

namespace {

// A room may use itself and the rooms before it.
const std::vector<std::string> rooms{"quantity",  "stock", "coil",   "machine", "rolling",
                                     "clearance", "plan",  "report", "command"};

// What may stand only in some files. The first row that fits an include decides about it.
struct Rule {
  std::regex what;     // an include's path, or text of a line
  std::regex allowed;  // paths of files
  std::string words;
};

const std::vector<Rule> library_rules{
    {std::regex("vtk.*"), std::regex("viewer/.*|tests/viewer/.*"), "VTK belongs to viewer/"},
    {std::regex("(EGL|GL|X11)/.*"), std::regex("viewer/.*|tests/viewer/.*"), "displays belong to viewer/"},
    {std::regex("CLI/.*"), std::regex("core/command/.*"), "CLI11 belongs to core/command/"},
    {std::regex("toml\\+\\+/.*"), std::regex("core/quantity/document\\.cpp"),
     "toml++ belongs to core/quantity/document.cpp"},
    {std::regex("nlohmann/.*"), std::regex("core/(report|command)/.*\\.cpp|core/report/json_value\\.hpp|tests/.*"),
     "nlohmann json belongs to the sources of core/report/ and core/command/"},
    {std::regex("cairo.*"), std::regex("core/report/drawing\\.cpp"), "cairo belongs to core/report/drawing.cpp"},
    {std::regex("boost/.*"), std::regex(".*\\.cpp"), "Boost belongs in sources, it is slow to compile"},
    {std::regex("catch2/.*"), std::regex("tests/.*"), "Catch2 belongs to tests/"},
    {std::regex("(Eigen|tl)/.*"), std::regex(".*"), ""},
    {std::regex("[a-z0-9_/]+\\.h"), std::regex("(viewer|tests)/.*|core/.*\\.cpp"),
     "headers of the system belong in sources"},
    {std::regex("[a-z0-9_]+"), std::regex(".*"), ""},  // the standard library
    {std::regex(".*"), std::regex("(viewer|tests)/.*"), "a library the rules of the house do not know"},
};

const std::vector<Rule> text_rules{
    // Split, or this file would break its own rule.
    {std::regex("\\b(TO"
                "DO|FIX"
                "ME)\\b"),
     std::regex(""), "a note about work left: do it or file it"},
    {std::regex("\\b(?!README\\b|DEVELOPERS\\b)\\w+\\."
                "md\\b"),
     std::regex(""), "a page that is not in the project: it stands alone"},
    {std::regex("\\b(strtod|stod|atof|stoi|atoi|sscanf|setlocale)\\("), std::regex("(?!core/|viewer/).*"),
     "numbers are read with from_chars, which no locale changes"},
    {std::regex("^\\s*#\\s*define\\b"), std::regex("(?!core/).*"), "no macros"},
};

constexpr int most_lines = 450;

const std::regex include_line("^\\s*#\\s*include\\s*([<\"])([^>\"]+)[>\"].*");

bool fits(const std::string& text, const std::regex& pattern) {
  return std::regex_match(text, pattern);
}

bool is_source(const std::string& path) {
  return path.ends_with(".cpp") || path.ends_with(".hpp");
}

// "core/coil/helix.hpp", "core" -> "coil"; empty for a file outside that folder's rooms.
std::string room_of(const std::string& path, const std::string& folder) {
  if (!path.starts_with(folder + "/")) return "";
  const auto slash = path.find('/', folder.size() + 1);
  return slash == std::string::npos ? "" : path.substr(folder.size() + 1, slash - folder.size() - 1);
}

// What is wrong with an include; empty when nothing.
std::string wrong_include(const std::string& path, const std::string& included, bool quoted) {
  if (quoted && path.starts_with("core/")) return "the include path shows the room: <coilwright/ROOM/FILE>";
  if (path.starts_with("viewer/scene/") && included.find("window/") != std::string::npos)
    return "the scene knows no window";
  if (quoted) return "";
  const std::string used = room_of(included, "coilwright");
  if (!used.empty()) {
    const auto used_at = std::find(rooms.begin(), rooms.end(), used);
    if (used_at == rooms.end()) return "there is no room '" + used + "'";
    const std::string own = room_of(path, "core");
    if (own.empty())
      // The two programs share one command line; the scene and the window know neither.
      return used == "command" && path.starts_with("viewer/") && path != "viewer/main.cpp"
                 ? "only viewer/main.cpp shares the program's command line"
                 : "";
    return used_at > std::find(rooms.begin(), rooms.end(), own) ? own + " stands before " + used : "";
  }
  for (const Rule& rule : library_rules)
    if (fits(included, rule.what)) return fits(path, rule.allowed) ? "" : rule.words;
  return "";
}

// NAME.cpp goes with NAME.hpp; a source that is one part of a longer one, NAME_PART.cpp, may share NAME.hpp.
bool has_header(const std::string& source, const std::set<std::string>& paths) {
  const auto folder_end = source.rfind('/');
  auto name_end = source.rfind('.');
  while (name_end != std::string::npos && name_end > folder_end) {
    if (paths.contains(source.substr(0, name_end) + ".hpp")) return true;
    name_end = source.rfind('_', name_end - 1);
  }
  return false;
}

void check_lines(const SourceFile& file, std::vector<std::string>& broken) {
  std::istringstream lines(file.text);
  int number = 0;
  const auto report = [&](const std::string& words) {
    broken.push_back(file.path + ":" + std::to_string(number) + ": " + words);
  };
  for (std::string line; std::getline(lines, line);) {
    ++number;
    for (const Rule& rule : text_rules)
      if (std::regex_search(line, rule.what) && !fits(file.path, rule.allowed)) report(rule.words);
    std::smatch include;
    if (is_source(file.path) && std::regex_match(line, include, include_line)) {
      const std::string words = wrong_include(file.path, include[2], include[1] == "\"");
      if (!words.empty()) report(include[2].str() + ": " + words);
    }
  }
  if (is_source(file.path) && number > most_lines)
    report("longer than " + std::to_string(most_lines) + " lines: more than one idea?");
}

}  // namespace

std::vector<SourceFile> project_files(const std::filesystem::path& top) {
  namespace fs = std::filesystem;
  const std::set<std::string> endings{".cpp", ".hpp", ".txt", ".cmake", ".bash", ".md", ".toml", ".json", ""};
  std::vector<SourceFile> files;
  const auto add = [&](const fs::directory_entry& entry) {
    if (!entry.is_regular_file() || !endings.contains(entry.path().extension().string())) return;
    std::ifstream in(entry.path(), std::ios::binary);
    files.push_back({fs::relative(entry.path(), top).generic_string(),
                     {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()}});
  };
  for (const auto& entry : fs::directory_iterator(top)) add(entry);
  for (const char* folder : {"core", "viewer", "tests", "samples", ".ci"}) {
    if (!fs::exists(top / folder)) continue;
    for (auto it = fs::recursive_directory_iterator(top / folder); it != fs::recursive_directory_iterator();
         ++it) {
      if (it->path() == top / "samples" / "out") it.disable_recursion_pending();
      add(*it);
    }
  }
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  return files;
}

std::vector<std::string> broken_rules(const std::vector<SourceFile>& files) {
  std::vector<std::string> broken;
  std::set<std::string> paths;
  for (const SourceFile& file : files) paths.insert(file.path);
  for (const SourceFile& file : files) {
    const std::string& path = file.path;
    const std::string room = room_of(path, "core");
    if (!room.empty() && std::find(rooms.begin(), rooms.end(), room) == rooms.end())
      broken.push_back(path + ":1: core/" + room + " is not among the rooms of the house");
    if ((path.starts_with("core/") || path.starts_with("viewer/")) && path.ends_with(".cpp") &&
        !path.ends_with("/main.cpp") && !has_header(path, paths))
      broken.push_back(path + ":1: has no header of the same name (NAME_PART.cpp may share NAME.hpp)");
    check_lines(file, broken);
  }
  return broken;
}
