// More work never costs less: seeded random chassis, one change at a time. And the other hand costs the same.
#include <unistd.h>
#include <chipledger/draw/drawn.hpp>

#include <fmt/format.h>

#include <algorithm>
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

std::optional<Cost> costOf(const draw::Chassis& chassis, const shop::Shop& shop = test::sampleShop()) {
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
  std::string what;
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
    changes.push_back({fmt::format("{} {:.2f} deep instead of {:.2f}", p.name, toMm(depth), toMm(p.depth)), drawn});
    changes.back().chassis.pockets[i].depth = depth;
    break;
  }
  for (std::size_t i = 0; i < drawn.islands.size(); ++i) {
    const draw::Island& island = drawn.islands[i];
    if (!island.on.empty() || !bare(drawn, island.name)) continue;
    const Length height = island.height + mm(0.4);
    changes.push_back(
        {fmt::format("{} {:.2f} high instead of {:.2f}", island.name, toMm(height), toMm(island.height)), drawn});
    changes.back().chassis.islands[i].height = height;
    break;
  }
  const auto sharper = [&](auto member, const char* where) {
    for (std::size_t i = 0; i < (drawn.*member).size(); ++i) {
      const auto* shape = std::get_if<draw::Rectangle>(&(drawn.*member)[i].shape);
      if (shape == nullptr || shape->cornerRadius < mm(0.65)) continue;
      const Length radius = shape->cornerRadius - mm(0.25);
      changes.push_back({fmt::format("{} {}: corner radius {:.2f} instead of {:.2f}", where, (drawn.*member)[i].name,
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
  shop::Shop shop = test::sampleShop();
  for (cutting::SpeedRow& row : shop.tables.speeds) {
    row.low_m_min *= share;
    row.start_m_min *= share;
    row.high_m_min *= share;
  }
  return shop;
}

TEST(Monotony, MoreWorkNeverCostsLess) {
  const int seeds = test::seedsOr(2);
  const int from = std::getenv("CHIPLEDGER_FIRST_SEED") ? std::atoi(std::getenv("CHIPLEDGER_FIRST_SEED")) : 1;
  const shop::Shop slower = slowerShop(0.85);
  testing::RandomChassisOptions options;
  options.cellsAcross = 1;  // few and larger details: what a change does is not lost among others
  int compared = 0;
  for (int seed = from; seed < from + seeds; ++seed) {
    const draw::Chassis drawn = testing::randomChassis(static_cast<std::uint32_t>(seed), options);
    const auto base = costOf(drawn);
    if (!base) continue;
    const auto compare = [&](const std::string& what, const std::optional<Cost>& cost) {
      if (!cost) return;
      // Work that is left out of one price and not of the other makes no comparison.
      const bool comparable =
          std::includes(base->leftOut.begin(), base->leftOut.end(), cost->leftOut.begin(), cost->leftOut.end());
      compared += comparable ? 1 : 0;
      fmt::print("seed {}: {}: {:.3f} -> {:.3f} ({:+.2f} %), {:.3f} -> {:.3f} min{}\n", seed, what, base->price,
                 cost->price, 100 * (cost->price / base->price - 1), base->minutes, cost->minutes,
                 comparable ? "" : ", not compared: something is left out");
      if (comparable) {
        EXPECT_GE(cost->price, (1 - kNumericDoubt) * base->price) << "seed " << seed << ": " << what;
      }
    };
    for (const Change& change : dearer(drawn)) compare(change.what, costOf(change.chassis));
    compare("table speeds at 85 %", costOf(drawn, slower));
    const auto mate = costOf(draw::mirrorMate(drawn));
    if (mate) {
      fmt::print("seed {}: mirrored: {:.3f} -> {:.3f} ({:+.2f} %)\n", seed, base->price, mate->price,
                 100 * (mate->price / base->price - 1));
      EXPECT_NEAR(mate->price, base->price, kNumericDoubt * base->price) << "seed " << seed << ": mirrored";
    }
  }
  EXPECT_GT(compared, 0);
}

}  // namespace
}  // namespace chipledger
