// The same geometry has one fingerprint wherever it lies and however it was written; a changed dimension or the mirror
// image has another.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"
#include "step_lines.hpp"
#include "temporary.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <random>
#include <set>

namespace chipledger::part {
namespace {

std::string print(const drawn::Solid& solid, const std::string& name, drawn::Unit unit = drawn::Unit::Millimetre) {
  const Result<Part> part = readPart(drawn::write(solid, "print_" + name, unit));
  EXPECT_TRUE(part.has_value()) << (part ? "" : sentence(part.error()));
  return part && !part->bodies.empty() ? part->bodies[0].fingerprint : "none";
}

/// A plate that no turn and no mirror maps to itself.
struct Dimensions {
  double length{40}, width{18}, thickness{2};
  double bossX{28}, bossY{7}, bossRadius{3}, bossHeight{2.5};
  double boreX{8}, boreY{11}, boreRadius{1.5};
  double pocketX{14}, pocketY{3}, pocketLength{8}, pocketWidth{5}, pocketDepth{0.8};
};

drawn::Solid plate(const Dimensions& d) {
  using namespace drawn;
  const Solid body = block({d.length, d.width, d.thickness});
  const Solid bossed = join(body, moved(cylinder(d.bossRadius, d.bossHeight + 1), {d.bossX, d.bossY, d.thickness - 1}));
  const Solid bored = cut(bossed, moved(cylinder(d.boreRadius, d.thickness + 2), {d.boreX, d.boreY, -1}));
  return cut(bored,
             moved(block({d.pocketLength, d.pocketWidth, 5}), {d.pocketX, d.pocketY, d.thickness - d.pocketDepth}));
}

TEST(Fingerprint, SurvivesNameUnitAndPlace) {
  const drawn::Solid part = plate({});
  const std::string original = print(part, "a");
  EXPECT_EQ(original.size(), 16U);
  EXPECT_EQ(print(part, "another_name"), original);
  EXPECT_EQ(print(part, "inch", drawn::Unit::Inch), original);
  EXPECT_EQ(print(part, "metre", drawn::Unit::Metre), original);
  std::mt19937 random(20241);  // any seed; printed by its value here
  std::uniform_real_distribution<double> any(-1.0, 1.0);
  for (int i = 0; i < 8; ++i) {
    const drawn::Solid placed =
        drawn::moved(drawn::turned(part, {any(random), any(random), any(random) + 2}, 3 * any(random)),
                     {100 * any(random), 100 * any(random), 100 * any(random)});
    EXPECT_EQ(print(placed, "placed" + std::to_string(i)), original) << i;
  }
}

TEST(Fingerprint, SurvivesTheRoundingOfAnotherProgram) {
  // Coordinates cut to seven decimals, as a program that writes fewer digits would.
  const drawn::Solid placed = drawn::turned(plate({}), {1, 2, 3}, 0.4);
  const std::string text = stepLines(drawn::write(placed, "rounding"));
  std::string rounded;
  int changed = 0;
  for (std::size_t line = 0; line < text.size();) {
    const std::size_t end = std::min(text.find('\n', line), text.size());
    const std::string one = text.substr(line, end - line + 1);
    line = end + 1;
    const std::size_t open = one.find("CARTESIAN_POINT('',(");
    if (open == std::string::npos) {
      rounded += one;
      continue;
    }
    std::size_t at = one.find_last_of('(') + 1;
    rounded += one.substr(0, at);
    while (one[at] != ')') {
      char* stop = nullptr;
      const double value = std::strtod(one.c_str() + at, &stop);
      ASSERT_NE(stop, one.c_str() + at) << one;
      char digits[40];
      std::snprintf(digits, sizeof digits, "%.7f", value);
      rounded += digits;
      at = static_cast<std::size_t>(stop - one.c_str());
      if (one[at] == ',') rounded += one[at++];
      ++changed;
    }
    rounded += one.substr(at);
  }
  EXPECT_GT(changed, 100);
  const std::string copy = temporaryFile("rounded.step");
  std::ofstream(copy, std::ios::binary) << rounded;
  const Result<Part> part = readPart(copy);
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_EQ(part->bodies[0].fingerprint, print(placed, "unrounded"));
}

TEST(Fingerprint, KnowsTheMirrorImage) {
  EXPECT_NE(print(drawn::mirrored(plate({})), "mirror"), print(plate({}), "plain"));
  // A block is its own mirror image.
  EXPECT_EQ(print(drawn::mirrored(drawn::block({3, 4, 5})), "block_mirror"), print(drawn::block({3, 4, 5}), "block"));
}

TEST(Fingerprint, EveryDimensionCountsFromAHundredth) {
  std::set<std::string> seen{print(plate({}), "base")};
  double Dimensions::*const all[] = {&Dimensions::length,       &Dimensions::width,       &Dimensions::thickness,
                                     &Dimensions::bossX,        &Dimensions::bossY,       &Dimensions::bossRadius,
                                     &Dimensions::bossHeight,   &Dimensions::boreX,       &Dimensions::boreY,
                                     &Dimensions::boreRadius,   &Dimensions::pocketX,     &Dimensions::pocketY,
                                     &Dimensions::pocketLength, &Dimensions::pocketWidth, &Dimensions::pocketDepth};
  int row = 0;
  for (double Dimensions::*const one : all) {
    Dimensions changed;
    changed.*one += 0.01;
    EXPECT_TRUE(seen.insert(print(plate(changed), "row" + std::to_string(row))).second) << "dimension " << row;
    ++row;
  }
}

}  // namespace
}  // namespace chipledger::part
