#pragma once
// Lays the rows of one table file over the tables in force.
#include "cutting/row_reader.hpp"

namespace chipledger::cutting {

class TableLoader {
public:
  TableLoader(CuttingTables& tables, std::string fileName, bool builtIn)
      : tables_(tables), fileName_(std::move(fileName)), builtIn_(builtIn) {}

  /// Faults in order of lines; the tables are only to be used when it is empty.
  std::vector<Fault> load(const std::string& text);

private:
  void material(RowReader& row);
  void speed(RowReader& row);
  void chipLoad(RowReader& row);
  void engagement(RowReader& row);
  void toolLife(RowReader& row);
  void chipping(RowReader& row);
  void reach(RowReader& row);
  void thinWork(RowReader& row);
  void plate(RowReader& row);
  void thread(RowReader& row);
  void cutter(RowReader& row);
  void cutLimit(RowReader& row);
  void sortRows();
  /// Names of [[material]] rows that a row points at; a name nobody knows is a fault.
  std::vector<std::string> materialsOf(RowReader& row);

  CuttingTables& tables_;
  std::string fileName_;
  bool builtIn_;
  std::vector<LinedFault> faults_;
};

}  // namespace chipledger::cutting
