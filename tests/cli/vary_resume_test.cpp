// A sweep through the program itself: interrupted, its rows are kept and said; gone on with, the file is byte for byte
// that of a sweep that nobody interrupted.
#include <gtest/gtest.h>

#include <algorithm>
#include <csignal>

#include "support/run_program.hpp"

namespace chipledger::test {
namespace {

const std::string kSweep = "vary " + sample("medlar-islands.step") + " --shop " + sample("shop-medlar.toml") +
                           " --set island-1.height=2:4.4:0.1 --batch 50 --cell 0.1 --threads 1 --quiet";

long linesOf(const std::string& text) { return std::count(text.begin(), text.end(), '\n'); }

TEST(VaryResume, GoesOnAfterAnInterruptToTheSameBytes) {
  const auto folder = scratchFolder("vary-resume");
  const Ran whole = run(kSweep + " --csv whole.csv", folder);
  EXPECT_TRUE(whole.code == 0 || whole.code == 4) << whole.err;
  const std::string all = readText(folder / "whole.csv");
  ASSERT_EQ(linesOf(all), 1 + 25);

  // Interrupted as by a key press once some rows are written.
  const std::string script =
      "cd '" + folder.string() + "' && { '" CHIPLEDGER_BINARY "' " + kSweep +
      " --csv part.csv 2>said.txt >/dev/null </dev/null & pid=$!; n=0; "
      "while [ $(wc -l 2>/dev/null <part.csv || echo 0) -lt 5 ] && [ $n -lt 3000 ]; do sleep 0.02; "
      "n=$((n+1)); done; kill -INT $pid; wait $pid; echo $? >code.txt; }";
  ASSERT_EQ(std::system(script.c_str()), 0);
  EXPECT_EQ(readText(folder / "code.txt"), std::to_string(128 + SIGINT) + "\n");
  const std::string kept = readText(folder / "part.csv");
  EXPECT_GE(linesOf(kept), 5);
  ASSERT_LT(kept.size(), all.size()) << "the sweep was over before it was interrupted";
  EXPECT_EQ(all.substr(0, kept.size()), kept);
  const std::string said = readText(folder / "said.txt");
  EXPECT_NE(said.find("Interrupted after " + std::to_string(linesOf(kept) - 1) + " of 25 points."), std::string::npos)
      << said;
  EXPECT_NE(said.find("--resume"), std::string::npos) << said;

  // A row that was cut off by a power cut does not count.
  writeText(folder / "part.csv", kept + "0123456789abcdef,3.");
  const Ran resumed = run(kSweep + " --csv part.csv --resume", folder);
  EXPECT_EQ(resumed.code, whole.code) << resumed.err;
  EXPECT_EQ(readText(folder / "part.csv"), all);

  // The table of another sweep is not gone on with.
  const Ran other = run(kSweep + " --set island-2.height=3.2,3.3 --csv part.csv --resume", folder);
  EXPECT_EQ(other.code, 2);
  EXPECT_EQ(readText(folder / "part.csv"), all);
}

}  // namespace
}  // namespace chipledger::test
