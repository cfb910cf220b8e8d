// Habits that can be read off the files.
#include "house/source_tree.hpp"

#include <gtest/gtest.h>

#include <iostream>

namespace chipledger::house {
namespace {

constexpr std::size_t kMostLines = 600;
constexpr std::size_t kLookForASecondConcept = 400;

std::vector<SourceFile> everyFile() {
  const std::set<std::string> text{".hpp",   ".cpp", ".toml", ".tsv", ".json", ".md",
                                   ".cmake", ".txt", ".in",   ".css", ".js"};
  std::vector<SourceFile> files;
  for (const char* folder : {"include", "src", "tests", "docs", "data"}) {
    for (SourceFile& file : filesBelow(folder, text)) files.push_back(std::move(file));
  }
  for (const char* name :
       {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "CMakeLists.txt", "CMakePresets.json", "dev", ".ci/run"}) {
    if (fs::exists(root() / name)) files.push_back({name, "", linesOf(root() / name)});
  }
  return files;
}

bool isCode(const SourceFile& file) { return file.path.ends_with(".hpp") || file.path.ends_with(".cpp"); }

TEST(Files, StayShort) {
  for (const SourceFile& file : everyFile()) {
    if (!isCode(file)) continue;
    EXPECT_LT(file.lines.size(), kMostLines) << file.path;
    if (file.lines.size() > kLookForASecondConcept) {
      std::cout << "note: " << file.path << " has " << file.lines.size()
                << " lines: is there a second concept in it?\n";
    }
  }
}

TEST(Files, HaveNoTabsAndNoBlanksAtLineEnds) {
  for (const SourceFile& file : everyFile()) {
    if (!isCode(file)) continue;
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      EXPECT_EQ(file.lines[i].find('\t'), std::string::npos) << file.path << ":" << i + 1;
      EXPECT_FALSE(file.lines[i].ends_with(' ') || file.lines[i].ends_with('\r')) << file.path << ":" << i + 1;
    }
  }
}

TEST(Files, NameNoPlaceOfOneMachine) {
  // Put together here so that this file does not find itself.
  const std::vector<std::string> places{std::string("/wo") + "rk/", std::string("/tmp/") + "wt",
                                        std::string("/ho") + "me/", std::string("/Us") + "ers/",
                                        std::string("C:") + "\\"};
  for (const SourceFile& file : everyFile()) {
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      for (const std::string& place : places) {
        EXPECT_EQ(file.lines[i].find(place), std::string::npos) << file.path << ":" << i + 1 << ": " << file.lines[i];
      }
    }
  }
}

TEST(Files, HeadersSayWhatTheyModel) {
  for (const SourceFile& file : filesBelow("include", {".hpp"})) {
    ASSERT_GT(file.lines.size(), 2U) << file.path;
    EXPECT_EQ(file.lines[0], "#pragma once") << file.path;
    EXPECT_TRUE(file.lines[1].starts_with("//")) << file.path << " opens without a sentence on what it models";
  }
}

TEST(Files, ReadersDoNotOpenNamespacesInHeaders) {
  const std::regex use(R"(^\s*using\s+namespace\b)");
  for (const SourceFile& file : filesBelow("include", {".hpp"})) {
    for (const std::string& line : file.lines) EXPECT_FALSE(std::regex_search(line, use)) << file.path << ": " << line;
  }
}

TEST(Files, SettleWhatTheyBegan) {
  const std::regex open(std::string(R"(\b(TO)") + R"(DO|FIX)" + R"(ME|XX)" + R"(X)\b)");
  for (const SourceFile& file : everyFile()) {
    if (!isCode(file)) continue;
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      EXPECT_FALSE(std::regex_search(file.lines[i], open)) << file.path << ":" << i + 1;
    }
  }
}

}  // namespace
}  // namespace chipledger::house
