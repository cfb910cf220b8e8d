// Which rows of the cutting tables a set of parts uses: prices each part in every material of the tables and lists the
// rows that no operation, blank or thread ever read. "row_use --all FILES" lists the used ones too, with their counts.
//   row_use [--all] PART.step...
#include <chipledger/cutting/row_use.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>

#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

using namespace chipledger;
using cutting::RowUse;
using cutting::Section;

namespace {

void tally(const estimate::Estimate& e, const cutting::CuttingTables& tables, const cutting::Material& material,
           cutting::RowTally& count) {
  for (const estimate::OperationResult& o : e.operations)
    for (const cutting::Cutter& cutter : tables.crib)
      if (cutter.id == o.operation.cutter)
        count.add(cutting::rowsBehind(tables, material, cutter, o.operation.conditions));
  for (std::size_t i = 0; i < tables.plates.size(); ++i)
    if (tables.plates[i].material == material.name &&
        std::abs(tables.plates[i].thickness_mm - toMm(e.blank.step)) < 1e-6)
      count.add(Section::Plate, i);
  for (std::size_t i = 0; i < tables.threads.size(); ++i)
    for (const detail::Detail& d : e.details.list)
      if (d.thread == tables.threads[i].name) count.add(Section::Thread, i);
}

}  // namespace

int main(int argc, char** argv) {
  bool all = false;
  std::vector<std::string> files;
  for (int i = 1; i < argc; ++i) {
    if (std::string(argv[i]) == "--all")
      all = true;
    else
      files.emplace_back(argv[i]);
  }
  if (files.empty()) {
    std::fprintf(stderr, "row_use [--all] PART.step...\n");
    return 2;
  }
  const shop::Shop shop = shop::builtInShop();
  const cutting::CuttingTables& tables = shop.tables;
  cutting::RowTally count(tables);
  for (const std::string& file : files) {
    const auto part = part::readPart(file, {});
    if (!part) {
      std::fprintf(stderr, "%s: %s\n", file.c_str(), sentence(part.error()).c_str());
      continue;
    }
    for (const part::Body& body : part->bodies)
      for (const cutting::Material& material : tables.materials) {
        estimate::Options options;
        options.material = material.name;
        options.batches = {50};
        options.priceDetails = false;
        const auto priced = estimate::estimateBody(*part, body, shop, options);
        if (priced)
          tally(*priced, tables, material, count);
        else
          std::fprintf(stderr, "%s in %s: %s\n", file.c_str(), material.name.c_str(), sentence(priced.error()).c_str());
      }
  }
  long rows = 0, used = 0;
  for (std::size_t s = 0; s < static_cast<std::size_t>(Section::kCount); ++s) {
    const auto section = static_cast<Section>(s);
    for (std::size_t i = 0; i < count.of(section).size(); ++i) {
      const long times = count.of(section)[i];
      ++rows;
      if (times > 0) ++used;
      if (times == 0)
        std::printf("never  %s\n", nameOf(tables, {section, i}).c_str());
      else if (all)
        std::printf("%5ld  %s\n", times, nameOf(tables, {section, i}).c_str());
    }
  }
  std::printf("%ld of %ld rows used\n", used, rows);
  return 0;
}
