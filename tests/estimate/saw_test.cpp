// A lock cut narrower than any end mill, open at the edge: sawn in a setup of its own, with its minutes, wear and the
// setup in the price; said where the saw cannot go.
#include <algorithm>

#include "drawn_estimate.hpp"

using namespace chipledger;
using namespace chipledger::test;

namespace {

// A slot of 0.4 mm from the edge inwards.
draw::Chassis lockCut(double deep) {
  draw::Chassis c = plainPlate(2);
  if (deep <= 0) return c;
  draw::Slot s;
  s.name = "lock";
  s.use = draw::SlotUse::LockCut;
  s.open = true;
  s.band.line_mm = {{30.0 - deep, 4}, {31, 4}};
  s.band.width = mm(0.4);
  c.slots.push_back(s);
  return c;
}

const estimate::OperationResult* sawOf(const estimate::Estimate& e) {
  const auto found = std::find_if(e.operations.begin(), e.operations.end(), [](const estimate::OperationResult& o) {
    return o.operation.kind == path::OperationKind::Saw;
  });
  return found == e.operations.end() ? nullptr : &*found;
}

TEST(Sawing, IsASetupOfItsOwnAndInThePrice) {
  const shop::Shop shop = medlarShop();
  const estimate::Estimate plain = estimated(readDrawn(lockCut(0)), shop, quick(false, 50));
  const estimate::Estimate cut = estimated(readDrawn(lockCut(4.5)), shop, quick(false, 50));
  ASSERT_EQ(plain.setups.size(), 2u);
  ASSERT_EQ(cut.setups.size(), 3u);
  const estimate::OperationResult* saw = sawOf(cut);
  ASSERT_NE(saw, nullptr);
  EXPECT_EQ(saw->operation.setup, 2);
  EXPECT_EQ(saw->operation.cutter, "saw-0.4");
  EXPECT_EQ(saw->operation.id, cut.setups[2].setup.name + "-01-saw");
  EXPECT_NEAR(cut.setups[2].setup.direction.z, 0.0, 1e-9) << "the plate stands on edge";
  EXPECT_GT(toMinutes(toDuration(saw->minutes.likely)), 0.0);
  EXPECT_NEAR(static_cast<double>(saw->operation.removed.um3) * 1e-9, 4.5 * 0.4 * 2.0, 0.5);
  EXPECT_EQ((cut.removed + cut.left + cut.partOnGrid).um3, cut.blankVolume.um3);
  EXPECT_EQ(cut.gouged.um3, 0);
  const auto line = [](const estimate::Estimate& e, ledger::Line l) {
    return toUnits(e.batches[2].lines[static_cast<std::size_t>(l)]);
  };
  for (const ledger::Line l : {ledger::Line::Machine, ledger::Line::People, ledger::Line::Cutters, ledger::Line::Setup})
    EXPECT_GT(line(cut, l), line(plain, l)) << ledger::word(l);
}

TEST(Sawing, WhereItCannotGoTheSlotIsLeftOutAndSaid) {
  const estimate::Estimate deep = estimated(readDrawn(lockCut(12)), medlarShop(), quick(false, 50));
  EXPECT_EQ(sawOf(deep), nullptr);
  EXPECT_TRUE(std::any_of(deep.notes.begin(), deep.notes.end(),
                          [](const Note& n) { return n.code == "slot-left" && n.severity == NoteSeverity::LeftOut; }));
}

TEST(Sawing, AnOpenSlotThatAMillPassesIsMilled) {
  draw::Chassis c = lockCut(12);
  c.slots.front().band.width = mm(1.2);
  const estimate::Estimate e = estimated(readDrawn(c), medlarShop(), quick(false, 50));
  EXPECT_EQ(sawOf(e), nullptr);
  EXPECT_FALSE(std::any_of(e.notes.begin(), e.notes.end(), [](const Note& n) { return n.code == "slot-left"; }));
  // 12 x 1.2 x 2 mm3 less is left standing than if nobody cut it.
  EXPECT_LT(static_cast<double>(e.leftOnPart.um3) * 1e-9, 6.0);
  EXPECT_EQ(e.gouged.um3, 0);
}

}  // namespace
