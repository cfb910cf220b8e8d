// What it means that a detail has a price: with minus without, put back, added up, and nothing left but the plate.
#include <algorithm>

#include "drawn_estimate.hpp"

using namespace chipledger;
using namespace chipledger::test;
using detail::DetailKind;

namespace {

constexpr int kCoarse_um = 200;

/// One of nearly everything, small.
draw::Chassis full() {
  draw::Chassis c = plainPlate();
  c.outerEdge = {draw::EdgeBreak::Kind::Chamfer, mm(0.3)};
  c.islands.push_back(island("island", {-18, 0}, 14, 8, 1.5));
  draw::Bore pivot = bore("pivot", {-18, 0}, 3);
  pivot.on = "island";
  draw::Bore sunk = bore("sunk", {22, -8}, 2.5);
  sunk.counterbore = draw::Counterbore{mm(5), mm(1)};
  c.bores = {pivot, bore("blind", {22, 8}, 2.5, 1.5), sunk};
  c.pockets.push_back(pocket("pocket", {1, 0}, 14, 10, 1.2));
  c.windows.push_back(window("window", {17, 0}, 8, 6));
  return c;
}

/// The blocks are thicker than the plates of a chassis shop.
shop::Shop shopWithThickPlate() {
  shop::Shop shop = medlarShop();
  for (auto& [material, rules] : shop.plates) {
    rules.steps.push_back(mm(25.4));
    if (!rules.under.empty()) rules.under.push_back(rules.underThickness);
    if (!rules.dearer.empty()) rules.dearer.push_back(1.0);
  }
  return shop;
}

std::vector<int> removable(const Replannable& part) {
  std::vector<int> all;
  for (std::size_t i = 0; i < part.details().list.size(); ++i) {
    const DetailKind kind = part.details().list[i].kind;
    if (kind != DetailKind::Body && kind != DetailKind::Outline) all.push_back(static_cast<int>(i));
  }
  return all;
}

/// Detail prices and what is shared make the price; every detail has a price or says why not.
void addsUp(const estimate::Estimate& e, const std::string& name) {
  ASSERT_EQ(e.shared.size(), e.batches.size()) << name;
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    Money sum = e.shared[b].money;
    estimate::Stack lines = e.shared[b].lines;
    for (const estimate::DetailPrice& p : e.detailPrices) {
      if (p.withMinusWithout.empty()) continue;
      sum += p.withMinusWithout[b].money;
      for (std::size_t l = 0; l < lines.size(); ++l) lines[l] += p.withMinusWithout[b].lines[l];
    }
    EXPECT_EQ(sum, e.batches[b].perPiece) << name;
    EXPECT_EQ(lines, e.batches[b].lines) << name;
    EXPECT_LE(e.batches[b].low, e.batches[b].perPiece) << name;
    EXPECT_GE(e.batches[b].high, e.batches[b].perPiece) << name;
  }
  for (const estimate::DetailPrice& p : e.detailPrices)
    EXPECT_NE(p.withMinusWithout.empty(), p.cannot.empty())
        << name << " " << e.details.list[static_cast<std::size_t>(p.detail)].name << " " << p.cannot;
}

bool same(const estimate::Difference& a, const estimate::Difference& b) {
  return a.size == b.size && a.money == b.money && a.lines == b.lines;
}

}  // namespace

TEST(DetailPrices, TakingAwayAndPuttingBackChangesNothing) {
  Replannable part(readDrawn(full()), medlarShop(), quick(true, kCoarse_um));
  const std::vector<int> all = removable(part);
  std::vector<estimate::Replanned> first;
  for (const int i : all) first.push_back(part.replanner().without({i}));
  // Everything has been away once: the part as drawn is the part as drawn, to the last unit.
  const estimate::Replanned back = part.replanner().changed(estimate::Variant{});
  for (const estimate::Difference& d : back.differences) {
    EXPECT_EQ(d.money.micros, 0);
    for (const Money line : d.lines) EXPECT_EQ(line.micros, 0);
  }
  EXPECT_EQ(back.machine.ns, 0);
  // And what each costs does not hang on what was asked before.
  for (std::size_t k = all.size(); k-- > 0;) {
    const estimate::Replanned again = part.replanner().without({all[k]});
    ASSERT_EQ(again.differences.size(), first[k].differences.size());
    for (std::size_t b = 0; b < again.differences.size(); ++b)
      EXPECT_TRUE(same(again.differences[b], first[k].differences[b])) << all[k];
    EXPECT_EQ(again.why, first[k].why);
  }
}

TEST(DetailPrices, WithoutEverythingThePlainPlateIsLeft) {
  const shop::Shop shop = medlarShop();
  const estimate::Options options = quick(false, 100);
  Replannable part(readDrawn(full()), shop, options);
  const estimate::Replanned bare = part.replanner().without(removable(part));
  const estimate::Estimate with = estimated(readDrawn(full()), shop, options);
  const estimate::Estimate plain = estimated(readDrawn(plainPlate()), shop, options);
  for (std::size_t b = 0; b < plain.batches.size(); ++b) {
    const double left = toUnits(with.batches[b].perPiece) - toUnits(bare.differences[b].money);
    EXPECT_NEAR(left / toUnits(plain.batches[b].perPiece), 1.0, 0.01) << plain.batches[b].size;
  }
  const double minutes =
      toMinutes(toDuration(machineTime(part.replanner().base()))) - toMinutes(toDuration(bare.machine));
  EXPECT_NEAR(minutes / toMinutes(toDuration(plain.ledger.minutes().likely)), 1.0, 0.01);
}

TEST(DetailPrices, AddUpWithWhatIsSharedOnEveryKindOfSample) {
  for (const char* name : {"block-undercut.step", "block-bores-m2.step", "block-pocket.step", "block-window.step"}) {
    addsUp(estimated(readSample(name), shopWithThickPlate(), quick(true, kCoarse_um)), name);
  }
}

// A T-shaped slot: nothing gets under its shoulders from above, so a third direction mills it from its end. Its price
// is that setup; what cannot be planned there is said to be left out.
TEST(DetailPrices, AnUndercutBringsASetupOfItsOwnOrIsLeftOutInSight) {
  const estimate::Estimate e =
      estimated(readSample("block-undercut.step"), shopWithThickPlate(), quick(true, kCoarse_um));
  bool found = false;
  for (const estimate::DetailPrice& p : e.detailPrices) {
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    if (d.side != detail::Side::Other) continue;
    found = true;
    const bool setup = p.why.find("+1 setup") != std::string::npos;
    const bool leftOut =
        std::any_of(e.notes.begin(), e.notes.end(), [](const Note& n) { return n.severity == NoteSeverity::LeftOut; });
    EXPECT_TRUE(setup || leftOut) << d.name << ": " << p.why << p.cannot;
  }
  EXPECT_TRUE(found);
}

namespace {
struct Nested {
  const char* name;
  void (*draw)(draw::Chassis&);
  std::vector<DetailKind> kinds;  ///< found, each with a price of its own
};
void PrintTo(const Nested& row, std::ostream* out) { *out << row.name; }
class DetailsInDetails : public ::testing::TestWithParam<Nested> {};
}  // namespace

TEST_P(DetailsInDetails, ArePricedEndToEnd) {
  draw::Chassis c = plainPlate();
  GetParam().draw(c);
  const part::Part part = readDrawn(c, {draw::Touching::Allow, false});
  const estimate::Estimate e = estimated(part, medlarShop(), quick(true, kCoarse_um));
  addsUp(e, GetParam().name);
  EXPECT_EQ(e.gouged.um3, 0);
  for (const DetailKind kind : GetParam().kinds) {
    const auto p = std::find_if(e.detailPrices.begin(), e.detailPrices.end(), [&](const estimate::DetailPrice& d) {
      return e.details.list[static_cast<std::size_t>(d.detail)].kind == kind;
    });
    ASSERT_NE(p, e.detailPrices.end()) << detail::word(kind);
    ASSERT_FALSE(p->withMinusWithout.empty()) << detail::word(kind);
    EXPECT_GT(p->withMinusWithout.front().money.micros, 0) << detail::word(kind) << ": " << p->why;
    EXPECT_FALSE(p->why.empty());
  }
}

INSTANTIATE_TEST_SUITE_P(Rows, DetailsInDetails,
                         ::testing::Values(Nested{"pocket in an island",
                                                  [](draw::Chassis& c) {
                                                    c.islands.push_back(island("i", {0, 0}, 24, 16, 2));
                                                    draw::Pocket p = pocket("p", {0, 0}, 12, 8, 1);
                                                    p.on = "i";
                                                    c.pockets.push_back(p);
                                                  },
                                                  {DetailKind::Island, DetailKind::Pocket}},
                                           Nested{"bore through an island",
                                                  [](draw::Chassis& c) {
                                                    c.islands.push_back(island("i", {0, 0}, 24, 12, 2));
                                                    draw::Bore b = bore("b", {0, 0}, 4);
                                                    b.on = "i";
                                                    c.bores.push_back(b);
                                                  },
                                                  {DetailKind::Island, DetailKind::Bore}},
                                           Nested{"island in a pocket",
                                                  [](draw::Chassis& c) {
                                                    c.pockets.push_back(pocket("p", {0, 0}, 36, 20, 1.5));
                                                    draw::Island i = island("i", {0, 0}, 10, 5, 1.5, 0);
                                                    i.on = "p";
                                                    c.islands.push_back(i);
                                                  },
                                                  {DetailKind::Island, DetailKind::Pocket}},
                                           Nested{"window across a pocket's edge",
                                                  [](draw::Chassis& c) {
                                                    c.pockets.push_back(pocket("p", {-6, 0}, 22, 14, 1.2));
                                                    c.windows.push_back(window("w", {7, 0}, 14, 8));
                                                  },
                                                  {DetailKind::Pocket, DetailKind::Window}}));

// In a shop that lists no plate as thick, stock is assumed, in sight, and the price is incomplete; so it is with what
// no cutter gets under.
TEST(DetailPrices, ABlockThickerThanAnyPlateIsPricedOnAssumedStock) {
  const estimate::Estimate e = estimated(readSample("block-undercut.step"), medlarShop(), quick(true, kCoarse_um));
  addsUp(e, "block-undercut");
  EXPECT_FALSE(e.blank.listed);
  EXPECT_GE(toMm(e.blank.step), 20.6);  // 20 high + 2 x 0.15 skim + 0.30 under-thickness
  EXPECT_GT(e.batches[2].perPiece.micros, 0);
  const auto note =
      std::find_if(e.notes.begin(), e.notes.end(), [](const Note& n) { return n.code == "plate-not-listed"; });
  ASSERT_NE(note, e.notes.end());
  EXPECT_EQ(note->severity, NoteSeverity::LeftOut);
  EXPECT_NE(note->text.find("12.70"), std::string::npos) << note->text;
}

// An M2 tap drill's bore: asked about, priced as it is, dearer when it is a thread.
TEST(DetailPrices, ABoreOfM2SizeIsAskedAboutAndPriced) {
  draw::Chassis c = plainPlate(2);
  c.bores.push_back(bore("m2", {5, 0}, 1.6));
  const part::Part part = readDrawn(c);
  const estimate::Estimate plain = estimated(part, medlarShop(), quick(true, kCoarse_um));
  addsUp(plain, "m2");
  const auto asked = std::find_if(plain.details.questions.begin(), plain.details.questions.end(),
                                  [](const detail::Question& q) { return q.key == "bore-1.thread"; });
  ASSERT_NE(asked, plain.details.questions.end());
  estimate::Options tapped = quick(true, kCoarse_um);
  tapped.answersFile = scratchFile(".toml");
  std::ofstream(*tapped.answersFile) << "[bore-1]\nthread = \"M2\"\n";
  const estimate::Estimate thread = estimated(part, medlarShop(), tapped);
  std::filesystem::remove(*tapped.answersFile);
  addsUp(thread, "m2 tapped");
  const auto priceOf = [](const estimate::Estimate& e) {
    for (const estimate::DetailPrice& p : e.detailPrices)
      if (e.details.list[static_cast<std::size_t>(p.detail)].name == "bore-1") return p.withMinusWithout.at(2).money;
    return Money{};
  };
  EXPECT_GT(priceOf(plain).micros, 0);
  EXPECT_GT(priceOf(thread).micros, priceOf(plain).micros);
}

// The names of the details are said, and the one that was probably meant.
TEST(DetailPrices, AnUnknownNameGetsTheListAndTheNearest) {
  estimate::Options options = quick(true, kCoarse_um);
  options.onlyDetail = "pokcet-1";
  const part::Part part = readDrawn(full());
  const auto e = estimate::estimateBody(part, part.bodies.front(), medlarShop(), options);
  ASSERT_FALSE(e.has_value());
  EXPECT_EQ(e.error().code, FaultCode::Usage);
  EXPECT_NE(e.error().next.find("Nearest: pocket-1."), std::string::npos) << e.error().next;
  EXPECT_NE(e.error().next.find("window-1"), std::string::npos) << e.error().next;
  options.onlyDetail = "isl1";
  const auto shortened = estimate::estimateBody(part, part.bodies.front(), medlarShop(), options);
  ASSERT_FALSE(shortened.has_value());
  EXPECT_NE(shortened.error().next.find("Nearest: island-1."), std::string::npos) << shortened.error().next;
}

namespace {

// A crowned plate, roughed in terraces and carved: what is taken away from it leaves the crown as it is drawn without
// it.
draw::Chassis crowned() {
  draw::Chassis c = plainPlate();
  c.crown = draw::Crown{mm(140), mm(1500)};
  return c;
}

}  // namespace

TEST(OnACrown, AHoleCostsItsDrillingAlone) {
  draw::Chassis c = crowned();
  c.bores = {bore("a", {10, 5}, 4), bore("b", {-20, -7}, 2.1)};
  c.bores.front().hint = part::Hint::Tight;
  const estimate::Estimate e = estimated(readDrawn(c), medlarShop(), quick(true));
  int holes = 0;
  for (const estimate::DetailPrice& p : e.detailPrices) {
    if (e.details.list[static_cast<std::size_t>(p.detail)].kind != DetailKind::Bore) continue;
    ++holes;
    ASSERT_FALSE(p.withMinusWithout.empty()) << p.cannot;
    EXPECT_GT(p.withMinusWithout[2].money, Money{}) << p.why;
    for (const char* word : {"roughing", "finishing", "carving", "cheaper"})
      EXPECT_EQ(p.why.find(word), std::string::npos) << p.why;
  }
  EXPECT_EQ(holes, 2);
}

TEST(OnACrown, WithoutAWindowOrAnIslandItIsThePlateDrawnSo) {
  draw::Chassis with = crowned();
  with.windows.push_back(window("window", {14, 0}, 16, 12));
  with.islands.push_back(island("island", {-14, 0}, 12, 6, 1.5));
  draw::Chassis noWindow = with, noIsland = with;
  noWindow.windows.clear();
  noIsland.islands.clear();
  const estimate::Estimate e = estimated(readDrawn(with), medlarShop(), quick(true));
  for (const estimate::DetailPrice& p : e.detailPrices) {
    const DetailKind kind = e.details.list[static_cast<std::size_t>(p.detail)].kind;
    if (kind != DetailKind::Window && kind != DetailKind::Island) continue;
    ASSERT_FALSE(p.withMinusWithout.empty()) << p.cannot;
    const estimate::Estimate drawn =
        estimated(readDrawn(kind == DetailKind::Window ? noWindow : noIsland), medlarShop(), quick());
    const double without = toUnits(e.batches[2].perPiece) - toUnits(p.withMinusWithout[2].money);
    EXPECT_NEAR(without / toUnits(drawn.batches[2].perPiece), 1.0, 0.015) << detail::word(kind) << ": " << p.why;
    if (p.withMinusWithout.back().money < Money{}) {
      EXPECT_TRUE(p.why.starts_with("the part is cheaper with it")) << p.why;
    }
  }
}
