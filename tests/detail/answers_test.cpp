#include <gtest/gtest.h>
#include <chipledger/detail/answers.hpp>

using namespace chipledger;
using namespace chipledger::detail;

namespace {

Details twoBores() {
  Details d;
  for (const double x : {-15.0, 5.0}) {
    Detail bore;
    bore.name = "bore-" + std::to_string(d.list.size() + 1);
    bore.kind = DetailKind::Bore;
    bore.dimensions.diameter = mm(1.6);
    bore.dimensions.centre = Vec3{x, 2, 3};
    bore.thread = "M2";
    d.list.push_back(bore);
    d.questions.push_back({bore.name + ".thread", bore.name, "Is this bore of 1.60 mm an M2 thread?", "a plain bore"});
  }
  d.questions.push_back({"part.tight-bores", "", "Which bores are tight?", "none"});
  d.questions.push_back({"part.seen-side", "", "Which side is seen?", "outer"});
  d.questions.push_back({"part.mate", "", "Is the second plate the same?", "the same"});
  return d;
}

bool asked(const Details& d, const std::string& key) {
  return std::any_of(d.questions.begin(), d.questions.end(), [&](const Question& q) { return q.key == key; });
}

struct BadRow {
  const char* name;
  const char* text;
  const char* where;
  const char* says;
};
void PrintTo(const BadRow& row, std::ostream* out) { *out << row.name; }
class BadAnswers : public testing::TestWithParam<BadRow> {};

}  // namespace

TEST(Answers, TheTemplateReadsBackAndAnswersNothing) {
  const std::string text = answersTemplate(twoBores());
  const auto answers = readAnswersText(text, "a.toml");
  ASSERT_TRUE(answers) << sentence(answers.error()) << "\n" << text;
  const Details d = withAnswers(twoBores(), *answers);
  EXPECT_EQ(d.questions.size(), twoBores().questions.size());
  EXPECT_TRUE(d.notes.empty());
  EXPECT_EQ(d.list[0].kind, DetailKind::Bore);
}

TEST(Answers, TheTemplateFilledInAnswersEverything) {
  std::string text = answersTemplate(twoBores());
  for (const std::string key : {"thread = ", "tight-bores = ", "seen-side = ", "mate = "}) {
    for (std::size_t at = 0; (at = text.find("# " + key, at)) != std::string::npos;) text.erase(at, 2);
  }
  const auto answers = readAnswersText(text, "a.toml");
  ASSERT_TRUE(answers) << sentence(answers.error()) << "\n" << text;
  const Details d = withAnswers(twoBores(), *answers);
  EXPECT_TRUE(d.questions.empty());
  EXPECT_EQ(d.list[0].kind, DetailKind::Thread);
  EXPECT_EQ(d.list[0].name, "bore-1");  // the name stays
}

TEST(Answers, TheyFollowTheirDetailIntoANewRevision) {
  // Answered for the bore at x = 5, which was bore-1 then; a bore was added before it since.
  const auto answers = readAnswersText(
      "[bore-1]\nat = [5.2, 2.0, 3.0]\nthread = \"M2\"\nfit = \"tight\"\n[part]\nmate = \"mirror\"\nseen-side = "
      "\"both\"\n",
      "a.toml");
  ASSERT_TRUE(answers) << sentence(answers.error());
  const Details d = withAnswers(twoBores(), *answers);
  EXPECT_EQ(d.list[0].kind, DetailKind::Bore);
  EXPECT_EQ(d.list[1].kind, DetailKind::Thread);
  EXPECT_EQ(d.list[1].hint, "tight");
  EXPECT_TRUE(asked(d, "bore-1.thread"));
  EXPECT_FALSE(asked(d, "bore-2.thread"));
  EXPECT_EQ(d.mate, "mirror");
  EXPECT_EQ(d.seenSide, "both");
}

TEST(Answers, AnAnswerWithoutItsDetailIsSaid) {
  const auto answers = readAnswersText("[bore-1]\nat = [40.0, 0.0, 3.0]\nthread = \"no\"\n", "a.toml");
  ASSERT_TRUE(answers);
  const Details d = withAnswers(twoBores(), *answers);
  ASSERT_EQ(d.notes.size(), 1u);
  EXPECT_EQ(d.notes[0].code, "answer-lost");
  EXPECT_NE(d.notes[0].text.find("a.toml:1"), std::string::npos) << d.notes[0].text;
  EXPECT_TRUE(asked(d, "bore-1.thread"));
}

TEST(Answers, NoIsAnAnswer) {
  const auto answers = readAnswersText("[bore-1]\nthread = false\n[part]\ntight-bores = [\"bore-2\"]\n", "a.toml");
  ASSERT_TRUE(answers) << sentence(answers.error());
  const Details d = withAnswers(twoBores(), *answers);
  EXPECT_EQ(d.list[0].kind, DetailKind::Bore);
  EXPECT_TRUE(d.list[0].thread.empty());
  EXPECT_FALSE(asked(d, "bore-1.thread"));
  EXPECT_EQ(d.list[1].hint, "tight");
  EXPECT_FALSE(asked(d, "part.tight-bores"));
}

TEST_P(BadAnswers, AreToldWithTheirLineAndTheNearestWord) {
  const auto answers = readAnswersText(GetParam().text, "a.toml");
  ASSERT_FALSE(answers);
  EXPECT_EQ(answers.error().code, FaultCode::BadFile);
  EXPECT_EQ(answers.error().where, GetParam().where);
  EXPECT_NE(sentence(answers.error()).find(GetParam().says), std::string::npos) << sentence(answers.error());
}
INSTANTIATE_TEST_SUITE_P(Rows, BadAnswers,
                         testing::Values(BadRow{"key", "[bore-1]\ntread = \"M2\"\n", "a.toml:2", "\"thread\""},
                                         BadRow{"table", "\n[bor-2]\nthread = \"M2\"\n", "a.toml:2", "\"bore-2\""},
                                         BadRow{"part_key", "[part]\nseen-sides = \"outer\"\n", "a.toml:2",
                                                "\"seen-side\""},
                                         BadRow{"value", "[part]\nmate = \"mirrored\"\n", "a.toml:2", "mirror"},
                                         BadRow{"syntax", "[part\n", "a.toml:1", "TOML"},
                                         BadRow{"place", "[bore-1]\nat = [1.0, 2.0]\n", "a.toml:2", "three numbers"},
                                         BadRow{"number", "[bore-1]\nthread = 2\n", "a.toml:2", "quotes"}));

TEST(Answers, AMissingFileIsSaid) {
  const auto answers = readAnswers("/nowhere/answers.toml");
  ASSERT_FALSE(answers);
  EXPECT_EQ(answers.error().code, FaultCode::BadFile);
}
