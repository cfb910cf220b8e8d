// A block with pockets and bores on two of its sides: four setups, priced whole. The metal taken from the sides is what
// was drawn there, nothing is gouged, and blank = removed + part + left.
#include <gtest/gtest.h>
#include <unistd.h>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <algorithm>
#include <filesystem>
#include <numbers>

namespace chipledger::estimate {
namespace {

struct SideBlock {
  part::Part part;
  double outerPocket{}, outerBore{}, backPocket{}, backBore{};  // drawn volumes, mm3
};

SideBlock sideBlock() {
  draw::Chassis c;
  c.name = "side-block";
  c.thickness = mm(25);
  c.outline = draw::RectangleOutline{mm(40), mm(11), mm(0)};
  const auto pocket = [&](const char* name, Vec2 at, double length, double width, double depth, draw::Side side) {
    draw::Pocket p;
    p.name = name;
    p.shape = draw::Rectangle{mm(length), mm(width), mm(2)};
    p.place.centre_mm = at;
    p.depth = mm(depth);
    p.side = side;
    c.pockets.push_back(p);
    return depth * (length * width - (4 - std::numbers::pi) * 4);
  };
  const auto bore = [&](const char* name, Vec2 at, double diameter, double depth, draw::Side side) {
    draw::Bore b;
    b.name = name;
    b.centre_mm = at;
    b.diameter = mm(diameter);
    b.depth = mm(depth);
    b.side = side;
    c.bores.push_back(b);
    return depth * std::numbers::pi * diameter * diameter / 4;
  };
  SideBlock block;
  block.outerPocket = pocket("a", {-8, 0}, 16, 6, 4, draw::Side::Outer);
  block.outerBore = bore("b", {10, 0}, 3, 8, draw::Side::Outer);
  block.backPocket = pocket("c", {5, 0}, 12, 5.5, 3, draw::Side::Back);
  block.backBore = bore("d", {-10, 0}, 4, 6, draw::Side::Back);
  auto lying = draw::drawChassis(c);
  EXPECT_TRUE(lying) << sentence(lying.error());
  Frame up;  // the plate stood on its long edge: its faces become sides
  up.x = {1, 0, 0};
  up.y = {0, 0, -1};
  up.z = {0, 1, 0};
  auto standing = draw::moved(*lying, up);
  EXPECT_TRUE(standing);
  const std::string path =
      (std::filesystem::temp_directory_path() / ("chipledger-sides-" + std::to_string(::getpid()) + ".step")).string();
  EXPECT_TRUE(draw::writeStep(*standing, path, {}));
  auto part = part::readPart(path);
  std::filesystem::remove(path);
  EXPECT_TRUE(part);
  block.part = std::move(*part);
  return block;
}

TEST(Sides, ABlockWithPocketsAndBoresOnTwoSidesIsPricedWhole) {
  const SideBlock block = sideBlock();
  const auto shop = shop::loadShop(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/shop-medlar.toml");
  ASSERT_TRUE(shop);
  Options options;
  options.priceDetails = false;
  options.batches = {10};
  options.cell_um = 100;
  const auto estimate = estimateBody(block.part, block.part.bodies.front(), *shop, options);
  ASSERT_TRUE(estimate) << sentence(estimate.error());
  ASSERT_EQ(estimate->setups.size(), 4u);
  EXPECT_EQ(estimate->gouged.um3, 0);
  EXPECT_EQ((estimate->removed + estimate->partOnGrid + estimate->left).um3, estimate->blankVolume.um3);
  const auto cm = [](VolumeCount v) { return static_cast<double>(v.um3) * 1e-9; };
  double sides = 0.0;
  for (const SetupResult& s : estimate->setups)
    if (!s.setup.plateSide) sides += cm(s.removed);
  const double drawn = block.outerPocket + block.outerBore + block.backPocket + block.backBore;
  // Spots and finishing guards, and half a cell round every wall: a few parts in a hundred at these sizes.
  EXPECT_NEAR(sides, drawn, 0.03 * drawn);
  EXPECT_LT(std::abs(cm(estimate->left)), 0.01 * cm(estimate->blankVolume));
  for (const Note& note : estimate->notes) EXPECT_NE(note.severity, NoteSeverity::LeftOut) << note.text;
  // Every side has a drilled hole and a roughed pocket of its own.
  for (std::size_t k = 2; k < 4; ++k) {
    const auto has = [&](path::OperationKind kind) {
      return std::any_of(estimate->operations.begin(), estimate->operations.end(), [&](const OperationResult& o) {
        return o.operation.setup == static_cast<int>(k) && o.operation.kind == kind;
      });
    };
    EXPECT_TRUE(has(path::OperationKind::Drill));
    EXPECT_TRUE(has(path::OperationKind::Rough));
    EXPECT_TRUE(has(path::OperationKind::Floor));
    EXPECT_TRUE(has(path::OperationKind::Wall));
  }
}

}  // namespace
}  // namespace chipledger::estimate
