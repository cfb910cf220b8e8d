// Every open STEP file in ../shared: read, and held against the volumes found without this program
// (evidence/volume-reference.tsv says by which route for each row), or refused in words.
#include <chipledger/part/read.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

namespace chipledger::part {
namespace {

namespace fs = std::filesystem;
const fs::path kShared = CHIPLEDGER_SHARED_DIR;

struct Reference {
  double volume{};
  int solids{}, faces{};
  std::string method;
};

std::map<std::string, Reference> references() {
  std::map<std::string, Reference> table;
  std::ifstream in(kShared / "evidence/volume-reference.tsv");
  std::string line;
  std::getline(in, line);
  while (std::getline(in, line)) {
    std::vector<std::string> cell;
    std::istringstream cells(line);
    for (std::string one; std::getline(cells, one, '\t');) cell.push_back(one);
    if (cell.size() >= 16) table[cell[1]] = {std::stod(cell[14]), std::stoi(cell[2]), std::stoi(cell[3]), cell[15]};
  }
  return table;
}

std::vector<std::string> files() {
  std::vector<std::string> list;
  std::error_code absent;
  for (const auto& entry : fs::directory_iterator(kShared / "step-public", absent))
    if (entry.path().extension() == ".step" || entry.path().extension() == ".stp")
      list.push_back(entry.path().filename().string());
  std::sort(list.begin(), list.end());
  if (list.empty()) list.emplace_back("none");
  return list;
}

class PublicFile : public testing::TestWithParam<std::string> {};

void checkTables(const Body& body) {
  const auto faces = static_cast<int>(body.faces.size()), edges = static_cast<int>(body.edges.size());
  double area = 0.0;
  for (const Face& face : body.faces) {
    area += toMm2(face.area);
    EXPECT_FALSE(face.samples.empty()) << "face " << face.id.index;
    EXPECT_GT(toMm2(face.area), 0.0) << "face " << face.id.index;
    for (const FaceSample& s : face.samples) EXPECT_NEAR(norm(s.normal), 1.0, 1e-9);
    for (const FaceLoop& loop : face.loops)
      for (std::size_t i = 0; i < loop.uses.size(); ++i) {
        const auto end = [&](const FaceLoop::Use& use, bool last) {
          const auto& points = body.edges[static_cast<std::size_t>(use.edge.index)].points;
          return last != use.reversed ? points.back() : points.front();
        };
        const FaceLoop::Use& next = loop.uses[(i + 1) % loop.uses.size()];
        EXPECT_LT(norm(end(loop.uses[i], true) - end(next, false)), 0.02) << "face " << face.id.index;
      }
  }
  EXPECT_NEAR(area, toMm2(body.area), 1e-9 * area);
  for (const Edge& edge : body.edges) {
    EXPECT_GE(edge.left.index, 0);
    EXPECT_LT(edge.left.index, faces);
    EXPECT_LT(edge.right.index, faces);
    EXPECT_GE(edge.points.size(), 2U);
  }
  EXPECT_GT(edges, 0);
  EXPECT_TRUE(std::is_sorted(body.mesh.triangleFace.begin(), body.mesh.triangleFace.end()));
}

TEST_P(PublicFile, IsReadOrRefusedInWords) {
  if (GetParam() == "none") GTEST_SKIP() << "the open STEP files are not on this machine";
  const Result<Part> part = readPart((kShared / "step-public" / GetParam()).string(), {seconds(20), 4000, 200});
  const bool broken = GetParam().starts_with("broken_");
  if (!part) {
    EXPECT_GT(part.error().what.size(), 10U);
    EXPECT_GT(part.error().next.size(), 10U);
    // Two of the sound files hold no shape: references to other files, and finite elements.
    EXPECT_TRUE(broken || GetParam() == "stepcode_s1-c5-214.stp" || GetParam() == "stepcode_ATS1-out.stp")
        << sentence(part.error());
    return;
  }
  EXPECT_TRUE(!broken || !part->notes.empty()) << "a broken file was read without a word";
  ASSERT_FALSE(part->bodies.empty());
  for (const Body& body : part->bodies) checkTables(body);

  static const std::map<std::string, Reference> table = references();
  const auto row = table.find(GetParam());
  if (row == table.end()) return;
  double volume = 0.0;
  int solids = 0, faces = 0;
  for (const Body& body : part->bodies) {
    volume += toMm3(body.volume) * body.quantity;
    solids += body.quantity;
    faces += static_cast<int>(body.faces.size()) * body.quantity;
    EXPECT_TRUE(body.volumeCertain);
  }
  const bool byMesh = row->second.method.starts_with("mesh");
  EXPECT_NEAR(volume / row->second.volume, 1.0, byMesh ? 3e-4 : 1e-6);
  EXPECT_EQ(solids, row->second.solids);
  EXPECT_EQ(faces, row->second.faces);
}

std::string nameOf(const testing::TestParamInfo<std::string>& file) {
  std::string name = file.param;
  for (char& c : name)
    if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = '_';
  return name;
}

INSTANTIATE_TEST_SUITE_P(Shared, PublicFile, testing::ValuesIn(files()), nameOf);

}  // namespace
}  // namespace chipledger::part
