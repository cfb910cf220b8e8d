// Open STEP files (robots, test parts, benchmarks of feature recognition) and broken copies, through the program.
// They are not part of the project; without them this test says it was skipped.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <vector>

using namespace chipledger::test;

namespace {

std::vector<std::filesystem::path> publicFiles() {
  std::vector<std::filesystem::path> files;
  const std::filesystem::path folder = std::filesystem::path(CHIPLEDGER_SHARED_DIR) / "step-public";
  if (!std::filesystem::exists(folder)) return files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string ending = entry.path().extension().string();
    if (ending == ".step" || ending == ".stp") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

TEST(PublicFiles, EachIsLookedAtOrRefusedInWordsWithinTwentySeconds) {
  const auto files = publicFiles();
  if (files.empty()) GTEST_SKIP() << "the open STEP files are not here";
  const auto folder = scratchFolder("public");
  int answered = 0, refused = 0;
  for (const auto& file : files) {
    const auto begin = std::chrono::steady_clock::now();
    const Ran ran = run("look '" + file.string() + "'", folder);
    const double took = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    const std::string name = file.filename().string();
    EXPECT_LT(took, 20.0) << name;
    EXPECT_THAT(ran.code, testing::AnyOf(0, 3, 4, 5)) << name << ": " << ran.err;
    if (ran.code == 3 || ran.code == 5) {
      ++refused;
      EXPECT_GT(ran.err.size(), 20u) << name << " is refused without a sentence";
    } else {
      ++answered;
      EXPECT_GT(ran.out.size(), 200u) << name;
      EXPECT_EQ(ran.out.find("nan"), std::string::npos) << name;
    }
  }
  EXPECT_EQ(answered + refused, static_cast<int>(files.size()));
  EXPECT_GE(answered, 60);
}

}  // namespace
