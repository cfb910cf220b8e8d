// Every face of a drawn solid leaves with the name of its detail, whatever booleans and fillets did to it.
#include <gtest/gtest.h>
#include <chipledger/draw/drawn.hpp>

#include <map>
#include <string>

#include "../support/random_chassis.hpp"
#include "../support/seeds.hpp"

namespace chipledger::draw {
namespace {

std::map<std::string, int> facesByName(const std::string& step) {
  std::map<std::string, int> found;
  const std::string start = "ADVANCED_FACE('";
  for (std::size_t at = step.find(start); at != std::string::npos; at = step.find(start, at)) {
    at += start.size();
    ++found[step.substr(at, step.find('\'', at) - at)];
  }
  return found;
}

class FaceNames : public ::testing::TestWithParam<std::uint32_t> {};

TEST_P(FaceNames, AreWrittenOnEveryFace) {
  const Chassis chassis = chipledger::testing::randomChassis(GetParam());
  for (const bool halves : {false, true}) {
    const auto drawn = drawChassis(chassis, {Touching::Refuse, halves});
    ASSERT_TRUE(drawn) << sentence(drawn.error());
    const auto text = stepText(*drawn);
    ASSERT_TRUE(text) << sentence(text.error());
    const auto names = facesByName(*text);
    EXPECT_EQ(names.count(""), 0u) << (names.count("") != 0 ? names.at("") : 0) << " of " << drawn->faces;
    int faces = 0;
    for (const auto& [name, count] : names) faces += count;
    EXPECT_EQ(faces, drawn->faces);
    for (const DrawnDetail& d : drawn->details)
      if (d.faces > 0) {
        EXPECT_EQ(names.count(d.name) != 0 ? names.at(d.name) : 0, d.faces) << d.name;
      }
  }
}
INSTANTIATE_TEST_SUITE_P(Seeds, FaceNames, ::testing::ValuesIn(chipledger::testing::seeds(15)));

}  // namespace
}  // namespace chipledger::draw
