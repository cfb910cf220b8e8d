// More work never costs less: seeded random chassis, one change at a time. And the other hand costs the same.
#include <unistd.h>
#include <chipledger/draw/drawn.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "promises/priced.hpp"
#include "support/random_chassis.hpp"

namespace chipledger {
namespace {

constexpr double kNumericDoubt = 0.005;  // a difference the cells may make

struct Cost {
  double price{}, minutes{};
  std::set<std::string> leftOut;
};

/// Plate of every thickness: between two steps of the market a higher part may leave less over it to skim, and cost
/// less.
shop::Shop anyThickness() {
  constexpr double kThinnest_mm = 1.0, kThickest_mm = 12.0, kApart_mm = 0.05;
  shop::Shop shop = test::sampleShop();
  for (auto& [material, rules] : shop.plates) {
    rules.steps.clear();
    rules.under.clear();
    rules.dearer.clear();
    for (int i = 0; kThinnest_mm + i * kApart_mm <= kThickest_mm; ++i) {
      rules.steps.push_back(mm(kThinnest_mm + i * kApart_mm));
      rules.under.push_back(shop.blank.underThickness);
    }
  }
  return shop;
}
const shop::Shop& lawShop() {
  static const shop::Shop shop = anyThickness();
  return shop;
}

std::optional<Cost> costOf(const draw::Chassis& chassis, const shop::Shop& shop = lawShop()) {
  const auto drawn = draw::drawChassis(chassis);
  if (!drawn) return std::nullopt;  // the change does not fit on this chassis
  static int count = 0;
  const std::string path =
      (std::filesystem::temp_directory_path() / fmt::format("chipledger-monotony-{}-{}.step", ::getpid(), ++count))
          .string();
  if (!draw::writeStep(*drawn, path)) return std::nullopt;
  const auto part = part::readPart(path);
  if (std::getenv("CHIPLEDGER_KEEP") == nullptr) std::filesystem::remove(path);
  if (!part) return std::nullopt;
  const auto e = test::estimateOf(*part, shop);
  if (!e) return std::nullopt;
  Cost cost{toUnits(e->batches.front().perPiece), test::likelyMinutes(*e), {}};
  for (const Note& n : e->notes)
    if (n.severity == NoteSeverity::LeftOut) cost.leftOut.insert(n.code + " " + n.about);
  return cost;
}

struct Change {
  std::string law, what;
  draw::Chassis chassis;
};

template <class List>
bool carries(const List& list, const std::string& name) {
  return std::any_of(list.begin(), list.end(), [&](const auto& d) { return d.on == name; });
}
bool bare(const draw::Chassis& c, const std::string& name) {
  return !carries(c.islands, name) && !carries(c.pockets, name) && !carries(c.windows, name) &&
         !carries(c.bores, name) && !carries(c.slots, name);
}

/// One of each kind, where the chassis has a detail for it.
std::vector<Change> dearer(const draw::Chassis& drawn) {
  std::vector<Change> changes;
  for (std::size_t i = 0; i < drawn.pockets.size(); ++i) {
    const draw::Pocket& p = drawn.pockets[i];
    const Length depth = p.depth + mm(0.2);
    if (!p.on.empty() || !bare(drawn, p.name) || depth > drawn.thickness - mm(0.3)) continue;
    changes.push_back(
        {"deeper pocket", fmt::format("{} {:.2f} deep instead of {:.2f}", p.name, toMm(depth), toMm(p.depth)), drawn});
    changes.back().chassis.pockets[i].depth = depth;
    break;
  }
  for (std::size_t i = 0; i < drawn.islands.size(); ++i) {
    const draw::Island& island = drawn.islands[i];
    if (!island.on.empty() || !bare(drawn, island.name)) continue;
    const Length height = island.height + mm(0.4);
    changes.push_back({"higher island",
                       fmt::format("{} {:.2f} high instead of {:.2f}", island.name, toMm(height), toMm(island.height)),
                       drawn});
    changes.back().chassis.islands[i].height = height;
    break;
  }
  const auto sharper = [&](auto member, const char* where) {
    for (std::size_t i = 0; i < (drawn.*member).size(); ++i) {
      const auto* shape = std::get_if<draw::Rectangle>(&(drawn.*member)[i].shape);
      if (shape == nullptr || shape->cornerRadius < mm(0.65)) continue;
      const Length radius = shape->cornerRadius - mm(0.25);
      changes.push_back({"smaller corner",
                         fmt::format("{} {}: corner radius {:.2f} instead of {:.2f}", where, (drawn.*member)[i].name,
                                     toMm(radius), toMm(shape->cornerRadius)),
                         drawn});
      std::get<draw::Rectangle>((changes.back().chassis.*member)[i].shape).cornerRadius = radius;
      break;
    }
  };
  sharper(&draw::Chassis::pockets, "pocket");
  sharper(&draw::Chassis::windows, "window");
  return changes;
}

shop::Shop slowerShop(double share) {
  shop::Shop shop = lawShop();
  for (cutting::SpeedRow& row : shop.tables.speeds) {
    row.low_m_min *= share;
    row.start_m_min *= share;
    row.high_m_min *= share;
  }
  return shop;
}

/// A small plate with one island, one pocket and one window, all with straight sides: every law has a case on it.
draw::Chassis plate(std::uint32_t seed) {
  testing::random_chassis::Dice dice(seed * 2654435761u + 5u);
  draw::Chassis c;
  c.name = fmt::format("plate-{}", seed);
  c.thickness = mm(dice.pick(1.8, 2.6, 0.1));
  c.outline = draw::RectangleOutline{mm(dice.pick(38, 44, 1)), mm(dice.pick(20, 24, 1)), mm(dice.pick(3, 6, 0.5))};
  const auto shape = [&](double long_mm, double wide_mm) {
    return draw::Rectangle{mm(dice.pick(long_mm - 1.5, long_mm, 0.1)), mm(dice.pick(wide_mm - 1.5, wide_mm, 0.1)),
                           mm(dice.pick(0.8, 2.2, 0.1))};
  };
  draw::Island island;
  island.name = "island";
  island.shape = draw::Oblong{mm(dice.pick(6, 8, 0.5)), mm(dice.pick(3, 5, 0.5))};
  island.place.centre_mm = {-11.5, dice.pick(-2, 2)};
  island.height = mm(dice.pick(1.0, 2.5, 0.1));
  c.islands.push_back(island);
  draw::Pocket pocket;
  pocket.name = "pocket";
  pocket.shape = shape(9, 8);
  pocket.place.centre_mm = {0.5, dice.pick(-2, 2)};
  pocket.side = dice.chance(0.5) ? draw::Side::Outer : draw::Side::Back;
  pocket.depth = mm(dice.pick(0.5, 1.2, 0.1));
  c.pockets.push_back(pocket);
  draw::Window window;
  window.name = "window";
  window.shape = shape(8, 9);
  window.place.centre_mm = {11, dice.pick(-2, 2)};
  c.windows.push_back(window);
  return c;
}

/// Compares the drawn chassis with each dearer one; counts the comparisons of each law.
void compare(const std::string& of, const draw::Chassis& drawn, std::map<std::string, int>& compared) {
  static const shop::Shop slower = slowerShop(0.85);
  const auto base = costOf(drawn);
  if (!base) return;
  const auto hold = [&](const std::string& law, const std::string& what, const std::optional<Cost>& cost) {
    if (!cost) return;
    // Work that is left out of one price and not of the other makes no comparison.
    const bool comparable =
        std::includes(base->leftOut.begin(), base->leftOut.end(), cost->leftOut.begin(), cost->leftOut.end());
    compared[law] += comparable ? 1 : 0;
    fmt::print("{}: {}: {:.3f} -> {:.3f} ({:+.2f} %), {:.3f} -> {:.3f} min{}\n", of, what, base->price, cost->price,
               100 * (cost->price / base->price - 1), base->minutes, cost->minutes,
               comparable ? "" : ", not compared: something is left out");
    if (comparable) {
      EXPECT_GE(cost->price, (1 - kNumericDoubt) * base->price) << of << ": " << what;
    }
  };
  for (const Change& change : dearer(drawn)) hold(change.law, change.what, costOf(change.chassis));
  hold("slower table", "table speeds at 85 %", costOf(drawn, slower));
  const auto mate = costOf(draw::mirrorMate(drawn));
  if (!mate) return;
  ++compared["mirrored"];
  fmt::print("{}: mirrored: {:.3f} -> {:.3f} ({:+.2f} %)\n", of, base->price, mate->price,
             100 * (mate->price / base->price - 1));
  EXPECT_NEAR(mate->price, base->price, kNumericDoubt * base->price) << of << ": mirrored";
}

int firstSeed() {
  const char* asked = std::getenv("CHIPLEDGER_FIRST_SEED");
  return asked != nullptr ? std::atoi(asked) : 1;
}

TEST(Monotony, MoreWorkOnAPlateNeverCostsLess) {
  const int seeds = test::seedsOr(5);
  std::map<std::string, int> compared;
  for (int seed = firstSeed(); seed < firstSeed() + seeds; ++seed)
    compare(fmt::format("plate {}", seed), plate(static_cast<std::uint32_t>(seed)), compared);
  for (const char* law : {"deeper pocket", "higher island", "smaller corner", "slower table", "mirrored"})
    EXPECT_GE(compared[law], seeds) << law;
}

TEST(Monotony, MoreWorkOnAnyChassisNeverCostsLess) {
  const int seeds = test::seedsOr(2);
  testing::RandomChassisOptions options;
  options.cellsAcross = 1;  // few and larger details: what a change does is not lost among others
  std::map<std::string, int> compared;
  for (int seed = firstSeed(); seed < firstSeed() + seeds; ++seed)
    compare(fmt::format("seed {}", seed), testing::randomChassis(static_cast<std::uint32_t>(seed), options), compared);
  EXPECT_GE(compared["slower table"], 1);
}

}  // namespace
}  // namespace chipledger
