#pragma once
// Answers to what a STEP cannot say, kept in a TOML file beside the drawing:
//
//   [part]
//   tight-bores = ["bore-1"]
//   seen-side = "outer"
//   mate = "mirror"
//
//   [bore-2]
//   at = [12.5, 3.0, 2.0]     # mm, where the bore was when this was answered
//   thread = "M2"
//
// Names are given by kind and position and may move when details come and go, so each table carries the place of its
// detail: an answer belongs to the detail of that family nearest to it (within kAnswerReach), else to the one so named.
#include <chipledger/detail/detail.hpp>

#include <map>

namespace chipledger::detail {

/// mm: a detail that moved farther between two revisions is another detail.
inline constexpr double kAnswerReach = 1.0;

struct Answer {
  std::string text;               ///< as written; true and false as "yes" and "no"
  std::vector<std::string> list;  ///< for lists of details
  int line{};
};

struct AnswersFor {
  std::optional<Vec3> at_mm;  ///< part coordinates
  std::map<std::string, Answer> values;
  int line{};
};

struct Answers {
  std::string file;
  std::map<std::string, AnswersFor> about;  ///< by table: "part", "bore-2"
};

/// Fails: BadFile with "file:line" when the file is missing, is no TOML, or holds a key or table that no question knows
/// (says the nearest one).
Result<Answers> readAnswers(const std::string& path);
Result<Answers> readAnswersText(std::string_view text, const std::string& file);

/// A file that holds every open question as a comment, with what was assumed, ready to be filled in.
std::string answersTemplate(const Details& details);

/// The details with the answers put in: threads named, tight and cosmetic marks set, answered questions gone. Names
/// stay. Notes say which answers found no detail any more.
Details withAnswers(Details details, const Answers& answers);

}  // namespace chipledger::detail
