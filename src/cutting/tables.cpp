#include <chipledger/cutting/tables.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cstdio>
#include <cstdlib>

#include "cutting/built_in_data.hpp"
#include "cutting/table_loader.hpp"

namespace chipledger::cutting {
namespace {

/// "Ti-6Al-4V", "ti 6al 4v" and "Ti6Al4V" are one name.
std::string plainName(const std::string& name) {
  std::string plain;
  for (const char c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)))
      plain += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return plain;
}

CuttingTables loadBuiltIn() {
  CuttingTables tables;
  for (const auto& file : builtInData()) {
    const auto faults = TableLoader(tables, file.name, true).load(file.text);
    if (!faults.empty()) {
      // The data are compiled in and every build's tests load them: a fault here is a broken build, not an input.
      std::fprintf(stderr, "%s\n", sentence(faults.front()).c_str());
      std::abort();
    }
  }
  return tables;
}

}  // namespace

const CuttingTables& builtInTables() {
  static const CuttingTables tables = loadBuiltIn();
  return tables;
}

const ThreadTable& builtInThreads() { return builtInTables().threads; }

const std::vector<std::string>& ownedSections() {
  static const std::vector<std::string> sections{"material",  "speed",    "chip_load", "engagement",
                                                 "tool_life", "chipping", "reach",     "thin_work",
                                                 "plate",     "thread",   "cutter",    "cut_limit"};
  return sections;
}

Result<CuttingTables> overlayTables(CuttingTables base, const std::string& tomlText, const std::string& fileName) {
  const auto faults = TableLoader(base, fileName, false).load(tomlText);
  if (!faults.empty()) return tl::make_unexpected(faults.front());
  return base;
}

std::vector<Fault> checkTables(const CuttingTables& base, const std::string& tomlText, const std::string& fileName) {
  CuttingTables copy = base;
  return TableLoader(copy, fileName, false).load(tomlText);
}

Result<Material> findMaterial(const CuttingTables& tables, const std::string& name) {
  const std::string plain = plainName(name);
  std::vector<std::string> names, all;
  for (const auto& material : tables.materials) {
    if (plainName(material.name) == plain) return material;
    names.push_back(material.name);
    all.push_back(material.name);
  }
  for (const auto& material : tables.materials) {
    for (const auto& other : material.alsoCalled) {
      if (plainName(other) == plain) return material;
      all.push_back(other);
    }
  }
  const std::string near = meant(name, all);
  return fault(
      FaultCode::Usage, "material", fmt::format("The tables know no material \"{}\".", name),
      fmt::format("{}Known: {}.", near.empty() ? "" : fmt::format("Did you mean {}? ", near), fmt::join(names, ", ")));
}

std::vector<PlateRow> platesOf(const CuttingTables& tables, const std::string& material) {
  std::vector<PlateRow> plates;
  for (const auto& plate : tables.plates) {
    if (plate.material == material) plates.push_back(plate);
  }
  std::stable_sort(plates.begin(), plates.end(),
                   [](const PlateRow& a, const PlateRow& b) { return a.thickness_mm < b.thickness_mm; });
  return plates;
}

Result<Cutter> findCutter(const CuttingTables& tables, const std::string& id) {
  std::vector<std::string> ids;
  for (const auto& cutter : tables.crib) {
    if (cutter.id == id) return cutter;
    ids.push_back(cutter.id);
  }
  const std::string near = meant(id, ids);
  return fault(
      FaultCode::Usage, "cutter", fmt::format("The crib has no cutter \"{}\".", id),
      near.empty() ? "See the list of cutters in the tables in force." : fmt::format("Did you mean {}?", near));
}

}  // namespace chipledger::cutting
