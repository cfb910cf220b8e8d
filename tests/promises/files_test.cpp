// Every sample and every open file that can be priced: the ledger balances, the paths cut the part and nothing else,
// and metal that stays is accounted for.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "promises/priced.hpp"

namespace chipledger {
namespace {

std::vector<std::string> filesIn(const std::string& folder) {
  std::vector<std::string> files;
  if (!std::filesystem::is_directory(folder)) return files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string ending = entry.path().extension().string();
    if (ending == ".step" || ending == ".stp") files.push_back(entry.path().string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

/// Samples first; then the open files when the folder beside the project is there.
std::vector<std::string> everyFile() {
  std::vector<std::string> files = filesIn(test::sampleFolder());
  std::vector<std::string> open = filesIn(std::string(CHIPLEDGER_SHARED_DIR) + "/step-public");
  if (open.empty()) open = {"no-open-files"};
  files.insert(files.end(), open.begin(), open.end());
  return files;
}

class Files : public testing::TestWithParam<std::string> {};

/// Of the triangles, mm3, by the divergence theorem.
double meshVolume(const part::Mesh& mesh) {
  double six = 0.0;
  const auto at = [&](std::int32_t v) { return mesh.points[static_cast<std::size_t>(v)]; };
  for (const auto& t : mesh.triangles) six += dot(at(t[0]), cross(at(t[1]), at(t[2])));
  return six / 6.0;
}

/// Left-out words under which metal may stay on the part: each says that some work is not in the price.
bool saysMetalStays(const estimate::Estimate& e) {
  return std::any_of(e.notes.begin(), e.notes.end(), [](const Note& n) { return n.severity == NoteSeverity::LeftOut; });
}

void check(const part::Part& part, const part::Body& body, const shop::Shop& shop, const std::string& name) {
  // Small parts on finer cells: a wall that lies half a cell off weighs more there.
  constexpr double kSmall_mm = 40.0;
  const Vec3 size = body.box.size();
  const int cell = std::max({size.x, size.y, size.z}) < kSmall_mm ? 50 : 100;
  auto priced = estimate::estimateBody(part, body, shop, test::quick(cell));
  if (!priced) {
    EXPECT_NE(priced.error().code, FaultCode::Internal) << sentence(priced.error());
    EXPECT_FALSE(sentence(priced.error()).empty());
    fmt::print("{}: refused: {}\n", name, sentence(priced.error()));
    return;
  }
  const estimate::Estimate& e = *priced;
  const double left = toMm3(toVolume(e.left)), leftOnPart = toMm3(toVolume(e.leftOnPart));
  const double stockMinusPart = toMm3(e.blank.volume) - toMm3(e.partVolume);
  const double counted = toMm3(toVolume(e.removed)) + left;
  std::set<std::string> leftOut;
  for (const Note& n : e.notes)
    if (n.severity == NoteSeverity::LeftOut) leftOut.insert(n.code);
  fmt::print(
      "{}: removed {:.2f} left {:.2f} (on the part {:.3f}, {:.3f} % of it) gouged {:.4f} balance {:+.4f} %{}{}\n", name,
      toMm3(toVolume(e.removed)), left, leftOnPart, 100 * leftOnPart / toMm3(e.partVolume), toMm3(toVolume(e.gouged)),
      100 * (counted / stockMinusPart - 1), leftOut.empty() ? "" : " left out: ", fmt::join(leftOut, " "));

  // Booked sums, to the last count.
  EXPECT_EQ(e.ledger.removed(), e.removed);
  VolumeCount operations;
  for (const auto& o : e.operations) {
    VolumeCount shares;
    for (const path::Share& s : o.operation.shares) shares += s.removed;
    EXPECT_EQ(shares, o.operation.removed) << o.operation.id;
    operations += o.operation.removed;
  }
  EXPECT_EQ(operations, e.removed);
  VolumeCount setups;
  for (const auto& s : e.setups) setups += s.removed;
  EXPECT_EQ(setups, e.removed);
  // Metal booked by the walks against metal counted on the stock they left.
  EXPECT_EQ(e.blankVolume, e.removed + e.left + e.partOnGrid);
  // And against the exact volumes, which know nothing of cells. The cells are filled from the triangles, which stand
  // off a curved surface by up to their deflection: that much of the volume is theirs and bounded apart.
  if (body.volumeCertain) {
    const double facets = std::abs(meshVolume(body.mesh) - toMm3(body.volume));
    EXPECT_LE(facets, body.mesh.deflection_mm * toMm2(body.area));
    EXPECT_NEAR(counted, stockMinusPart, 0.001 * stockMinusPart + facets);
  }
  EXPECT_EQ(toMm3(toVolume(e.gouged)), 0.0) << "mm3 below the target";
  EXPECT_GE(left, 0.0);
  // Left on the part without a word: corners of usual radii, cusps and a film of the finishing guard, a quarter of a
  // percent of the part at most.
  if (!saysMetalStays(e)) {
    EXPECT_LE(leftOnPart, 0.0025 * toMm3(e.partVolume));
  }
}

TEST_P(Files, BalanceGougesAndWhatIsLeft) {
  const std::string& path = GetParam();
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "The folder of open STEP files is not beside the project.";
  const std::string name = std::filesystem::path(path).filename().string();
  const auto part = part::readPart(path);
  if (!part) {
    EXPECT_FALSE(sentence(part.error()).empty());
    fmt::print("{}: not read: {}\n", name, sentence(part.error()));
    return;
  }
  int number = 0;
  for (const part::Body& body : part->bodies) {
    check(*part, body, shop::builtInShop(), part->bodies.size() > 1 ? fmt::format("{} body {}", name, ++number) : name);
  }
}

std::string testName(const testing::TestParamInfo<std::string>& info) {
  std::string name = std::filesystem::path(info.param).stem().string();
  for (char& c : name)
    if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = '_';
  return name;
}
INSTANTIATE_TEST_SUITE_P(Promises, Files, testing::ValuesIn(everyFile()), testName);

}  // namespace
}  // namespace chipledger
