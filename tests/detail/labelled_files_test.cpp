// Open STEP files whose faces others have labelled. Both use classes of their own; the tables below say which of our
// kinds answers to which class. Passages, pockets, open recesses, broken edges and blank faces are told apart; how many
// sides a triangle or a slot has is not a kind of ours.
#include <gtest/gtest.h>
#include <chipledger/detail/detail.hpp>
#include <chipledger/part/read.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <sstream>

using namespace chipledger;
using detail::DetailKind;

namespace {

const std::string kFolder = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/";

enum class Family { Edge, Passage, Pocket, Open, Blank, Bore };

Family familyOf(const detail::Detail& d) {
  switch (d.kind) {
    case DetailKind::Chamfer:
    case DetailKind::Round:
      return Family::Edge;
    case DetailKind::Window:
      return Family::Passage;
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
      return Family::Bore;
    case DetailKind::Pocket:
    case DetailKind::Thinning:
    case DetailKind::Lettering:
      return Family::Pocket;
    // A closed slot is a long pocket or a long passage: told apart by whether it opens to the side.
    case DetailKind::Slot:
    case DetailKind::LockCut:
    case DetailKind::OpenPocket:
    case DetailKind::Step:
      return Family::Open;
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::Island:
    case DetailKind::CarvedFace:
    case DetailKind::SideFace:
    case DetailKind::Undercut:
      return Family::Blank;
  }
  return Family::Blank;
}

/// Planar set: class 0 to 15 in the order found from the number of faces of an instance.
constexpr Family kPlanarClasses[16] = {Family::Edge, Family::Passage, Family::Passage, Family::Passage,
                                       Family::Open, Family::Open,    Family::Open,    Family::Open,
                                       Family::Open, Family::Pocket,  Family::Pocket,  Family::Pocket,
                                       Family::Open, Family::Open,    Family::Open,    Family::Blank};

/// Set with curved faces: class 0 to 24.
constexpr Family kCurvedClasses[25] = {
    Family::Edge,   Family::Passage, Family::Passage, Family::Passage, Family::Passage, Family::Open,   Family::Open,
    Family::Open,   Family::Open,    Family::Open,    Family::Open,    Family::Pocket,  Family::Pocket, Family::Pocket,
    Family::Pocket, Family::Pocket,  Family::Pocket,  Family::Open,    Family::Open,    Family::Open,   Family::Open,
    Family::Open,   Family::Open,    Family::Edge,    Family::Blank};

std::vector<std::string> planarFiles() {
  std::vector<std::string> files;
  if (!std::filesystem::exists(kFolder)) return files;
  for (const auto& entry : std::filesystem::directory_iterator(kFolder)) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with("mfcad_") && name.ends_with(".step")) files.push_back(name.substr(0, name.size() - 5));
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

TEST(LabelledFiles, PlanarFacesGetTheRightKind) {
  const auto files = planarFiles();
  if (files.empty()) GTEST_SKIP() << "The open files are not here.";
  int right = 0, all = 0, rightCut = 0, allCut = 0;
  std::ostringstream wrong;
  for (const std::string& file : files) {
    const auto part = part::readPart(kFolder + file + ".step");
    ASSERT_TRUE(part) << sentence(part.error());
    const part::Body& body = part->bodies.front();
    const auto plan = setup::planSetups(body);
    ASSERT_TRUE(plan);
    const auto details = detail::findDetails(body, *plan);
    ASSERT_TRUE(details);
    std::map<std::string, int> classOf;
    std::ifstream table(kFolder + "labels/" + file + ".tsv");
    std::string line;
    std::getline(table, line);
    while (std::getline(table, line)) {
      std::istringstream cells(line);
      std::string name;
      int id = 0;
      cells >> name >> id;
      classOf[name] = id;
    }
    for (const part::Face& face : body.faces) {
      ASSERT_TRUE(classOf.contains(face.name)) << file << " face " << face.name;
      const int id = classOf[face.name];
      const int owner = details->faceDetail[static_cast<std::size_t>(face.id.index)];
      ASSERT_GE(owner, 0) << file << " face " << face.id.index;
      const detail::Detail& d = details->list[static_cast<std::size_t>(owner)];
      Family family = familyOf(d);
      if (family == Family::Bore) family = d.through ? Family::Passage : Family::Pocket;
      const bool good = family == kPlanarClasses[id];
      right += good;
      ++all;
      if (kPlanarClasses[id] != Family::Blank) {
        rightCut += good;
        ++allCut;
      }
      if (!good)
        wrong << "  " << file << " face " << face.id.index << " '" << face.name << "' class " << id << " found "
              << d.name << "\n";
    }
  }
  std::cout << "planar faces right: " << right << " of " << all << ", without the blank: " << rightCut << " of "
            << allCut << "\n";
  EXPECT_GE(right, 0.99 * all) << wrong.str();
  if (std::getenv("CHIPLEDGER_SHOW_WRONG")) std::cout << wrong.str();
}

TEST(LabelledFiles, CurvedFacesGetTheRightKind) {
  std::ifstream in(kFolder + "labels/mfinstseg_test.json");
  if (!in) GTEST_SKIP() << "The open files are not here.";
  std::stringstream text;
  text << in.rdbuf();
  // The labels stand in "seg" as "index": class.
  const std::string all = text.str();
  const std::size_t begin = all.find("\"seg\""), end = all.find('}', begin);
  ASSERT_NE(begin, std::string::npos);
  std::map<int, int> classOf;
  for (std::size_t at = all.find('{', begin); at < end;) {
    at = all.find('"', at);
    if (at == std::string::npos || at > end) break;
    const int face = std::atoi(all.c_str() + at + 1);
    at = all.find(':', at);
    classOf[face] = std::atoi(all.c_str() + at + 1);
  }
  const auto part = part::readPart(kFolder + "mfinstseg_test.step");
  ASSERT_TRUE(part) << sentence(part.error());
  const part::Body& body = part->bodies.front();
  ASSERT_EQ(classOf.size(), body.faces.size());
  const auto plan = setup::planSetups(body);
  ASSERT_TRUE(plan);
  const auto details = detail::findDetails(body, *plan);
  ASSERT_TRUE(details);
  for (const auto& [face, id] : classOf) {
    const detail::Detail& d =
        details->list[static_cast<std::size_t>(details->faceDetail[static_cast<std::size_t>(face)])];
    Family family = familyOf(d);
    if (family == Family::Bore) family = d.through ? Family::Passage : Family::Pocket;
    EXPECT_EQ(family, kCurvedClasses[id]) << "face " << face << " class " << id << " found " << d.name;
  }
}
