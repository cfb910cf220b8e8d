#pragma once
// Pieces of the HTML sheet.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/report/sheet_html.hpp>

#include <functional>
#include <string>
#include <vector>

namespace chipledger::report {

/// A number that opens: what it is made of, and the values that went in. `more` is markup; `name` is for figures of
/// charts to open it by (anchors.hpp).
std::string opened(const std::string& shown, const std::string& made, const Assumptions& inputs = {},
                   const std::string& more = "", const std::string& name = "");
/// The same from markup.
std::string openedMarkup(const std::string& shown, const std::string& body, const std::string& name = "");
/// Values with origin and source, the first of many; without any, the way to the table of values.
std::string openedValues(const Assumptions& values);
void addOnce(Assumptions& all, const Assumptions& more);
std::string fromMark(From from);
/// Lines of a stack as a small list.
std::string stackList(const estimate::Stack& lines, const std::string& currency);

/// A table written row by row. Cells are markup; heads are escaped here. A number in a cell opens, unless its column
/// has the class "given": what was drawn, chosen or bought in as it stands.
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
  std::size_t rows_{};
  std::vector<std::string> attributes_;
};

/// The five answers, as a list.
std::string answersMarkup(const estimate::Estimate& estimate);
/// Dearest first: name and price, for beside the drawing.
std::string ladderMarkup(const estimate::Estimate& estimate);
/// The number that the label of a detail on the drawing opens.
std::string labelAnchor(const estimate::Estimate& estimate, std::size_t detail);
/// What the tints of the turned part mean.
std::string solidKey(const estimate::Estimate& estimate);

// One function a section; each returns what stands under its heading.
std::string drawnFacts(const estimate::Estimate& estimate);
std::string blankSection(const estimate::Estimate& estimate);
std::string orderSection(const estimate::Estimate& estimate);
std::string cuttersSection(const estimate::Estimate& estimate);
std::string minutesSection(const estimate::Estimate& estimate);
std::string detailSection(const estimate::Estimate& estimate);
/// Heads of a column for each batch, and the mark of the cells of one.
void addBatchHeads(const estimate::Estimate& estimate, std::vector<HtmlTable::Head>& heads);
std::string ofBatch(std::size_t batch);
/// A difference that opens to with, without, its lines and the values of those; a dash without one.
std::string differenceCell(const estimate::Estimate& estimate, const estimate::Difference* difference,
                           const std::string& why, const std::string& name = "");
/// The same for the chosen batch.
std::string differenceAtChosen(const estimate::Estimate& estimate, const std::vector<estimate::Difference>& differences,
                               const std::string& why, const std::string& name = "");
/// One piece of markup for each batch, of which the chosen one is shown.
std::string perBatch(const estimate::Estimate& estimate, const std::function<std::string(std::size_t)>& make);
/// What would make it cheaper: change, saving at each batch, up to what separate bosses pay, whether the buyer sees it.
std::string adviceMarkup(const estimate::Estimate& estimate, const std::string& about = "");
std::string sharedSection(const estimate::Estimate& estimate);
std::string batchSection(const estimate::Estimate& estimate);
std::string doubtsSection(const estimate::Estimate& estimate);
/// What is still to answer; the key to answer it under is for who writes the answers file.
enum class Keys { Shown, Hidden };
std::string questionsSection(const estimate::Estimate& estimate, Keys keys = Keys::Shown);
std::string cautionsSection(const estimate::Estimate& estimate);

/// Values and where they hold: the mark of a variant; empty where there is only one list.
struct ValuesOf {
  std::string mark;
  Assumptions values;
};
/// Every value once, guessed first; with several lists it says in which ones it holds.
std::string valuesSection(const std::vector<ValuesOf>& lists);

/// The plate, and the share of the blank that a volume is: numbers that open.
std::string plateOpened(const estimate::Estimate& estimate, const std::string& name = "");
std::string cutAwayOpened(const estimate::Estimate& estimate, VolumeCount volume, const std::string& name = "");
/// "age: drawn; band -5 to +14 %": for the head of a page.
std::string ageWords(const estimate::Estimate& estimate, const SheetOptions& options);

}  // namespace chipledger::report
