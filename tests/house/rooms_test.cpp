// The rooms as they are in the code, held against docs/rooms.tsv.
#include "house/source_tree.hpp"

#include <gtest/gtest.h>

namespace chipledger::house {
namespace {

TEST(Rooms, TheTableIsTheOneThatIsBuilt) {
  const Table table = roomTable();
  std::ifstream in(root() / "src/CMakeLists.txt");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  const std::regex call(R"(chipledger_room\((\w+)([^)]*)\))");
  std::set<std::string> built{"cli"};  // the program: its own list file, not a library
  for (auto it = std::sregex_iterator(text.begin(), text.end(), call); it != std::sregex_iterator(); ++it) {
    const std::string room = (*it)[1];
    built.insert(room);
    std::vector<std::string> rooms;
    bool inRooms = false;
    for (const std::string& w : words((*it)[2])) {
      if (w == "ROOMS" || w == "PUBLIC" || w == "PRIVATE") {
        inRooms = w == "ROOMS";
      } else if (inRooms) {
        rooms.push_back(w);
      }
    }
    ASSERT_TRUE(table.count(room)) << room << " is built but not in docs/rooms.tsv";
    EXPECT_EQ(table.at(room), rooms) << "docs/rooms.tsv and src/CMakeLists.txt differ on " << room;
  }
  for (const auto& [room, may] : table) EXPECT_TRUE(built.count(room)) << room << " is in docs/rooms.tsv but not built";
}

TEST(Rooms, NoCycle) {
  const Table table = roomTable();
  for (const auto& [room, may] : table) {
    for (const std::string& next : may) {
      ASSERT_TRUE(table.count(next)) << room << " may include " << next << ", which is no room";
      EXPECT_FALSE(reach(table, next).count(room)) << room << " and " << next << " include each other";
    }
  }
}

TEST(Rooms, IncludesOnlyLookToTheLeft) {
  const Table table = roomTable();
  std::size_t checked = 0;
  for (const SourceFile& file : codeFiles()) {
    ASSERT_TRUE(table.count(file.room)) << file.path << " lies in no room";
    const std::set<std::string> may = reach(table, file.room);
    for (const std::string& include : includesOf(file)) {
      std::string other;
      if (include.starts_with("chipledger/")) {
        const std::string rest = include.substr(std::string("chipledger/").size());
        other = rest.substr(0, rest.find('/'));
      } else if (include.ends_with(".hpp") && table.count(include.substr(0, include.find('/')))) {
        // A private header of src/<room> is that room's own.
        other = include.substr(0, include.find('/'));
        EXPECT_EQ(other, file.room) << file.path << " includes another room's private header " << include;
      } else {
        continue;
      }
      ++checked;
      EXPECT_TRUE(may.count(other)) << file.path << " (" << file.room << ") includes " << include;
    }
  }
  EXPECT_GT(checked, 50U) << "hardly any include was found: is the pattern still right?";
}

TEST(Rooms, TheKernelStaysInPartAndDraw) {
  for (const SourceFile& file : codeFiles()) {
    for (const std::string& include : includesOf(file)) {
      if (!include.ends_with(".hxx")) continue;
      EXPECT_TRUE(file.path.starts_with("src/part/") || file.path.starts_with("src/draw/"))
          << file.path << ": " << include;
    }
  }
}

TEST(Rooms, OnlyParallelNamesThreads) {
  const std::regex threads(R"(\btbb::|<tbb/|<oneapi/|\bstd::(jthread|thread|async)\b)");
  for (const SourceFile& file : codeFiles()) {
    if (file.path.starts_with("src/parallel/")) continue;
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      EXPECT_FALSE(std::regex_search(file.lines[i], threads)) << file.path << ":" << i + 1 << ": " << file.lines[i];
    }
  }
}

TEST(Rooms, OnlyCliAndReportWrite) {
  // A room that prints cannot be used by a program that writes JSON to standard output.
  const std::regex print(R"(\bstd::(cout|cerr|clog)\b|\b(printf|puts|putchar)\s*\(|\bfmt::print\b)");
  for (const SourceFile& file : codeFiles()) {
    if (file.room == "cli" || file.room == "report") continue;
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      EXPECT_FALSE(std::regex_search(file.lines[i], print)) << file.path << ":" << i + 1 << ": " << file.lines[i];
    }
  }
}

}  // namespace
}  // namespace chipledger::house
