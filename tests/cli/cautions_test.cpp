// What is dangerous about the metal stands on every estimate of it, for people and for programs.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

using namespace chipledger::test;
using testing::HasSubstr;

namespace {

struct Danger {
  const char* name;
  const char* material;
  const char* says;
};
void PrintTo(const Danger& d, std::ostream* out) { *out << d.name; }
class Cautions : public testing::TestWithParam<Danger> {};

/// Blanks and line ends are the page's own business.
std::string onOneLine(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  std::string out;
  for (const char c : text)
    if (c != ' ' || out.empty() || out.back() != ' ') out += c;
  return out;
}

TEST_P(Cautions, StandWithTheEstimate) {
  const Danger& d = GetParam();
  const auto folder = scratchFolder(std::string("caution-") + d.name);
  const Ran ran = run("price " + sample("sundew-plain.step") + " --material \"" + d.material +
                          "\" --batch 10 --no-detail-prices --json out.json --report out.html",
                      folder);
  EXPECT_TRUE(ran.code == 0 || ran.code == 4) << ran.err;
  EXPECT_THAT(onOneLine(ran.out), HasSubstr(d.says));
  EXPECT_THAT(readText(folder / "out.json"), HasSubstr(d.says));
  EXPECT_THAT(readText(folder / "out.html"), HasSubstr(d.says));
}

INSTANTIATE_TEST_SUITE_P(Materials, Cautions,
                         testing::Values(Danger{"titanium", "Ti-6Al-4V", "chips burn"},
                                         Danger{"pure_titanium", "Ti grade 2", "chips burn"},
                                         Danger{"glass_epoxy", "glass-epoxy", "dust harms lungs"}),
                         [](const auto& row) { return std::string(row.param.name); });

TEST(Cautions, TitaniumSaysWhatNotToPutOnAFire) {
  const auto folder = scratchFolder("caution-fire");
  const Ran ran = run("price " + sample("sundew-plain.step") + " --batch 10 --no-detail-prices", folder);
  EXPECT_THAT(onOneLine(ran.out), HasSubstr("Never water"));
}

}  // namespace
