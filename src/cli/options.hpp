#pragma once
// What the command line asks for, already checked where a check needs no file.
#include <chipledger/part/read.hpp>
#include <chipledger/result/result.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::cli {

struct Options {
  std::string part;
  std::string detail;  ///< `detail` only
  std::string body;    ///< empty: each distinct body
  std::string shopFile;
  std::string material;  ///< empty: the shop's
  std::string batches;   ///< "10,25,50"; empty: the shop's
  std::string answers;
  std::string writeAnswers;
  std::string cell;  ///< mm; empty: chosen
  int threads{0};
  std::string json, csv, plan, paths, report;
  std::string sheet{"owner"};         ///< whose sheet `report` is
  std::string age;                    ///< of the estimate, as the owner says; empty: as the values tell
  std::string terms;                  ///< product file whose terms of sale the client's prices carry
  std::string airCut;                 ///< `shop --air-cut`
  bool starter{};                     ///< `shop --starter`
  std::vector<std::string> variants;  ///< `compare` only
  std::string chassis, output;        ///< `draw` only
  std::vector<std::string> sets;      ///< `vary` only: "island-1.height=2:5:0.25"
  bool resume{};                      ///< `vary` only
  std::string product;                ///< `route` only, as all of the next
  std::vector<std::string> whatIfs;   ///< "metal +20%"
  std::string variant;                ///< empty: all
  double targetList{};                ///< 0: the product's
  int batchAsked{};                   ///< 0: the product's
  bool advice{}, starterRoutes{};
  bool noDetailPrices{};
  bool quiet{};
  double timeLimit_s{60}, memoryLimit_mb{4000}, fileLimit_mb{200};
  double runLimit_s{900}, outputLimit_mb{500}, cellLimit_m{8};  ///< cells of one grid in millions
  int faceLimit{50000};                                         ///< a chassis has hundreds
};

Result<std::vector<int>> parseBatches(const std::string& text);
/// Cell size in whole micrometres; 0 when empty.
Result<int> parseCell(const std::string& text);
std::size_t mostCells(const Options& options);
part::ReadLimits readLimits(const Options& options);

/// Commands return the exit code.
int runLook(const Options& options);
int runPrice(const Options& options);
int runDetail(const Options& options);
int runCompare(const Options& options);
int runVary(const Options& options);
int runDraw(const Options& options);
int runShop(const Options& options);
int runRoute(const Options& options);

}  // namespace chipledger::cli
