#include "support/sample_estimate.hpp"
#include "support/schema_check.hpp"

#include <chipledger/report/json.hpp>

#include <gtest/gtest.h>

#include <fstream>
#include <limits>

namespace chipledger::report {
namespace {

using Json = nlohmann::json;

Json schema() {
  std::ifstream file(std::string(CHIPLEDGER_SOURCE_DIR) + "/docs/chipledger.estimate.schema.json");
  return Json::parse(file);
}

std::string sampleText() { return estimateJson(support::sampleEstimate(), support::samplePart()); }

TEST(SchemaCheck, FindsWhatItShould) {
  const Json s = Json::parse(R"({"type":"object","required":["a"],"additionalProperties":false,
    "properties":{"a":{"type":"array","items":{"$ref":"#/$defs/n"},"minItems":2},"b":{"enum":["x"]}},
    "$defs":{"n":{"type":["number","null"]}}})");
  struct Case {
    const char* text;
    std::size_t faults;
  };
  for (const Case& c :
       {Case{R"({"a":[1,null]})", 0}, Case{R"({"a":[1]})", 1}, Case{R"({"a":[1,"x"]})", 1}, Case{R"({"b":"x"})", 1},
        Case{R"({"a":[1,2],"b":"y"})", 1}, Case{R"({"a":[1,2],"c":1})", 1}, Case{R"([])", 1}}) {
    EXPECT_EQ(support::schemaFaults(Json::parse(c.text), s).size(), c.faults) << c.text;
  }
  EXPECT_EQ(support::schemaFaults(1, Json::parse(R"({"minimum":3})")).size(), 1U) << "unknown keywords must be noticed";
}

TEST(EstimateJson, FitsItsSchema) {
  for (const std::string& fault : support::schemaFaults(Json::parse(sampleText()), schema())) ADD_FAILURE() << fault;
}

TEST(EstimateJson, AnEmptyEstimateFitsTheSchemaToo) {
  const Json json = Json::parse(estimateJson(estimate::Estimate{}, part::Part{}));
  for (const std::string& fault : support::schemaFaults(json, schema())) ADD_FAILURE() << fault;
}

TEST(EstimateJson, TopLevelKeysComeInTheDocumentedOrder) {
  const auto json = nlohmann::ordered_json::parse(sampleText());
  std::vector<std::string> keys;
  for (const auto& [key, value] : json.items()) keys.push_back(key);
  EXPECT_EQ(keys, (std::vector<std::string>{"schema", "part", "stock", "removed", "setups", "cutters", "operations",
                                            "details", "groups", "price", "advice", "questions", "assumptions",
                                            "warnings", "cautions", "ledger"}));
}

TEST(EstimateJson, LinesAddUpToThePriceInWholeCounts) {
  const Json json = Json::parse(sampleText());
  for (const Json& batch : json["price"]["batches"]) {
    Money sum;
    for (const auto& [line, value] : batch["lines"].items()) sum += money(value.get<double>());
    EXPECT_EQ(sum, money(batch["per_piece"].get<double>())) << batch.dump();
  }
}

TEST(EstimateJson, SharedAndDetailsAddUpToThePrice) {
  const Json json = Json::parse(sampleText());
  for (std::size_t b = 0; b < json["price"]["batches"].size(); ++b) {
    Money sum = money(json["price"]["shared"][b]["money"].get<double>());
    for (const Json& detail : json["details"]) {
      if (!detail["with_minus_without"].empty()) sum += money(detail["with_minus_without"][b]["money"].get<double>());
    }
    EXPECT_EQ(sum, money(json["price"]["batches"][b]["per_piece"].get<double>()));
  }
}

TEST(EstimateJson, LedgerEntriesAddUpToWhatIsReported) {
  const Json json = Json::parse(sampleText());
  std::int64_t removed = 0;
  for (const Json& entry : json["ledger"]) removed += entry["removed_um3"].get<std::int64_t>();
  EXPECT_EQ(removed, support::sampleEstimate().removed.um3);
}

TEST(EstimateJson, EveryDoubleReadsBackUnchanged) {
  estimate::Estimate e = support::sampleEstimate();
  e.blank.mass_g = 0.1 + 0.2;
  EXPECT_EQ(Json::parse(estimateJson(e, support::samplePart()))["stock"]["mass_g"].get<double>(), 0.1 + 0.2);
}

TEST(EstimateJson, IsTheSameBytesEachTime) { EXPECT_EQ(sampleText(), sampleText()); }

TEST(EstimateJson, SurvivesForeignTextAndNumbersThatAreNotFinite) {
  estimate::Estimate e = support::sampleEstimate();
  e.bodyName = "plate \"A\" \\ \xff\xfe </script>";
  e.assumptions.front().value = std::numeric_limits<double>::infinity();
  const Json json = Json::parse(estimateJson(e, support::samplePart()));
  EXPECT_TRUE(json["assumptions"][0]["value"].is_null());
  EXPECT_TRUE(json["part"]["name"].get<std::string>().starts_with("plate \"A\" \\ "));
}

TEST(EstimateJson, FacesAndNamesKeepTheOrderOfTheFile) {
  const Json json = Json::parse(sampleText());
  EXPECT_EQ(json["part"]["face_names"][0], "back");
  EXPECT_EQ(json["part"]["face_names"].size(), support::sampleBody().faces.size());
  EXPECT_EQ(json["details"][1]["faces"], (Json{3, 5}));
}

TEST(LookJson, IsReadableAndNamesEveryDetail) {
  const part::Part part = support::samplePart();
  setup::Plan plan;
  const estimate::Estimate e = support::sampleEstimate();
  for (const estimate::SetupResult& s : e.setups) plan.setups.push_back(s.setup);
  const Json json = Json::parse(lookJson(part, part.bodies.front(), plan, e.details));
  EXPECT_EQ(json["schema"], "chipledger.look/1");
  EXPECT_EQ(json["details"].size(), e.details.list.size());
  EXPECT_EQ(json["setups"].size(), 2U);
  EXPECT_EQ(json["faces"].size(), part.bodies.front().faces.size());
}

}  // namespace
}  // namespace chipledger::report
