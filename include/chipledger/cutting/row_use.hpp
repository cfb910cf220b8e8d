#pragma once
// Which rows of the tables a chosen cut rests on: the two a value lies between, the limits that were held against it.
// Rows are counted as they stand in CuttingTables (limits by LimitName).
#include <chipledger/cutting/tables.hpp>

#include <array>
#include <vector>

namespace chipledger::cutting {

/// In the order of ownedSections().
enum class Section {
  Material,
  Speed,
  ChipLoad,
  Engagement,
  ToolLife,
  Chipping,
  Reach,
  ThinWork,
  Plate,
  Thread,
  Cutter,
  CutLimit,
  kCount
};

struct RowUse {
  Section section{};
  std::size_t row{};
  bool operator==(const RowUse&) const = default;
};

/// Rows behind `conditions`, which were chosen for this material and cutter with these tables.
std::vector<RowUse> rowsBehind(const CuttingTables& tables, const Material& material, const Cutter& cutter,
                               const Conditions& conditions);

/// How often each row was used.
class RowTally {
public:
  explicit RowTally(const CuttingTables& tables);
  void add(const std::vector<RowUse>& uses);
  void add(Section section, std::size_t row) { ++counts_[static_cast<std::size_t>(section)][row]; }
  const std::vector<long>& of(Section section) const { return counts_[static_cast<std::size_t>(section)]; }

private:
  std::array<std::vector<long>, static_cast<std::size_t>(Section::kCount)> counts_;
};

/// What a row is called in a sentence: "speed Ti-6Al-4V carbide rough 6 mm, 0 to 0.1 D".
std::string nameOf(const CuttingTables& tables, RowUse use);

}  // namespace chipledger::cutting
