#pragma once
// Pieces of the HTML sheet.
#include <chipledger/estimate/estimate.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// A number that opens: what it is made of, and the values that went in. `more` is markup.
std::string opened(const std::string& shown, const std::string& made, const Assumptions& inputs = {},
                   const std::string& more = "");
std::string fromMark(From from);
/// Lines of a stack as a small list.
std::string stackList(const estimate::Stack& lines, const std::string& currency);

/// A table written row by row. Cells are markup; heads are escaped here.
class HtmlTable {
public:
  struct Head {
    std::string words, unit{};
    std::string attributes{};
  };
  HtmlTable(const std::string& caption, const std::vector<Head>& heads);
  void row(const std::vector<std::string>& cells, const std::string& attributes = "");
  void foot(const std::vector<std::string>& cells, const std::string& attributes = "");
  /// Attributes of the cells of one column in the rows that follow, e.g. for a chosen batch.
  void column(std::size_t index, const std::string& attributes);
  std::string markup() const;

private:
  std::string cells(const std::vector<std::string>& cells) const;

  std::string head_, body_, foot_;
  std::vector<std::string> attributes_;
};

/// The five answers, as a list.
std::string answersMarkup(const estimate::Estimate& estimate);
/// Dearest first: name and price, for beside the drawing.
std::string ladderMarkup(const estimate::Estimate& estimate);
/// What the tints of the turned part mean.
std::string solidKey(const estimate::Estimate& estimate);

// One function a section; each returns what stands under its heading.
std::string drawnFacts(const estimate::Estimate& estimate);
std::string blankSection(const estimate::Estimate& estimate);
std::string orderSection(const estimate::Estimate& estimate);
std::string cuttersSection(const estimate::Estimate& estimate);
std::string minutesSection(const estimate::Estimate& estimate);
std::string detailSection(const estimate::Estimate& estimate);
std::string sharedSection(const estimate::Estimate& estimate);
std::string batchSection(const estimate::Estimate& estimate);
std::string doubtsSection(const estimate::Estimate& estimate);
std::string questionsSection(const estimate::Estimate& estimate);
std::string cautionsSection(const estimate::Estimate& estimate);
std::string assumptionsTable(const estimate::Estimate& estimate);

}  // namespace chipledger::report
