// Details of two variants answer to each other by kind, side, place and size, whichever side either part took for its
// outer one.
#include <gtest/gtest.h>
#include <chipledger/compare/compare.hpp>

#include <algorithm>

namespace chipledger::compare {
namespace {

using detail::Detail;
using detail::DetailKind;
using detail::Details;
using detail::Side;

Detail at(const char* name, DetailKind kind, Side side, Vec2 centre, double length, double width) {
  Detail d;
  d.name = name;
  d.kind = kind;
  d.side = side;
  const Vec2 half{length / 2, width / 2};
  d.footprint = rectangle(centre - half, centre + half);
  d.dimensions.length = mm(length);
  d.dimensions.width = mm(width);
  return d;
}

Details plate() {
  Details d;
  d.list = {at("island-1", DetailKind::Island, Side::Outer, {-10, 3}, 12, 6),
            at("island-2", DetailKind::Island, Side::Outer, {14, 3}, 8, 6),
            at("pocket-1", DetailKind::Pocket, Side::Back, {0, -4}, 10, 5),
            at("window-1", DetailKind::Window, Side::Both, {30, 2}, 6, 4)};
  return d;
}

const DetailChange& of(const Matching& m, const std::string& name) {
  return *std::find_if(m.changes.begin(), m.changes.end(),
                       [&](const DetailChange& c) { return c.before == name || c.after == name; });
}

TEST(MatchDetails, MovedGrownAddedAndGone) {
  Details after = plate();
  after.list[0] = at("island-1", DetailKind::Island, Side::Outer, {-9, 3}, 12, 6);
  after.list[1] = at("island-2", DetailKind::Island, Side::Outer, {14, 3}, 9, 6);
  after.list[2] = at("slot-1", DetailKind::Slot, Side::Back, {0, -4}, 10, 5);
  const Matching m = matchDetails(plate(), after);
  EXPECT_FALSE(m.turnedOver);
  EXPECT_EQ(of(m, "island-1").fate, Fate::Moved);
  EXPECT_EQ(of(m, "island-1").what, "moved 1.00 mm");
  EXPECT_EQ(of(m, "island-2").fate, Fate::Changed);
  EXPECT_EQ(of(m, "island-2").what, "length 8.00 -> 9.00 mm");
  EXPECT_EQ(of(m, "pocket-1").fate, Fate::Gone);
  EXPECT_EQ(of(m, "slot-1").fate, Fate::Added);
  EXPECT_EQ(of(m, "window-1").fate, Fate::Same);
}

TEST(MatchDetails, APartTurnedOverOrEndForEndIsTheSame) {
  for (const auto& [x, y, over] : {std::tuple{1, -1, true}, {-1, 1, true}, {-1, -1, false}}) {
    Details after = plate();
    for (Detail& d : after.list) {
      for (Vec2& p : d.footprint.rings.front()) p = {x * p.x, y * p.y};
      if (over && d.side != Side::Both) d.side = d.side == Side::Outer ? Side::Back : Side::Outer;
    }
    const Matching m = matchDetails(plate(), after);
    EXPECT_EQ(m.turnedOver, over);
    for (const DetailChange& c : m.changes)
      EXPECT_EQ(c.fate, Fate::Same) << c.before << " " << c.after << " " << c.what;
  }
}

// Near the middle either way fits: the part is taken as it lies.
TEST(MatchDetails, WhatFitsBothWaysIsTakenAsItLies) {
  Details one;
  one.list = {at("window-1", DetailKind::Window, Side::Both, {0, 0}, 6, 4)};
  EXPECT_FALSE(matchDetails(one, one).turnedOver);
}

}  // namespace
}  // namespace chipledger::compare
