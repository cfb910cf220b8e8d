// The paths file is enough to cut and to time the part again.
#include <chipledger/report/csv.hpp>
#include <chipledger/report/json.hpp>

#include <fmt/format.h>

#include "promises/priced.hpp"
#include "support/reference/recut.hpp"

namespace chipledger {
namespace {

TEST(Recut, Show) {
  const char* file = std::getenv("RECUT_FILE");
  if (!file) GTEST_SKIP();
  auto part = part::readPart(file);
  ASSERT_TRUE(part);
  const double spacing = std::getenv("RECUT_STEP") ? std::atof(std::getenv("RECUT_STEP")) : 0.1;
  auto e = test::estimateOf(*part, shop::builtInShop());
  ASSERT_TRUE(e) << sentence(e.error());
  const auto json = nlohmann::json::parse(report::estimateJson(*e, *part));
  reference::Recut recut(json, part->bodies.front().mesh, spacing, 0.5 * spacing, 0.02 + 0.003);
  const auto rows = reference::readPaths(report::pathsCsv(*e));
  fmt::print("rows {}\n", rows.size());
  const auto done = recut.run(rows);
  fmt::print("blank {} {}  part {} {} {}\n", recut.blank_mm3(), toMm3(toVolume(e->blankVolume)), recut.part_mm3(),
             toMm3(toVolume(e->partOnGrid)), toMm3(e->partVolume));
  double sum = 0;
  for (std::size_t i = 0; i < done.size(); ++i) {
    const auto& o = json["operations"][i];
    sum += done[i].removed_mm3;
    fmt::print(
        "{:24s} {:14s} removed {:10.3f} {:10.3f} rapid {:7.4f} path {:9.2f} {:9.2f} min {:8.4f} {:8.4f} gouge {:6.3f} "
        "{:8.3f}\n",
        done[i].id, o["cutter"].get<std::string>(), done[i].removed_mm3, o["removed_mm3"].get<double>(),
        done[i].rapid_mm3, done[i].path_mm, o["path_mm"].get<double>(), done[i].feed_min,
        o["minutes"]["lower"].get<double>(), done[i].gouge_mm, done[i].gouge_mm3);
  }
  fmt::print("removed {} {}  stock {} left {} {}\n", sum, toMm3(toVolume(e->removed)), recut.stock_mm3(),
             recut.stock_mm3() - recut.part_mm3(), toMm3(toVolume(e->left)));
}

}  // namespace
}  // namespace chipledger
