#pragma once
// The project's own files as text, for tests that read the code.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace chipledger::house {

namespace fs = std::filesystem;

inline fs::path root() { return CHIPLEDGER_SOURCE_DIR; }

struct SourceFile {
  std::string path;  ///< from the root, with '/'
  std::string room;  ///< folder under include/chipledger, src or tests; empty above them
  std::vector<std::string> lines;
};

inline std::vector<std::string> linesOf(const fs::path& path) {
  std::ifstream in(path);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

/// Files below `folder` with one of the endings, sorted by path.
inline std::vector<SourceFile> filesBelow(const std::string& folder, const std::set<std::string>& endings) {
  std::vector<SourceFile> files;
  const fs::path top = root() / folder;
  if (!fs::exists(top)) return files;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator(top)) {
    if (!entry.is_regular_file() || endings.count(entry.path().extension().string()) == 0) continue;
    const std::string inFolder = fs::relative(entry.path(), top).generic_string();
    const std::string below = folder == "include" ? inFolder.substr(std::string("chipledger/").size()) : inFolder;
    const std::size_t slash = below.find('/');
    files.push_back(
        {folder + "/" + inFolder, slash == std::string::npos ? "" : below.substr(0, slash), linesOf(entry.path())});
  }
  std::sort(files.begin(), files.end(), [](const SourceFile& a, const SourceFile& b) { return a.path < b.path; });
  return files;
}

inline std::vector<SourceFile> codeFiles() {
  std::vector<SourceFile> files = filesBelow("include", {".hpp"});
  for (SourceFile& file : filesBelow("src", {".hpp", ".cpp"})) files.push_back(std::move(file));
  return files;
}

/// What stands between <> or "" of each #include.
inline std::vector<std::string> includesOf(const SourceFile& file) {
  static const std::regex pattern(R"(^\s*#\s*include\s*[<"]([^>"]+)[>"])");
  std::vector<std::string> out;
  for (const std::string& line : file.lines) {
    std::smatch match;
    if (std::regex_search(line, match, pattern)) out.push_back(match[1]);
  }
  return out;
}

using Table = std::map<std::string, std::vector<std::string>>;

inline std::vector<std::string> words(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> out;
  for (std::string w; in >> w;) out.push_back(w);
  return out;
}

/// docs/rooms.tsv: room -> rooms it may include directly; "-" for none.
inline Table roomTable() {
  Table table;
  const std::vector<std::string> lines = linesOf(root() / "docs/rooms.tsv");
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const std::size_t tab = lines[i].find('\t');
    const std::string rest = lines[i].substr(tab + 1);
    std::vector<std::string> may = words(rest.substr(0, rest.find('\t')));
    if (may == std::vector<std::string>{"-"}) may.clear();
    table[lines[i].substr(0, tab)] = may;
  }
  return table;
}

/// Every room reachable from `room`, itself included.
inline std::set<std::string> reach(const Table& table, const std::string& room) {
  std::set<std::string> seen{room};
  std::vector<std::string> open{room};
  while (!open.empty()) {
    const std::string at = open.back();
    open.pop_back();
    const auto row = table.find(at);
    if (row == table.end()) continue;
    for (const std::string& next : row->second) {
      if (seen.insert(next).second) open.push_back(next);
    }
  }
  return seen;
}

}  // namespace chipledger::house
