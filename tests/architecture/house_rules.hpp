// The rules of the house that a compiler does not check: which room may lean on which, which library may
// be used where, and what a file looks like.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

struct SourceFile {
  std::string path;  // from the top folder, with forward slashes
  std::string text;
};

// Every text file of the project: the top folder's own files and all of core, viewer, tests, samples and
// .ci, without what builds and sample runs leave behind. Sorted by path.
std::vector<SourceFile> project_files(const std::filesystem::path& top);

// Each broken rule as "path:line: what and why"; empty when all are kept.
std::vector<std::string> broken_rules(const std::vector<SourceFile>& files);
