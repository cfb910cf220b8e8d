// What was drawn is found again by its own name, with its own dimensions.
#include <algorithm>

#include "drawn.hpp"
#include "support/random_chassis.hpp"
#include "support/seeds.hpp"

namespace chipledger {
namespace {

constexpr double kSize_mm = 0.005;

class DrawnNames : public ::testing::TestWithParam<std::uint32_t> {};

void same(const char* what, const std::string& name, const std::optional<Length>& drawn,
          const std::optional<Length>& found) {
  if (!drawn) return;
  ASSERT_TRUE(found.has_value()) << name << ": " << what << " " << toMm(*drawn) << " is not found";
  EXPECT_NEAR(toMm(*drawn), toMm(*found), kSize_mm) << name << " " << what;
}

TEST_P(DrawnNames, AreFoundAgainWithTheirDimensions) {
  const auto drawn = draw::drawChassis(testing::randomChassis(GetParam()));
  ASSERT_TRUE(drawn) << sentence(drawn.error());
  const std::string path =
      (std::filesystem::temp_directory_path() / ("chipledger-names-" + std::to_string(::getpid()) + ".step")).string();
  ASSERT_TRUE(draw::writeStep(*drawn, path));
  const auto part = part::readPart(path);
  std::filesystem::remove(path);
  ASSERT_TRUE(part) << sentence(part.error());
  const part::Body& body = part->bodies.front();
  EXPECT_NEAR(toMm3(body.volume) / toMm3(drawn->volume), 1.0, 1e-6);
  const auto plan = setup::planSetups(body);
  ASSERT_TRUE(plan);
  const auto details = detail::findDetails(body, *plan);
  ASSERT_TRUE(details);
  for (const draw::DrawnDetail& d : drawn->details) {
    const detail::Detail* found = nullptr;
    for (const detail::Detail& other : details->list) {
      const bool edge = other.kind == detail::DetailKind::Chamfer || other.kind == detail::DetailKind::Round ||
                        other.kind == detail::DetailKind::CarvedFace;
      if (edge || other.called != d.name) continue;
      EXPECT_EQ(found, nullptr) << d.name << " is found twice";
      found = &other;
    }
    ASSERT_NE(found, nullptr) << d.name << " (" << draw::word(d.kind) << ") is not found by its name";
    const detail::Dimensions& m = found->dimensions;
    same("height", d.name, d.height, m.height);
    same("depth", d.name, d.depth, m.depth);
    same("diameter", d.name, d.diameter, m.diameter);
    // The longer side is the length, however it was drawn.
    if (d.length && d.width) {
      same("length", d.name, std::max(*d.length, *d.width), m.length);
      same("width", d.name, std::min(*d.length, *d.width), m.width);
    }
    same("root radius", d.name, d.rootRadius, m.rootRadius);
    same("counterbore", d.name, d.counterDiameter, m.counterDiameter);
    same("counterbore depth", d.name, d.counterDepth, m.counterDepth);
    if (d.kind == draw::DrawnKind::Pocket || d.kind == draw::DrawnKind::Window || d.kind == draw::DrawnKind::Thinning)
      same("inside radius", d.name, d.cornerRadius, m.cornerRadius);
    EXPECT_EQ(d.through, found->through) << d.name;
    // The plate of a random chassis is drawn where its own frame lies; a lug at its border has its box, not its place.
    if (!found->footprint.empty() && d.kind != draw::DrawnKind::OpenPocket) {
      const Vec2 at = box(found->footprint).centre(), meant = box(d.footprint).centre();
      EXPECT_NEAR(at.x, meant.x, kSize_mm) << d.name;
      EXPECT_NEAR(at.y, meant.y, kSize_mm) << d.name;
    }
  }
}
INSTANTIATE_TEST_SUITE_P(Seeds, DrawnNames, ::testing::ValuesIn(chipledger::testing::seeds(15)));

}  // namespace
}  // namespace chipledger
