#include "support/sample_estimate.hpp"
#include "support/schema_check.hpp"

#include <chipledger/report/compare.hpp>
#include <chipledger/report/number.hpp>

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <sstream>

namespace chipledger::report {
namespace {

struct Sample {
  std::vector<estimate::Estimate> variants;
  compare::Comparison comparison;
};

Sample sample() {
  Sample s;
  s.variants = {support::sampleEstimate(), support::sampleEstimate()};
  s.variants[1].file = "elsewhere/medlar-taller.step";
  s.variants[1].bodyName = "taller\x1b[2J";
  compare::Against a;
  a.variant = 1;
  a.details.push_back(
      {compare::Fate::Changed, "island-1", "island-1", "height 3.20 -> 3.50 mm", money(30.5), money(41.75)});
  a.groups.push_back({"all islands", "island-1", money(61.25), money(41.75)});
  for (const estimate::BatchPrice& b : s.variants[1].batches) a.differences.push_back({b.size, money(-4.25), {}});
  a.lines.push_back({ledger::Line::Metal, money(-4.25), "6.35 plate instead of 8.00"});
  s.comparison.against = {a};
  s.comparison.cheapest = {0, 0, 1, 1, 1};
  s.comparison.crossings = {{1, 0, 17}};
  return s;
}

TEST(CompareSheet, SaysWhatDiffersWhyAndWhereItCrosses) {
  const Sample s = sample();
  const std::string text = renderCompare(s.variants, s.comparison, {140, false});
  for (const char* words : {"A medlar-islands.step", "B medlar-taller.step", "height 3.20 -> 3.50 mm", "-4.25",
                            "6.35 plate instead of 8.00", "from 17 pieces on B costs less than A", "B at 50", "30.50",
                            "41.75", "all islands (in B: island-1)", "61.25"}) {
    EXPECT_NE(text.find(words), std::string::npos) << words << "\n" << text;
  }
  EXPECT_EQ(text.find('\x1b'), std::string::npos);
}

TEST(CompareSheet, FitsTheTerminal) {
  const Sample s = sample();
  for (const int width : {60, 80, 100}) {
    std::istringstream in(renderCompare(s.variants, s.comparison, {width, false}));
    for (std::string line; std::getline(in, line);) EXPECT_LE(columnsOf(line), width) << line;
  }
}

TEST(CompareJson, CarriesTheSameFigures) {
  const Sample s = sample();
  const auto json = nlohmann::json::parse(compareJson(s.variants, s.comparison));
  EXPECT_EQ(json["schema"], "chipledger.compare/1");
  EXPECT_EQ(json["variants"].size(), 2U);
  EXPECT_EQ(json["variants"][0]["batches"][3]["per_piece"].get<double>(), toUnits(s.variants[0].batches[3].perPiece));
  EXPECT_EQ(json["against"][0]["differences"][3]["money"], -4.25);
  EXPECT_EQ(json["against"][0]["lines_at_reference_batch"][0]["cause"], "6.35 plate instead of 8.00");
  EXPECT_EQ(json["crossings"][0]["batch"], 17);
  EXPECT_EQ(json["against"][0]["groups"][0]["before"], "all islands");
  EXPECT_EQ(json["against"][0]["groups"][0]["before_costs"], 61.25);
  EXPECT_EQ(compareJson({}, {}), compareJson({}, {}));
}

TEST(CompareJson, KeepsToItsSchema) {
  const Sample s = sample();
  std::ifstream file(CHIPLEDGER_SOURCE_DIR "/docs/chipledger.compare.schema.json");
  const auto schema = nlohmann::json::parse(file);
  const auto json = nlohmann::json::parse(compareJson(s.variants, s.comparison));
  for (const std::string& fault : support::schemaFaults(json, schema)) ADD_FAILURE() << fault;
  nlohmann::json more = json;
  more["against"][0]["groups"][0]["beside"] = 1;
  EXPECT_EQ(support::schemaFaults(more, schema).size(), 1U);
}

TEST(CompareCsv, IsOneRowAFact) {
  const Sample s = sample();
  const std::string text = compareCsv(s.variants, s.comparison);
  std::istringstream in(text);
  std::string line;
  std::getline(in, line);
  const auto commas = std::count(line.begin(), line.end(), ',');
  int rows = 0;
  for (; std::getline(in, line); ++rows) EXPECT_EQ(std::count(line.begin(), line.end(), ','), commas) << line;
  // A price per variant and batch, a difference per batch, one detail, one group, one line, one crossing.
  const int batches = static_cast<int>(s.variants[0].batches.size());
  EXPECT_EQ(rows, 2 * batches + batches + 1 + 1 + 1 + 1);
  EXPECT_NE(text.find("\nchanged,elsewhere/medlar-taller.step," + s.variants[0].file +
                      ",50,island-1,island-1,EUR,30.5,41.75,"),
            std::string::npos)
      << text;
  EXPECT_NE(text.find("\ncrossing,elsewhere/medlar-taller.step," + s.variants[0].file + ",17,"), std::string::npos)
      << text;
}

}  // namespace
}  // namespace chipledger::report
