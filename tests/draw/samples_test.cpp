// step_samples/ holds what the generator makes from the chassis files beside it. Renew with ./dev samples.
#include <chipledger/draw/read_chassis.hpp>
#include <chipledger/draw/samples.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace chipledger::draw {
namespace {

const std::string kFolder = CHIPLEDGER_SOURCE_DIR "/step_samples";

std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

const std::vector<SampleFile>& samples() {
  static const auto made = makeSamples(kFolder);
  static const std::vector<SampleFile> none;
  EXPECT_TRUE(made) << sentence(made.error());
  return made ? *made : none;
}

// file, detail, quantity -> value
std::map<std::string, double> table(const std::string& text) {
  std::map<std::string, double> values;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    std::vector<std::string> cells;
    std::istringstream row(line);
    for (std::string cell; std::getline(row, cell, '\t');) cells.push_back(cell);
    if (cells.size() == 7 && cells[0] != "file")
      values[cells[0] + "|" + cells[1] + "|" + cells[3]] = std::strtod(cells[4].c_str(), nullptr);
  }
  return values;
}

void expectSameStepFiles() {
  if (kernelVersion() != "7.6.3") return;  // another kernel may order and name entities differently
  std::set<std::string> names;
  for (const SampleFile& file : samples()) {
    names.insert(file.name);
    EXPECT_TRUE(slurp(kFolder + "/" + file.name) == file.text) << file.name << ": run ./dev samples";
    EXPECT_LT(file.text.size(), 600000u) << file.name;
  }
  for (const auto& entry : std::filesystem::directory_iterator(kFolder))
    if (entry.path().extension() == ".step") {
      EXPECT_EQ(names.count(entry.path().filename().string()), 1u) << entry.path();
    }
}

TEST(Samples, FolderHoldsWhatIsMade) {
  expectSameStepFiles();
  ASSERT_FALSE(samples().empty());
  const auto kept = table(slurp(kFolder + "/features.tsv")), made = table(samples().back().text);
  ASSERT_GT(made.size(), 300u);
  EXPECT_EQ(kept.size(), made.size());
  for (const auto& [key, value] : made) {
    const auto found = kept.find(key);
    ASSERT_TRUE(found != kept.end()) << key;
    EXPECT_NEAR(found->second, value, 1e-8 * std::max(1.0, std::abs(value))) << key;
  }
}

// Targets of the three demonstration scenarios: net face and volume of the drawn plates (invented parts, own figures).
TEST(Samples, DemonstrationPlatesHaveTheirSize) {
  const auto kept = table(slurp(kFolder + "/features.tsv"));
  const auto volume = [&](const char* name) { return kept.at(std::string(name) + ".step|body|volume") / 1000.0; };
  EXPECT_NEAR(volume("medlar-plain"), 4.0, 0.04);
  EXPECT_NEAR(volume("medlar-islands"), 4.4, 0.04);
  EXPECT_NEAR(volume("medlar-plain") - volume("medlar-pocketed"), 0.95, 0.01);
  EXPECT_NEAR(volume("cringle-plain"), 6.4, 0.07);
  EXPECT_NEAR(volume("cringle-islands"), 7.5, 0.08);
  EXPECT_NEAR(volume("cringle-islands-low"), 7.0, 0.07);
  EXPECT_NEAR(volume("cringle-pocketed"), 4.9, 0.1);
  EXPECT_NEAR(volume("sundew-plain"), 1.8, 0.05);
  EXPECT_NEAR(volume("sundew-island"), 1.9, 0.05);
}

TEST(Samples, FolderThatIsNotThere) { EXPECT_FALSE(makeSamples("/nowhere/at/all")); }

}  // namespace
}  // namespace chipledger::draw
