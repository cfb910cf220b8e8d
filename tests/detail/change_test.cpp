// A dimension changed on the part as read against the same chassis drawn with that value: metal and table of details.
#include <chipledger/detail/change.hpp>

#include <functional>

#include "drawn.hpp"

namespace chipledger {
namespace {

using detail::Dimension;
using test::Seen;

/// A plate with what a chassis has: islands with and without something in their top, pockets on both sides, openings.
struct Numbers {
  double thickness{3.0}, island{3.2}, drilledIsland{2.5}, pocket{1.2}, pocketRadius{1.5}, backPocket{1.0},
      nestPocket{1.0}, windowRadius{1.0}, bore{3.0}, slot{1.2}, islandWidth{6.0}, islandLength{12.0}, domed{2.4},
      blindBore{1.5}, windowLength{9.0}, pocketLength{14.0}, nestWidth{10.0}, drilledLength{12.0};
};

draw::Chassis chassis(const Numbers& n) {
  draw::Chassis c;
  c.name = "plate";
  c.thickness = mm(n.thickness);
  c.outline = draw::RectangleOutline{mm(110), mm(40), mm(4)};
  c.outerEdge = {draw::EdgeBreak::Kind::Chamfer, mm(0.3)};
  c.backEdge = {draw::EdgeBreak::Kind::Chamfer, mm(0.2)};
  c.islands.push_back(test::island("island", {-40, 8}, n.islandLength, n.islandWidth, n.island));
  c.islands.push_back(test::island("drilled island", {-20, 8}, n.drilledLength, 7, n.drilledIsland));
  c.islands.back().topChamfer = mm(0.3);
  draw::Bore through = test::bore("bore in island", {-22, 8}, 2.0);
  through.on = "drilled island";
  draw::Bore blind = test::bore("blind in island", {-18, 8}, 2.0, 1.0);
  blind.on = "drilled island";
  c.bores = {through, blind};
  draw::Island domed = test::island("domed island", {0, 8}, 10, 7, n.domed);
  domed.domeRadius = mm(30);
  c.islands.push_back(domed);
  c.pockets.push_back(test::pocket("pocket", {20, 8}, n.pocketLength, 9, n.pocket, n.pocketRadius));
  c.pockets.back().floorRadius = mm(0.3);
  draw::Pocket nest = test::pocket("nest", {42, 8}, 16, n.nestWidth, n.nestPocket, 2);
  nest.rimChamfer = mm(0.2);
  c.pockets.push_back(nest);
  draw::Island inside = test::island("island in nest", {40, 8}, 4, 3, 0.6, 0.2);
  inside.on = "nest";
  c.islands.push_back(inside);
  draw::Bore nested = test::bore("bore in nest", {46, 8}, 2.4);
  nested.on = "nest";
  c.bores.push_back(nested);
  draw::Pocket back = test::pocket("back pocket", {-40, -8}, 16, 9, n.backPocket, 2);
  back.side = draw::Side::Back;
  back.floorRadius = mm(0.2);
  c.pockets.push_back(back);
  c.windows.push_back(test::window("window", {-18, -8}, n.windowLength, 7, n.windowRadius));
  draw::Bore sunk = test::bore("counterbored", {0, -8}, n.bore);
  sunk.counterbore = draw::Counterbore{mm(6), mm(1)};
  c.bores.push_back(sunk);
  c.bores.push_back(test::bore("blind", {10, -8}, 3.0, n.blindBore));
  draw::Slot slot;
  slot.name = "slot";
  slot.band = {{{18, -8}, {46, -8}}, mm(n.slot), {}};
  c.slots.push_back(slot);
  return c;
}

struct Case {
  const char* name;
  std::function<void(Numbers&)> draw;
  Vec2 at_mm;  // the detail under this place of the plan
  Dimension dimension;
  double value;
  double cells;  // share of cells that may differ by more than 5 um
  friend std::ostream& operator<<(std::ostream& out, const Case& c) { return out << c.name; }
};

const Seen& asDrawn() {
  static const Seen seen = test::look(chassis({}));
  return seen;
}

int detailAt(const Seen& seen, Vec2 p, Dimension dimension) {
  const bool body = dimension == Dimension::Thickness;
  int best = -1;
  double least = 1e300;
  for (std::size_t k = 0; k < seen.details.list.size(); ++k) {
    const detail::Detail& d = seen.details.list[k];
    if (body) {
      if (d.kind == detail::DetailKind::Body) return static_cast<int>(k);
      continue;
    }
    if (d.footprint.empty() || d.kind == detail::DetailKind::Body || d.kind == detail::DetailKind::Outline ||
        d.kind == detail::DetailKind::Chamfer || d.kind == detail::DetailKind::CarvedFace)
      continue;
    const double away = norm(box(d.footprint).centre() - p);
    if (away < least) least = away, best = static_cast<int>(k);
  }
  return best;
}

std::string plainName(std::string name) {
  for (char& ch : name)
    if (std::isalnum(static_cast<unsigned char>(ch)) == 0) ch = '_';
  return name;
}

class Change : public testing::TestWithParam<Case> {};

TEST_P(Change, OnTheFieldIsTheChangeOnTheDrawing) {
  const Case& c = GetParam();
  Numbers there;
  c.draw(there);
  const Seen& base = asDrawn();
  const Seen drawn = test::look(chassis(there));
  ASSERT_FALSE(base.details.list.empty());
  const int index = detailAt(base, c.at_mm, c.dimension);
  const field::Solid solid(base.body(), base.plan.partToPlate);
  const detail::Standing standing{&base.body(), base.plan.partToPlate, &solid, &base.details};
  const auto changed = detail::withDimension(standing, index, c.dimension, mm(c.value));
  ASSERT_TRUE(changed.has_value()) << sentence(changed.error());
  const field::Solid after = solid.changed(changed->changes);
  EXPECT_NEAR(toMm3(after.volume()) / toMm3(drawn.body().volume), 1.0, 2e-4);

  field::GridSpec spec;
  spec.cell_um = 100;
  spec.x0_mm = -56.03;
  spec.y0_mm = -21.03;
  spec.nx = 1120;
  spec.ny = 420;
  const field::Solid truth(drawn.body(), drawn.plan.partToPlate);
  for (const bool above : {true, false}) {
    const auto a = (above ? after.fromAbove(spec) : after.fromBelow(spec)).height;
    const auto b = (above ? truth.fromAbove(spec) : truth.fromBelow(spec)).height;
    int differ = 0, metal = 0;
    for (std::size_t k = 0; k < a.cells.size(); ++k) {
      metal += std::abs(b.cells[k]) != field::kNoMetal;
      differ += std::abs(a.cells[k] - b.cells[k]) > 5;
    }
    EXPECT_LT(static_cast<double>(differ) / metal, c.cells) << (above ? "above" : "below");
  }

  ASSERT_EQ(changed->details.list.size(), drawn.details.list.size());
  EXPECT_NEAR(changed->details.bodyHigh_mm, drawn.details.bodyHigh_mm, 1e-3);
  for (std::size_t k = 0; k < drawn.details.list.size(); ++k) {
    const detail::Detail &mine = changed->details.list[k], &theirs = drawn.details.list[k];
    ASSERT_EQ(mine.name, theirs.name);
    EXPECT_NEAR(mine.low_mm, theirs.low_mm, 0.005) << mine.name;
    EXPECT_NEAR(mine.high_mm, theirs.high_mm, 0.005) << mine.name;
    const double apart =
        area(subtract(mine.footprint, theirs.footprint)) + area(subtract(theirs.footprint, mine.footprint));
    EXPECT_LT(apart, 0.15) << mine.name;
    const auto same = [&](const char* what, const std::optional<Length>& a, const std::optional<Length>& b) {
      ASSERT_EQ(a.has_value(), b.has_value()) << mine.name << " " << what;
      if (a) {
        EXPECT_NEAR(toMm(*a), toMm(*b), 0.006) << mine.name << " " << what;
      }
    };
    same("height", mine.dimensions.height, theirs.dimensions.height);
    same("depth", mine.dimensions.depth, theirs.dimensions.depth);
    same("thickness", mine.dimensions.thickness, theirs.dimensions.thickness);
    same("diameter", mine.dimensions.diameter, theirs.dimensions.diameter);
    same("width", mine.dimensions.width, theirs.dimensions.width);
    same("radius", mine.dimensions.cornerRadius, theirs.dimensions.cornerRadius);
  }
}

#define DRAWN(field, v) [](Numbers& n) { n.field = v; }
// The islands' foot fillets are a stair when their plan changes: a ring of cells is off by a few hundredths.
INSTANTIATE_TEST_SUITE_P(
    Dimensions, Change,
    testing::Values(
        Case{"island taller", DRAWN(island, 4.7), {-40, 8}, Dimension::Height, 4.7, 0.001},
        Case{"island lower", DRAWN(island, 1.1), {-40, 8}, Dimension::Height, 1.1, 0.001},
        Case{"drilled island taller", DRAWN(drilledIsland, 3.5), {-20, 8}, Dimension::Height, 3.5, 0.001},
        Case{"drilled island lower", DRAWN(drilledIsland, 1.9), {-20, 8}, Dimension::Height, 1.9, 0.001},
        Case{"drilled island lower than its bore is deep",
             DRAWN(drilledIsland, 1.4),
             {-20, 8},
             Dimension::Height,
             1.4,
             0.001},
        Case{"domed island taller", DRAWN(domed, 3.0), {0, 8}, Dimension::Height, 3.0, 0.001},
        Case{"pocket deeper", DRAWN(pocket, 2.0), {20, 8}, Dimension::Depth, 2.0, 0.001},
        Case{"pocket shallower", DRAWN(pocket, 0.7), {20, 8}, Dimension::Depth, 0.7, 0.001},
        Case{"nest deeper, with what is in it", DRAWN(nestPocket, 1.6), {42, 8}, Dimension::Depth, 1.6, 0.001},
        Case{"back pocket deeper", DRAWN(backPocket, 1.9), {-40, -8}, Dimension::Depth, 1.9, 0.001},
        Case{"back pocket shallower", DRAWN(backPocket, 0.5), {-40, -8}, Dimension::Depth, 0.5, 0.001},
        Case{"blind bore deeper", DRAWN(blindBore, 2.2), {10, -8}, Dimension::Depth, 2.2, 0.001},
        Case{"body thicker", DRAWN(thickness, 3.8), {0, 0}, Dimension::Thickness, 3.8, 0.001},
        Case{"body thinner", DRAWN(thickness, 2.1), {0, 0}, Dimension::Thickness, 2.1, 0.001},
        Case{"pocket corners opened", DRAWN(pocketRadius, 3.0), {20, 8}, Dimension::Radius, 3.0, 0.002},
        Case{"pocket corners tightened", DRAWN(pocketRadius, 0.8), {20, 8}, Dimension::Radius, 0.8, 0.002},
        Case{"window corners opened", DRAWN(windowRadius, 2.5), {-18, -8}, Dimension::Radius, 2.5, 0.002},
        Case{"window corners tightened", DRAWN(windowRadius, 0.5), {-18, -8}, Dimension::Radius, 0.5, 0.002},
        Case{"window longer", DRAWN(windowLength, 11.0), {-18, -8}, Dimension::Length, 11.0, 0.002},
        Case{"bore wider", DRAWN(bore, 4.0), {0, -8}, Dimension::Diameter, 4.0, 0.002},
        Case{"bore narrower", DRAWN(bore, 2.0), {0, -8}, Dimension::Diameter, 2.0, 0.002},
        Case{"slot wider", DRAWN(slot, 1.5), {32, -8}, Dimension::Width, 1.5, 0.002},
        // Fillets and broken edges as stairs: their rings of cells are off by up to a tread.
        Case{"pocket with a floor fillet longer", DRAWN(pocketLength, 15.2), {20, 8}, Dimension::Length, 15.2, 0.004},
        Case{"pocket with a floor fillet shorter", DRAWN(pocketLength, 13), {20, 8}, Dimension::Length, 13, 0.004},
        Case{"pocket with a broken rim wider", DRAWN(nestWidth, 11), {42, 8}, Dimension::Width, 11, 0.004},
        Case{"pocket with a broken rim narrower", DRAWN(nestWidth, 9.2), {42, 8}, Dimension::Width, 9.2, 0.004},
        Case{"island with a broken top longer", DRAWN(drilledLength, 13), {-20, 8}, Dimension::Length, 13, 0.006},
        Case{"island wider", DRAWN(islandWidth, 8.0), {-40, 8}, Dimension::Width, 8.0, 0.01},
        Case{"island longer", DRAWN(islandLength, 15.0), {-40, 8}, Dimension::Length, 15.0, 0.01}),
    [](const auto& row) { return plainName(row.param.name); });

struct Refused {
  const char* name;
  Vec2 at_mm;
  Dimension dimension;
  double value;
  const char* says;
  friend std::ostream& operator<<(std::ostream& out, const Refused& c) { return out << c.name; }
};
class RefusedChange : public testing::TestWithParam<Refused> {};

TEST_P(RefusedChange, SaysWhy) {
  const Refused& c = GetParam();
  const Seen& base = asDrawn();
  const int index = detailAt(base, c.at_mm, c.dimension);
  const field::Solid solid(base.body(), base.plan.partToPlate);
  const detail::Standing standing{&base.body(), base.plan.partToPlate, &solid, &base.details};
  const auto changed = detail::withDimension(standing, index, c.dimension, mm(c.value));
  ASSERT_FALSE(changed.has_value());
  EXPECT_NE(sentence(changed.error()).find(c.says), std::string::npos) << sentence(changed.error());
}

INSTANTIATE_TEST_SUITE_P(
    Dimensions, RefusedChange,
    testing::Values(Refused{"pocket through the floor", {20, 8}, Dimension::Depth, 3.2, "goes through the part"},
                    Refused{"island below its foot", {-40, 8}, Dimension::Height, 0.4, "lower than its foot"},
                    Refused{"corners meet", {20, 8}, Dimension::Radius, 4.9, "walls are too short"},
                    Refused{"no cutter", {20, 8}, Dimension::Radius, 0.0, "No cutter"},
                    Refused{"bore over its counterbore", {0, -8}, Dimension::Diameter, 6.5, "counterbore"},
                    Refused{"island into its neighbour", {-40, 8}, Dimension::Length, 30.0, "run into"},
                    Refused{"window over the edge", {-18, -8}, Dimension::Width, 25.0, "run"},
                    Refused{
                        "body thinner than its pockets", {0, 0}, Dimension::Thickness, 1.0, "No metal would be left"},
                    Refused{"a bore has no height", {0, -8}, Dimension::Height, 1.0, "cannot be changed"}),
    [](const auto& row) { return plainName(row.param.name); });

}  // namespace
}  // namespace chipledger
