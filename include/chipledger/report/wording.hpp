#pragma once
// Pieces of wording that terminal and HTML share. Nothing here computes a result: it picks, orders and words.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/result/result.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::report {

/// "0.25 mm of height left before the next plate"; of stock that no list holds there is no next plate.
std::string leftBeforeNextText(const stock::Blank& blank);
/// A length as a drawing has it, to a hundredth: a drawn 22 is read as 22.004, and thousandths say nothing there.
std::string dimensionText(Length length);
/// "14 x 6, 3.2 high, root R0.5": lengths in mm to a hundredth, angles in degrees.
std::string dimensionsText(const detail::Dimensions& dimensions);
/// "X+ Y- Z+" for directions along an axis, else three decimals.
std::string directionText(Vec3 direction);
/// What the question calls it: file, and body when the file names one.
std::string partTitle(const estimate::Estimate& estimate);

/// How many values of each origin: "2 entered, 5 table, 1 guessed"; empty for no values.
std::string fromWords(const Assumptions& assumptions);
/// The same in letters for narrow columns: "e2 t5 g1".
std::string fromLetters(const Assumptions& assumptions);
/// "e entered, t table, g guessed, c clocked".
std::string fromKey();

/// Notes of the estimate, its blank and its details, each once.
Notes allNotes(const estimate::Estimate& estimate);
/// The text, led by what it is about where the text does not begin with that.
std::string noteSentence(const Note& note);

/// Every value the estimate stands on: its own and those of its operations, each name and value once.
Assumptions allValues(const estimate::Estimate& estimate);
/// Values that a line of the price stands on, picked by the first word of their names.
Assumptions inputsOf(ledger::Line line, const Assumptions& all);
/// Values whose names begin with one of the prefixes.
Assumptions startingWith(const Assumptions& all, const std::vector<std::string>& prefixes);
/// Guessed first, then table, entered, clocked; within each as given.
Assumptions guessedFirst(const Assumptions& all);

/// What the tool can do without: not windows, holes, threads, slots and the lock, which make it a tool.
bool canBeLeftOut(detail::DetailKind kind);
/// Indices into Estimate::detailPrices: dearest first at the reference batch, those that cannot be taken away last.
std::vector<std::size_t> dearestFirst(const estimate::Estimate& estimate);
/// Indices into Estimate::groups of those that have a price, dearest first at the reference batch.
std::vector<std::size_t> groupsDearestFirst(const estimate::Estimate& estimate);
/// Null when the detail cannot be taken away or the batch is not there.
const estimate::Difference* differenceAt(const estimate::DetailPrice& price, std::size_t batch);
/// Null when the batch is not there.
const estimate::Difference* differenceAt(const std::vector<estimate::Difference>& differences, std::size_t batch);
/// What a batch counts: "pieces", or "sets" where a set has several of them.
std::string countedIn(const estimate::Estimate& estimate);
/// "50 pieces", "1 piece", "50 sets".
std::string countedText(const estimate::Estimate& estimate, int count);
/// Pieces of a set times the price of a piece.
std::string setText(const estimate::Estimate& estimate, Money perPiece);
/// Index of the reference batch, held inside the list.
std::size_t referenceBatch(const estimate::Estimate& estimate);

/// How far an estimate is from the bench. What it stands on tells the first three: nothing of the shop's own, values
/// entered, values clocked. Whether sets were made with the real fixture, or a batch was run, only the owner can say.
enum class Age { Sketch, Drawn, Mocked, Proved, Run };
inline constexpr Age kAges[] = {Age::Sketch, Age::Drawn, Age::Mocked, Age::Proved, Age::Run};
const char* word(Age age);
/// Fails: Usage, with the ages there are.
Result<Age> readAge(const std::string& text);
Age ageOf(const Assumptions& values);
/// What the owner said, else what the values tell.
Age ageOf(const estimate::Estimate& estimate, std::optional<Age> said);
/// "-5 to +14 %": the band round the price at the reference batch; empty when there is no price.
std::string bandText(const estimate::Estimate& estimate);

/// The owner's five questions, each answered in a sentence or two.
struct Summary {
  std::string cost, because, dearest, change, sure;
  std::string doubt;  ///< `sure` without the band, for where the band is drawn
};
Summary summarise(const estimate::Estimate& estimate);

}  // namespace chipledger::report
