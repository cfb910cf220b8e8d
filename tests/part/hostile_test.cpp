// Heavy and hostile files, written by our own hand: each ends in a part with the true volume, in one that is doubted
// aloud, or in a refusal with a mend, within the reader's bounds of time and memory.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"
#include "fuzz/step_mutation.hpp"
#include "step_lines.hpp"
#include "temporary.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <numbers>

namespace chipledger::part {
namespace {

constexpr ReadLimits kBounds{seconds(60), 4000, 200};

std::string save(const std::string& text, const std::string& name) {
  const std::string path = temporaryFile("hostile_" + name + ".step");
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

/// A block with a bore.
const std::string& sound() {
  static const std::string text = stepLines(
      drawn::write(drawn::cut(drawn::block({20, 10, 3}), drawn::moved(drawn::cylinder(2, 5), {6, 5, -1})), "whole"));
  return text;
}
constexpr double kSoundVolume = 600 - std::numbers::pi * 12;

/// The text with `more` entities behind its own.
std::string with(const std::string& more) {
  std::string text = sound();
  return text.insert(text.find("ENDSEC;\nEND-ISO"), more);
}

bool doubted(const Part& part) {
  return std::any_of(part.notes.begin(), part.notes.end(),
                     [](const Note& n) { return n.severity != NoteSeverity::Info; });
}

bool isSound(const Part& part) {
  return part.bodies.size() == 1 && std::abs(toMm3(part.bodies[0].volume) / kSoundVolume - 1) < 1e-6;
}

TEST(Hostile, ExternalReferencesAloneAreNamed) {
  const std::string text =
      "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n"
      "FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n#11=DOCUMENT_FILE('chassis.stp','','','#12','',$);\n"
      "#12=DOCUMENT_TYPE('geometry');\n#13=APPLIED_EXTERNAL_IDENTIFICATION_ASSIGNMENT('chassis.stp',#14,#15,(#11));\n"
      "#14=IDENTIFICATION_ROLE('external document id and location','');\n#15=EXTERNAL_SOURCE('');\n"
      "ENDSEC;\nEND-ISO-10303-21;\n";
  const Result<Part> part = readPart(save(text, "elsewhere"), kBounds);
  ASSERT_FALSE(part.has_value());
  EXPECT_EQ(part.error().code, FaultCode::BadFile);
  EXPECT_THAT(sentence(part.error()), testing::HasSubstr("chassis.stp"));
}

TEST(Hostile, AMillionUnusedPointsChangeNothing) {
  std::string points;
  points.reserve(48'000'000);
  for (int n = 0; n < 1'000'000; ++n)
    points.append("#")
        .append(std::to_string(1'000'000 + n))
        .append("=CARTESIAN_POINT('',(")
        .append(std::to_string(n % 997))
        .append(".,1.5,0.25));\n");
  const Result<Part> part = readPart(save(with(points), "points"), kBounds);
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(isSound(*part));
}

TEST(Hostile, FiveThousandHolesInOneFace) {
  constexpr int kSide = 71;
  const Result<Part> part = readPart(drawn::write(drawn::pierced(kSide), "sieve"), {seconds(280), 4000, 200});
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_EQ(part->bodies[0].faces.size(), static_cast<std::size_t>(kSide * kSide + 6));
  const double radius = 60.0 / kSide * 0.3;  // as drawn: three tenths of the pitch
  EXPECT_NEAR(toMm3(part->bodies[0].volume), 2 * (3600 - kSide * kSide * std::numbers::pi * radius * radius), 1e-4);
}

TEST(Hostile, TheSecondOfTwoFilesInOneIsSaid) {
  const Result<Part> part = readPart(save(sound() + sound(), "twice"), kBounds);
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(isSound(*part));
  EXPECT_TRUE(std::any_of(part->notes.begin(), part->notes.end(), [](const Note& n) {
    return n.code == "second-file" && n.severity == NoteSeverity::LeftOut;
  }));
}

TEST(Hostile, AllFacesInsideOutIsHealedOrDoubted) {
  std::string text = sound();
  for (std::size_t at = text.find("ADVANCED_FACE("); at != std::string::npos;
       at = text.find("ADVANCED_FACE(", at + 1)) {
    const std::size_t sense = text.find_first_of("TF", text.rfind('.', text.find(");", at) - 2));
    text[sense] = text[sense] == 'T' ? 'F' : 'T';
  }
  const Result<Part> part = readPart(save(text, "inside_out"), kBounds);
  if (part) {
    EXPECT_TRUE(isSound(*part) || doubted(*part)) << toMm3(part->bodies[0].volume);
  } else {
    EXPECT_GT(part.error().next.size(), 10U);
  }
}

TEST(Hostile, MetreMeantAsMillimetreIsDoubted) {
  const Result<Part> part =
      readPart(drawn::write(drawn::block({20'000, 10'000, 3'000}), "giant", drawn::Unit::Metre), kBounds);
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(doubted(*part));
}

/// Damage entity by entity. Kinds that can describe another sound solid (a number or a reference that fits elsewhere)
/// are held to a sentence or a sane part; all others to the true volume, a doubt or a refusal.
TEST(Hostile, DamagedEntitiesNeverLieSilently) {
  using fuzz::Damage;
  constexpr std::array kAnotherSolid{Damage::ShiftNumber, Damage::OddNumber, Damage::WrongReference,
                                     Damage::SwapEntities};
  constexpr std::uint32_t kSeeds = 12;
  int read = 0, refused = 0;
  for (int k = 0; k < static_cast<int>(Damage::Count); ++k) {
    const auto kind = static_cast<Damage>(k);
    const bool another = std::find(kAnotherSolid.begin(), kAnotherSolid.end(), kind) != kAnotherSolid.end();
    for (std::uint32_t seed = 1; seed <= kSeeds; ++seed) {
      const Result<Part> part = readPart(save(fuzz::damaged(sound(), kind, seed), "hurt"), {seconds(10), 4000, 200});
      SCOPED_TRACE(testing::Message() << "kind " << k << ", seed " << seed);
      if (!part) {
        ++refused;
        EXPECT_GT(part.error().what.size(), 10U);
        EXPECT_GT(part.error().next.size(), 10U);
        continue;
      }
      ++read;
      ASSERT_FALSE(part->bodies.empty());
      const double volume = toMm3(part->bodies[0].volume);
      EXPECT_TRUE(std::isfinite(volume) && volume > 0);
      EXPECT_TRUE(another || isSound(*part) || doubted(*part)) << volume;
    }
  }
  RecordProperty("read", read);
  RecordProperty("refused", refused);
  EXPECT_GT(read, 20);
  EXPECT_GT(refused, 20);
}

}  // namespace
}  // namespace chipledger::part
