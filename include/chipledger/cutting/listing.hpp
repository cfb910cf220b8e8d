#pragma once
// The tables in force as plain text rows, for whoever shows them. Nothing is formatted for a medium: a heading per
// table, a title with unit per column, and for each row its cells, where it is from and its source. Laws: every row has
// a `from` and a source; every table of CuttingTables is there, in the same order each time.
#include <chipledger/cutting/tables.hpp>

#include <string>
#include <vector>

namespace chipledger::cutting {

struct ListingRow {
  std::vector<std::string> cells;  ///< one per column
  From from{From::Guessed};
  std::string grade;  ///< "seen", "common practice" ...
  std::string source;
};

struct Listing {
  std::string section;               ///< the name of its rows in a shop file: "speed"
  std::string heading;               ///< "Surface speed"
  std::vector<std::string> columns;  ///< "start, m/min"
  std::vector<ListingRow> rows;
};

/// All tables; with a material only its rows and those that hold for every material.
std::vector<Listing> listTables(const CuttingTables& tables, const std::string& material = {});

/// Cautions of the materials named, each once, in the order asked.
std::vector<std::string> cautionsOf(const CuttingTables& tables, const std::vector<std::string>& materials);

}  // namespace chipledger::cutting
