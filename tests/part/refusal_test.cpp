// Files that are not what they should be: a sentence, a mend and a code, never a crash, a hang or a silent wrong part.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <numbers>
#include <random>
#include <regex>

namespace chipledger::part {
namespace {

std::string textOf(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

std::string save(const std::string& text, const std::string& name) {
  const std::string path = testing::TempDir() + "bad_" + std::to_string(::getpid()) + "_" + name + ".step";
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

/// A block with a bore: planes, a cylinder, circles, 9 edges in loops.
const std::string& sound() {
  static const std::string text = textOf(
      drawn::write(drawn::cut(drawn::block({20, 10, 3}), drawn::moved(drawn::cylinder(2, 5), {6, 5, -1})), "sound"));
  return text;
}
constexpr double kSoundVolume = 600 - std::numbers::pi * 12;

/// First match replaced; the text must have one.
std::string swapped(const std::string& from, const std::string& to, std::string text = sound()) {
  std::smatch found;
  const std::regex pattern(from);
  EXPECT_TRUE(std::regex_search(text, found, pattern)) << from;
  return std::regex_replace(text, pattern, to, std::regex_constants::format_first_only);
}

struct Bad {
  const char* name;
  std::function<std::string()> text;
  const char* says;  ///< part of the sentence
};

class Refusal : public testing::TestWithParam<Bad> {};

TEST_P(Refusal, SaysWhatIsWrongAndWhatToDo) {
  const Result<Part> part = readPart(save(GetParam().text(), GetParam().name), {seconds(15), 4000, 200});
  ASSERT_FALSE(part.has_value());
  EXPECT_EQ(part.error().code, FaultCode::BadFile);
  EXPECT_THAT(part.error().what, testing::HasSubstr(GetParam().says));
  EXPECT_GT(part.error().next.size(), 10U);
}

const Bad kBad[] = {
    {"empty", [] { return std::string(); }, "empty"},
    {"blank", [] { return std::string(" \n\t\n"); }, "empty"},
    {"half", [] { return sound().substr(0, sound().size() / 2); }, "cut off"},
    {"last_line", [] { return sound().substr(0, sound().rfind("END-ISO")); }, "cut off"},
    {"page", [] { return std::string("<!DOCTYPE html><html><body>404</body></html>"); }, "web page"},
    {"zip", [] { return std::string("PK\x03\x04") + sound(); }, "archive"},
    {"pointer", [] { return std::string("version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 1\n"); },
     "pointer"},
    {"utf16", [] { return std::string("\xff\xfeI\0S\0O\0", 8); }, "UTF-16"},
    {"iges", [] { return std::string(72, ' ') + "S0000001\n" + std::string(72, ' ') + "G0000001\n"; }, "IGES"},
    {"prose", [] { return std::string("Dear sirs,\nplease find enclosed the part.\n"); }, "not a STEP file"},
    {"scope",
     [] {
       return swapped(R"(=\s*CLOSED_SHELL)",
                      "=&SCOPE\n#90001=CARTESIAN_POINT('',(0.,0.,0.));\nENDSCOPE /#90001/ CLOSED_SHELL");
     },
     "SCOPE"},
    {"nested", [] { return swapped(R"(CLOSED_SHELL\(''\s*,\()", "CLOSED_SHELL(''," + std::string(200'000, '(')); },
     "nested"},
    {"nan", [] { return swapped(R"(CARTESIAN_POINT\('',\([^,)]*)", "CARTESIAN_POINT('',(NaN"); }, "not a number"},
    {"infinite", [] { return swapped(R"(CARTESIAN_POINT\('',\([^,)]*)", "CARTESIAN_POINT('',(1.E999"); },
     "infinitely far"},
    {"absurd", [] { return swapped(R"(CARTESIAN_POINT\('',\([^,)]*)", "CARTESIAN_POINT('',(1.E30"); }, "absurdly far"},
    {"zero_radius", [] { return swapped(R"((CYLINDRICAL_SURFACE\('',#\d+,)2\.)", "$010."); }, "radius of zero"},
    {"zero_direction", [] { return swapped(R"(DIRECTION\('',\([^)]*\))", "DIRECTION('',(0.,0.,0.)"); }, "no length"},
    {"empty_loop", [] { return swapped(R"(EDGE_LOOP\('',\([^)]*\))", "EDGE_LOOP('',()"); }, "empty"},
    {"lost_face", [] { return swapped(R"(CLOSED_SHELL\(''\s*,\(#\d+,)", "CLOSED_SHELL('',("); }, "not closed"},
    {"no_shape",
     [] {
       return swapped(R"(\(#\d+,#\d+\)(,#\d+\);))", "(#11)$1",
                      "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');"
                      "\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n#1=SHAPE_REPRESENTATION('',(#11,#12),#13)"
                      ";\n#11=DIRECTION('',(0.,0.,1.));\nENDSEC;\nEND-ISO-10303-21;\n");
     },
     "no solid"},
};

std::string nameOf(const testing::TestParamInfo<Bad>& row) { return row.param.name; }
INSTANTIATE_TEST_SUITE_P(Texts, Refusal, testing::ValuesIn(kBad), nameOf);

bool noted(const Part& part, const std::string& code) {
  return std::any_of(part.notes.begin(), part.notes.end(), [&](const Note& n) { return n.code == code; });
}

TEST(Refused, MissingFolderAndTooLarge) {
  EXPECT_THAT(readPart("/no/such/file.step").error().what, testing::HasSubstr("no such file"));
  EXPECT_THAT(readPart(testing::TempDir()).error().what, testing::HasSubstr("folder"));
  const Result<Part> large = readPart(save(sound(), "large"), {seconds(10), 4000, 0.001});
  ASSERT_FALSE(large.has_value());
  EXPECT_EQ(large.error().code, FaultCode::Limit);
}

TEST(Refused, TimeAndMemoryAreLimits) {
  const std::string path = drawn::write(drawn::pierced(20), "limits");
  for (const ReadLimits& limits : {ReadLimits{seconds(0.02), 4000, 200}, ReadLimits{seconds(30), 64, 200}}) {
    const Result<Part> part = readPart(path, limits);
    ASSERT_FALSE(part.has_value());
    EXPECT_EQ(part.error().code, FaultCode::Limit) << sentence(part.error());
  }
}

TEST(Doubted, ByteOrderMarkIsPassedOver) {
  const Result<Part> part = readPart(save("\xef\xbb\xbf" + sound(), "mark"));
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(noted(*part, "byte-order-mark"));
  EXPECT_NEAR(toMm3(part->bodies[0].volume), kSoundVolume, 1e-6);
}

TEST(Doubted, NoUnitIsTakenAsMillimetres) {
  const Result<Part> part =
      readPart(save(swapped(R"(GLOBAL_UNIT_ASSIGNED_CONTEXT\s*\(\(#\d+,)", "GLOBAL_UNIT_ASSIGNED_CONTEXT(("), "unit"));
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(noted(*part, "no-unit"));
  EXPECT_EQ(part->unit, "");
  EXPECT_NEAR(toMm3(part->bodies[0].volume), kSoundVolume, 1e-6);
}

TEST(Doubted, ClosedSurfacesAreSewn) {
  std::string text = swapped("MANIFOLD_SOLID_BREP\\(('[^']*'),(#\\d+)\\)", "SHELL_BASED_SURFACE_MODEL($1,($2))");
  text = swapped("CLOSED_SHELL", "OPEN_SHELL", text);
  text = swapped("ADVANCED_BREP_SHAPE_REPRESENTATION", "MANIFOLD_SURFACE_SHAPE_REPRESENTATION", text);
  const Result<Part> part = readPart(save(text, "sewn"));
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(noted(*part, "sewn"));
  EXPECT_NEAR(toMm3(part->bodies[0].volume), kSoundVolume, 1e-6);
}

TEST(Doubted, LostReferencesAreSaid) {
  const Result<Part> part = readPart(
      save(swapped(R"(\nENDSEC;\s*END-ISO)", "\n#99999=PRODUCT_CATEGORY('x',#88888);\nENDSEC;\nEND-ISO"), "dangling"));
  ASSERT_TRUE(part.has_value()) << sentence(part.error());
  EXPECT_TRUE(noted(*part, "suspect"));
}

/// Seeded damage to single characters and whole lines: whatever comes back must be a refusal in words or, if a part,
/// one that was doubted or has the true volume.
TEST(Damaged, NeverCrashesAndNeverLiesSilently) {
  int silentlyWrong = 0, read = 0;
  for (unsigned seed = 1; seed <= 60; ++seed) {
    std::mt19937 random(seed);
    std::string text = sound();
    const std::size_t data = text.find("DATA;");
    for (int edit = 0; edit < 3; ++edit) {
      const std::size_t at = data + random() % (text.size() - data - 40);
      switch (random() % 3) {
        case 0:
          text[at] = static_cast<char>(33 + random() % 90);
          break;
        case 1:
          std::swap(text[at], text[at + 1]);
          break;
        default: {
          const std::size_t line = text.find('\n', at), end = text.find('\n', line + 1);
          if (end != std::string::npos && end + 60 < text.size()) text.erase(line, end - line);
        }
      }
    }
    const Result<Part> part = readPart(save(text, "damaged"), {seconds(10), 4000, 200});
    if (!part) {
      EXPECT_GT(part.error().what.size(), 10U);
      EXPECT_GT(part.error().next.size(), 10U);
      continue;
    }
    ++read;
    const double volume = toMm3(part->bodies[0].volume);
    const bool doubted = std::any_of(part->notes.begin(), part->notes.end(),
                                     [](const Note& n) { return n.severity != NoteSeverity::Info; });
    if (!doubted && std::abs(volume / kSoundVolume - 1) > 1e-3) {
      ++silentlyWrong;
      std::printf("seed %u: %.3f mm3 instead of %.3f\n", seed, volume, kSoundVolume);
    }
  }
  std::printf("%d of 60 damaged copies were read, %d of them wrong without a word\n", read, silentlyWrong);
  // A changed digit in a coordinate is a sound file of another shape: that no reader can see.
  EXPECT_LE(silentlyWrong, 6);
}

}  // namespace
}  // namespace chipledger::part
