// Taken away from a carved face, a detail leaves the face as it is drawn without the detail: heights and volume against
// the part drawn so.
#include <chipledger/detail/carved_over.hpp>

#include <cmath>

#include "drawn.hpp"

using namespace chipledger;
using namespace chipledger::test;
using detail::DetailKind;

namespace {

draw::Chassis crowned() {
  draw::Chassis c = plainPlate();
  c.crown = draw::Crown{mm(140), mm(1500)};
  return c;
}

struct Taken {
  const char* name;
  std::function<void(draw::Chassis&)> with;
  DetailKind kind;
  double height_mm;  ///< greatest difference of a cell: two meshes of one crown differ by their chords
  friend std::ostream& operator<<(std::ostream& out, const Taken& t) { return out << t.name; }
};
class CarvedOver : public testing::TestWithParam<Taken> {};

TEST_P(CarvedOver, IsThePartDrawnWithoutIt) {
  draw::Chassis chassis = crowned();
  GetParam().with(chassis);
  const Seen seen = look(chassis), bare = look(crowned());
  const std::vector<int> found = seen.all(GetParam().kind);
  ASSERT_EQ(found.size(), 1u);
  const auto over = detail::carvedOver(seen.body(), seen.plan.partToPlate, seen.details, found);
  ASSERT_TRUE(over.has_value());
  EXPECT_TRUE(over->changes.empty());
  EXPECT_NE(std::find(over->taken.begin(), over->taken.end(), found.front()), over->taken.end());
  const field::Solid drawn(bare.body(), bare.plan.partToPlate);
  EXPECT_NEAR(toMm3(over->solid.volume()), toMm3(drawn.volume()), 0.3);
  EXPECT_NEAR(over->solid.high(), drawn.high(), 0.005);
  EXPECT_NEAR(over->solid.low(), drawn.low(), 1e-6);
  EXPECT_EQ(over->solid.levels().size(), drawn.levels().size()) << "no floor where there was none";
  field::GridSpec spec;
  spec.cell_um = 100;
  spec.x0_mm = -31, spec.y0_mm = -14;
  spec.nx = 620, spec.ny = 280;
  const auto a = over->solid.fromAbove(spec), b = drawn.fromAbove(spec);
  double worst = 0.0;
  int faces = 0;
  for (std::size_t c = 0; c < spec.count(); ++c) {
    const bool metal = a.height.cells[c] != field::kNoMetal;
    ASSERT_EQ(metal, b.height.cells[c] != field::kNoMetal);
    if (!metal) continue;
    worst = std::max(worst, std::abs(a.height.cells[c] - b.height.cells[c]) / 1000.0);
    faces += a.face.cells[c] < 0;
  }
  EXPECT_LE(worst, GetParam().height_mm);
  EXPECT_EQ(faces, 0) << "what was closed belongs to the face it continues";
  const auto below = over->solid.fromBelow(spec).height, flat = drawn.fromBelow(spec).height;
  EXPECT_EQ(below.cells, flat.cells);
}

INSTANTIATE_TEST_SUITE_P(Rows, CarvedOver,
                         testing::Values(Taken{"bore",
                                               [](draw::Chassis& c) {
                                                 c.bores.push_back(bore("b", {-18, 7}, 5));
                                               },
                                               DetailKind::Bore, 0.011},
                                         Taken{"bore_off_the_crest",
                                               [](draw::Chassis& c) {
                                                 c.bores.push_back(bore("b", {20, -9}, 2));
                                               },
                                               DetailKind::Bore, 0.011},
                                         Taken{"window_over_the_crest",
                                               [](draw::Chassis& c) {
                                                 c.windows.push_back(window("w", {3, 0}, 20, 14, 2));
                                               },
                                               DetailKind::Window, 0.011},
                                         Taken{"island",
                                               [](draw::Chassis& c) {
                                                 c.islands.push_back(island("i", {8, 2}, 12, 6, 2, 0.5));
                                               },
                                               DetailKind::Island, 0.011},
                                         Taken{"pocket",
                                               [](draw::Chassis& c) {
                                                 c.pockets.push_back(pocket("p", {8, 2}, 12, 6, 1.4, 2));
                                               },
                                               DetailKind::Pocket, 0.011}),
                         [](const auto& row) { return std::string(row.param.name); });

// What no carved face surrounds is left to prisms, and so is a group that takes the carved face itself.
TEST(CarvedOver, IsNotAskedWhereTheFaceIsLevelOrGoesToo) {
  draw::Chassis level = plainPlate();
  level.bores.push_back(bore("b", {0, 0}, 4));
  const Seen flat = look(level);
  EXPECT_FALSE(detail::carvedOver(flat.body(), flat.plan.partToPlate, flat.details, flat.all(DetailKind::Bore)));
  draw::Chassis chassis = crowned();
  chassis.bores.push_back(bore("b", {5, 3}, 4));
  const Seen seen = look(chassis);
  std::vector<int> both = seen.all(DetailKind::Bore);
  for (const int face : seen.all(DetailKind::CarvedFace)) both.push_back(face);
  EXPECT_FALSE(detail::carvedOver(seen.body(), seen.plan.partToPlate, seen.details, both));
}

}  // namespace
