// The table of a sweep: what is written reads back as the same, and jumps are marked where plate, cutters or setups
// change.
#include <gtest/gtest.h>
#include <chipledger/vary/csv.hpp>

#include <string>

namespace chipledger::vary {
namespace {

Row row(double value, double price, double plate, std::vector<std::string> cutters = {"flat-10", "flat-6"}) {
  Row r;
  r.at = {value};
  r.batch = 50;
  r.perPiece = money(price);
  r.low = money(price * 0.9);
  r.high = money(price / 0.7);
  r.lines[0] = money(price / 3.0);
  r.machine = {1234567890123};
  r.hands = {987654321};
  r.plate = mm(plate);
  r.leftBeforeNextStep = mm(0.1 + 0.2);
  r.removed = {16479900442507};
  r.setups = 2;
  r.cutters = std::move(cutters);
  return r;
}

Table table() {
  Table t;
  t.currency = "EUR";
  t.run = "0123456789abcdef";
  t.axes = {{"island-1.height", "mm", {2.0, 2.5, 3.0, 3.5}, true, 2.0}};
  t.batches = {50};
  t.rows = {row(2.0, 101.123456, 6.0), row(2.5, 102, 6.0), {}, row(3.5, 112.5, 6.35, {"flat-10", "flat-3"})};
  t.rows[2].at = {3.0};
  t.rows[2].batch = 50;
  t.rows[2].hole = "island-1 would run into \"island-2\", here";
  for (std::size_t r = 0; r < t.rows.size(); ++r) markJumps(t, r);
  return t;
}

std::string text(const Table& t, std::size_t rows) {
  std::string out = csvHead(t);
  for (std::size_t r = 0; r < rows; ++r) out += csvRow(t, r);
  return out;
}

TEST(VaryTable, ReadsBackAsTheSame) {
  const Table t = table();
  const auto rows = readCsv(t, text(t, 4), "f.csv");
  ASSERT_TRUE(rows.has_value()) << sentence(rows.error());
  ASSERT_EQ(rows->size(), 4u);
  Table again = t;
  again.rows = *rows;
  for (std::size_t r = 0; r < 4; ++r) markJumps(again, r);
  EXPECT_EQ(text(again, 4), text(t, 4));
  EXPECT_EQ((*rows)[0].machine, t.rows[0].machine);
  EXPECT_EQ((*rows)[2].hole, t.rows[2].hole);
}

TEST(VaryTable, ALineThatWasCutOffIsLeftOut) {
  const Table t = table();
  const std::string whole = text(t, 4);
  for (const std::size_t cut : {std::size_t{0}, std::size_t{10}, whole.size() - 1, whole.size() - 30}) {
    const auto rows = readCsv(t, std::string_view(whole).substr(0, cut), "f.csv");
    ASSERT_TRUE(rows.has_value()) << cut << " " << sentence(rows.error());
    EXPECT_LE(rows->size(), 3u);
  }
}

TEST(VaryTable, AnotherPartsTableIsRefused) {
  const Table t = table();
  Table other = t;
  other.run = "fedcba9876543210";
  const auto rows = readCsv(other, text(t, 4), "f.csv");
  ASSERT_FALSE(rows.has_value());
  EXPECT_EQ(rows.error().where, "f.csv:2");
  EXPECT_FALSE(readCsv(t, "a,b\n1,2\n", "f.csv").has_value());
}

// Over a hole the curve is held against the last point that has a price.
TEST(VaryTable, JumpsSayWhatChanged) {
  const Table t = table();
  EXPECT_TRUE(t.rows[0].jumps.empty());
  EXPECT_TRUE(t.rows[1].jumps.empty());
  ASSERT_EQ(t.rows[3].jumps.size(), 1u);
  EXPECT_EQ(t.rows[3].jumps[0].along, "island-1.height");
  EXPECT_EQ(t.rows[3].jumps[0].why, "6.35 plate instead of 6.00; also needs flat-3; no longer needs flat-6");
}

TEST(VaryTable, InAGridEachPlannedAxisIsHeldAgainstItsOwnNeighbour) {
  Table t;
  t.axes = {{"a.height", "mm", {1, 2}, true, 1}, {"shop.bench.per_piece_min", "min", {30, 40}, false, 30}};
  t.batches = {10, 50};
  for (double a : {1.0, 2.0})
    for (double b : {30.0, 40.0})
      for (int batch : {10, 50}) {
        Row r = row(a, 100, a == 1.0 ? 6.0 : 6.35);
        r.at = {a, b};
        r.batch = batch;
        t.rows.push_back(r);
      }
  for (std::size_t r = 0; r < t.rows.size(); ++r) markJumps(t, r);
  for (std::size_t r = 0; r < 4; ++r) EXPECT_TRUE(t.rows[r].jumps.empty()) << r;
  for (std::size_t r = 4; r < 8; ++r) EXPECT_EQ(t.rows[r].jumps.size(), 1u) << r;
}

}  // namespace
}  // namespace chipledger::vary
