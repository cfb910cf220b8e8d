// Open STEP files from other hands: no truth for each detail, but promises that hold for any part.
#include <gtest/gtest.h>
#include <chipledger/detail/detail.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>

#include <algorithm>
#include <filesystem>

using namespace chipledger;
using detail::DetailKind;

namespace {

struct OpenRow {
  const char* file;
  int body;            ///< bodies are sorted by volume, largest first
  const char* reason;  ///< part of the note "not-milled"; empty: a milled part
  int bores;           ///< counted by hand on the part or from its table; -1: not counted
};
void PrintTo(const OpenRow& row, std::ostream* out) { *out << row.file << " body " << row.body; }
class OpenFile : public testing::TestWithParam<OpenRow> {};

std::string reasonOf(const detail::Details& details) {
  for (const Note& n : details.notes) {
    if (n.code == "not-milled") return n.text;
  }
  return "";
}

/// What is said of a size is a size: a detail without it says nothing of it.
void saysSizes(const detail::Detail& d) {
  const detail::Dimensions& m = d.dimensions;
  for (const auto& [name, size] : {std::pair{"height", m.height},
                                   {"depth", m.depth},
                                   {"diameter", m.diameter},
                                   {"length", m.length},
                                   {"width", m.width},
                                   {"corner radius", m.cornerRadius},
                                   {"root radius", m.rootRadius},
                                   {"counter", m.counterDiameter}})
    if (size) {
      EXPECT_TRUE(toMm(*size) > 1e-3 && toMm(*size) < 1e6) << d.name << " " << name << " " << toMm(*size);
    }
}

}  // namespace

TEST_P(OpenFile, KeepsThePromises) {
  const OpenRow row = GetParam();
  const std::string path = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/" + row.file;
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "The open files are not here.";
  const auto part = part::readPart(path);
  ASSERT_TRUE(part) << sentence(part.error());
  ASSERT_GT(part->bodies.size(), static_cast<std::size_t>(row.body));
  const part::Body& body = part->bodies[static_cast<std::size_t>(row.body)];
  const auto plan = setup::planSetups(body);
  ASSERT_TRUE(plan);
  const auto details = detail::findDetails(body, *plan);
  ASSERT_TRUE(details);

  // Every face is in exactly one detail, and the two tables agree.
  std::vector<int> count(body.faces.size(), 0);
  for (std::size_t k = 0; k < details->list.size(); ++k) {
    for (const part::FaceId f : details->list[k].faces) {
      ++count[static_cast<std::size_t>(f.index)];
      EXPECT_EQ(details->faceDetail[static_cast<std::size_t>(f.index)], static_cast<int>(k));
    }
    EXPECT_LE(details->list[k].low_mm, details->list[k].high_mm + 1e-6) << details->list[k].name;
    EXPECT_NE(details->list[k].parent, static_cast<int>(k));
    saysSizes(details->list[k]);
  }
  EXPECT_EQ(std::count(count.begin(), count.end(), 1), static_cast<std::ptrdiff_t>(count.size()));
  std::vector<std::string> names;
  for (const detail::Detail& d : details->list) names.push_back(d.name);
  std::sort(names.begin(), names.end());
  EXPECT_EQ(std::adjacent_find(names.begin(), names.end()), names.end());

  const std::string reason = reasonOf(*details);
  if (*row.reason) {
    EXPECT_NE(reason.find(row.reason), std::string::npos) << reason;
  } else {
    EXPECT_TRUE(reason.empty()) << reason;
  }
  if (row.bores >= 0) {
    const auto bore = [](const detail::Detail& d) {
      return d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Seat;
    };
    EXPECT_EQ(std::count_if(details->list.begin(), details->list.end(), bore), row.bores);
  }

  // The same again: same answer, whatever the number of threads.
  setThreads(1);
  const auto planAgain = setup::planSetups(body);
  setThreads(0);
  ASSERT_TRUE(planAgain);
  const auto again = detail::findDetails(body, *planAgain);
  ASSERT_TRUE(again);
  EXPECT_EQ(again->faceDetail, details->faceDetail);
}

INSTANTIATE_TEST_SUITE_P(
    Rows, OpenFile,
    testing::Values(
        OpenRow{"stepcode_as1-oc-214.stp", 0, "", 6},  // plate with six bores
        OpenRow{"stepcode_as1-oc-214.stp", 1, "", 4},  // angle with four
        OpenRow{"odri_motor_antigravity_4004_custom_shaft.step", 0, "turns about one axis", -1},
        OpenRow{"fabricad_geometry_00000014.step", 0, "turns about one axis", -1},
        OpenRow{"stepcode_sg1-c5-214.stp", 0, "turns about one axis", -1},
        OpenRow{"nist_nist_ctc_03_asme1_rc.stp", 0, "bent from sheet", -1}, OpenRow{"openeai_JXS-01-01.step", 0, "", 8},
        OpenRow{"openeai_JXS-02-01.step", 0, "", 16}, OpenRow{"openeai_JXS-04-02.step", 0, "", 8},
        OpenRow{"openeai_JXS-07-05.step", 0, "", 20}, OpenRow{"odri_lower_leg_structure_fork.step", 0, "", -1},
        OpenRow{"mfinstseg_partC.step", 0, "", -1}, OpenRow{"fabricad_geometry_00000006.step", 0, "", -1},
        OpenRow{"fabricad_geometry_00000009.step", 0, "", 4},  // bores: rows of the files' own feature tables
        OpenRow{"fabricad_geometry_00000011.step", 0, "", 6}, OpenRow{"fabricad_geometry_00000012.step", 0, "", 3},
        OpenRow{"fabricad_geometry_00000018.step", 0, "", 6}, OpenRow{"soarm_Motor_holder_SO101_Base.step", 0, "", -1},
        OpenRow{"nist_nist_ftc_06_asme1_rd.stp", 0, "", -1}));

// Every open file that reads, rotary, welded and bent ones too: whatever is found has a size, and every face an owner.
TEST(EveryOpenFile, SaysNothingThatCannotBe) {
  const std::string folder = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << "The open files are not here.";
  constexpr std::uintmax_t kQuickToRead = 600'000;  // bytes
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string ending = entry.path().extension().string();
    if ((ending == ".step" || ending == ".stp") && entry.file_size() < kQuickToRead)
      files.push_back(entry.path().string());
  }
  std::sort(files.begin(), files.end());
  int looked = 0;
  for (const std::string& file : files) {
    SCOPED_TRACE(file);
    const auto part = part::readPart(file);
    if (!part) continue;  // broken ones: tests of the room that reads
    for (const part::Body& body : part->bodies) {
      const auto plan = setup::planSetups(body);
      if (!plan) continue;
      const auto details = detail::findDetails(body, *plan);
      if (!details) continue;
      ++looked;
      for (const detail::Detail& d : details->list) saysSizes(d);
      for (const int owner : details->faceDetail) EXPECT_GE(owner, 0);
    }
  }
  EXPECT_GT(looked, 50);
}
