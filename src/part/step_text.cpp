#include "step_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>

namespace chipledger::part {
namespace {

/// Real files nest five or six deep (complex entities with lists of lists); the kernel's stack ends near 200,000.
constexpr int kDeepestNesting = 200;
/// In the file's unit: a hundred kilometres in mm. Larger numbers make the kernel's projections run for minutes (a
/// radius of 5e9: 46 s) or without end.
constexpr double kLargestCoordinate = 1e8;
constexpr std::string_view kExportAgain =
    "Export the part again as STEP AP214 or AP242 and check it in the drawing program.";

bool startsWith(std::string_view text, std::string_view with) { return text.substr(0, with.size()) == with; }

std::string_view trimmedFront(std::string_view text) {
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.front()))) text.remove_prefix(1);
  return text;
}

bool containsNoCase(std::string_view text, std::string_view word) {
  return std::search(text.begin(), text.end(), word.begin(), word.end(), [](char a, char b) {
           return std::toupper(static_cast<unsigned char>(a)) == std::toupper(static_cast<unsigned char>(b));
         }) != text.end();
}

/// Files of another kind that came with a STEP name.
Result<void> checkKind(std::string_view text, const std::string& file) {
  const auto bad = [&](std::string what, std::string next) {
    return fault(FaultCode::BadFile, file, std::move(what), std::move(next));
  };
  const std::string_view body = trimmedFront(text);
  const std::string_view head = body.substr(0, 512);
  if (body.empty()) return bad("The file is empty.", "Export or download it again.");
  if (startsWith(body, "ISO-10303-21")) return {};
  if (startsWith(text, "PK\x03\x04") || startsWith(text, "\x1f\x8b") || startsWith(text, "7z\xbc\xaf"))
    return bad("This is a packed archive with a STEP name.", "Unpack it and give the STEP file inside.");
  if (startsWith(text, "\xff\xfe") || startsWith(text, "\xfe\xff"))
    return bad("The text is stored as UTF-16, which STEP does not allow.", "Save it as plain ASCII or UTF-8 text.");
  if (startsWith(head, "version https://git-lfs"))
    return bad("This is only a pointer to a large file, not the file itself.",
               "Fetch the file itself from the version store (its large-file command), then try again.");
  if (containsNoCase(head, "<html") || containsNoCase(head, "<!doctype"))
    return bad("This is a web page, not a STEP file; the download probably failed.", "Download the file again.");
  // IGES: 80-column records with the section letter in column 73.
  if (text.size() > 80 && text[72] == 'S' && std::isdigit(static_cast<unsigned char>(text[79])))
    return bad("This is an IGES file with a STEP name.", "Export the part as STEP AP214 or AP242 instead.");
  if (startsWith(head, "solid ") || startsWith(head, "DBRep_DrawableShape") || startsWith(head, "CASCADE Topology"))
    return bad("This is another kind of geometry file with a STEP name.", std::string(kExportAgain));
  return bad("This is not a STEP file: it does not begin with ISO-10303-21.", std::string(kExportAgain));
}

std::string schemaName(std::string_view given) {
  if (containsNoCase(given, "AP242")) return "AP242";
  if (containsNoCase(given, "AUTOMOTIVE_DESIGN")) return "AP214";
  if (containsNoCase(given, "CONFIG_CONTROL_DESIGN") || containsNoCase(given, "AP203")) return "AP203";
  if (containsNoCase(given, "STRUCTURAL_ANALYSIS")) return "AP209";
  return std::string(given.substr(0, given.find_first_of(" {")));
}

enum class Tokens { Word, Number, Reference, String, Enumeration, Sign, End };
struct Token {
  Tokens kind{Tokens::End};
  std::string_view text;
};

/// Splits Part 21 text; comments and white space are skipped.
class Lexer {
public:
  explicit Lexer(std::string_view text) : text_(text) {}
  std::size_t at() const { return at_; }
  Token next() {
    skip();
    if (at_ >= text_.size()) return {};
    const std::size_t from = at_;
    const char c = text_[at_];
    if (c == '\'') return stringFrom(from);
    if (c == '.' && at_ + 1 < text_.size() && isWord(text_[at_ + 1])) {
      const std::size_t dot = text_.find('.', at_ + 1);
      at_ = dot == std::string_view::npos ? text_.size() : dot + 1;
      return {Tokens::Enumeration, text_.substr(from, at_ - from)};
    }
    if (c == '#' || c == '&' || isWord(c)) return wordFrom(from);
    if (std::isdigit(static_cast<unsigned char>(c)) || c == '+' || c == '-' || c == '.') return numberFrom(from);
    ++at_;
    return {Tokens::Sign, text_.substr(from, 1)};
  }
  char peek() {
    skip();
    return at_ < text_.size() ? text_[at_] : '\0';
  }

private:
  static bool isWord(char c) { return std::isalpha(static_cast<unsigned char>(c)) || c == '_'; }
  void skip() {
    while (at_ < text_.size()) {
      if (std::isspace(static_cast<unsigned char>(text_[at_]))) {
        ++at_;
      } else if (text_[at_] == '/' && at_ + 1 < text_.size() && text_[at_ + 1] == '*') {
        const std::size_t end = text_.find("*/", at_ + 2);
        at_ = end == std::string_view::npos ? text_.size() : end + 2;
      } else {
        return;
      }
    }
  }
  Token stringFrom(std::size_t from) {
    const std::size_t quote = text_.find('\'', from + 1);  // a doubled quote just gives two strings
    at_ = quote == std::string_view::npos ? text_.size() : quote + 1;
    return {Tokens::String, text_.substr(from + 1, at_ - from - 2)};
  }
  Token wordFrom(std::size_t from) {
    const bool reference = text_[from] == '#';
    ++at_;
    while (at_ < text_.size() &&
           (isWord(text_[at_]) || std::isdigit(static_cast<unsigned char>(text_[at_])) || text_[at_] == '-'))
      ++at_;
    return {reference ? Tokens::Reference : Tokens::Word, text_.substr(from, at_ - from)};
  }
  Token numberFrom(std::size_t from) {
    ++at_;
    while (at_ < text_.size() && (std::isalnum(static_cast<unsigned char>(text_[at_])) || text_[at_] == '.' ||
                                  text_[at_] == '+' || text_[at_] == '-' || text_[at_] == '#'))
      ++at_;
    return {Tokens::Number, text_.substr(from, at_ - from)};
  }
  std::string_view text_;
  std::size_t at_{};
};

bool isNotANumber(std::string_view word) {
  while (!word.empty() && (word.front() == '+' || word.front() == '-')) word.remove_prefix(1);
  for (const std::string_view bad : {"nan", "inf", "infinity", "1.#ind", "1.#inf", "1.#qnan", "1.#snan"})
    if (word.size() == bad.size() && containsNoCase(word, bad)) return true;
  return false;
}

double numberOf(std::string_view text) {
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc::result_out_of_range) return std::numeric_limits<double>::infinity();
  return value;
}

/// Entities whose last numbers are radii.
int radiiOf(std::string_view entity) {
  if (entity == "CYLINDRICAL_SURFACE" || entity == "SPHERICAL_SURFACE" || entity == "CIRCLE") return 1;
  if (entity == "TOROIDAL_SURFACE" || entity == "ELLIPSE") return 2;
  return 0;
}

class Scan {
public:
  Scan(std::string_view text, const std::string& file) : text_(text), file_(file), lexer_(text) {}

  Result<StepText> run() {
    bool ended = false;
    for (Token t = lexer_.next(); t.kind != Tokens::End; t = lexer_.next()) {
      if (t.kind == Tokens::Word && t.text == "END-ISO-10303-21") {
        ended = true;
        break;
      }
      if (auto r = take(t); !r) return tl::make_unexpected(r.error());
    }
    if (!ended)
      return bad("The file is cut off: its end mark (END-ISO-10303-21) is missing.",
                 "Export or copy the whole file again.");
    for (Token t = lexer_.next(); t.kind != Tokens::End && !found_.holdsAnother; t = lexer_.next())
      found_.holdsAnother = t.kind == Tokens::Word && t.text == "ISO-10303-21";
    countDangling();
    return std::move(found_);
  }

private:
  tl::unexpected<Fault> bad(std::string what, std::string next = std::string(kExportAgain)) const {
    return fault(FaultCode::BadFile, place(), std::move(what), std::move(next));
  }
  std::string place() const {
    const auto line = 1 + std::count(text_.begin(), text_.begin() + static_cast<std::ptrdiff_t>(lexer_.at()), '\n');
    return fmt::format("{}:{}", file_, line);
  }

  Result<void> take(const Token& t) {
    switch (t.kind) {
      case Tokens::Sign:
        return takeSign(t.text.front());
      case Tokens::Word:
        return takeWord(t.text);
      case Tokens::Number:
        if (isNotANumber(t.text)) return bad(fmt::format("A number in the file is not a number ({}).", t.text));
        if (count_ < numbers_.size()) numbers_[count_] = numberOf(t.text);
        ++count_;
        return {};
      case Tokens::Reference:
        return takeReference(t.text);
      case Tokens::String:
        if (entity_ == "FILE_SCHEMA" && found_.schema.empty()) found_.schema = schemaName(t.text);
        if (entity_ == "DOCUMENT_FILE" && !t.text.empty() && !fileNamed_) {
          fileNamed_ = true;
          if (std::string name = utf8(t.text);
              std::find(found_.otherFiles.begin(), found_.otherFiles.end(), name) == found_.otherFiles.end())
            found_.otherFiles.push_back(std::move(name));
        }
        return {};
      default:
        return {};
    }
  }

  Result<void> takeSign(char c) {
    if (c == '(') {
      if (++depth_ > kDeepestNesting)
        return bad(fmt::format("Its lists are nested more than {} deep, so it is damaged.", kDeepestNesting));
      lastOpen_ = true;
      return {};
    }
    if (c == ')') {
      if (lastOpen_ && depth_ == 2 && (entity_ == "EDGE_LOOP" || entity_ == "CLOSED_SHELL" || entity_ == "OPEN_SHELL"))
        return bad(fmt::format("A {} in the file is empty, so at least one face is lost.",
                               entity_ == "EDGE_LOOP" ? "loop of edges" : "shell of faces"));
      --depth_;
    }
    lastOpen_ = false;
    if (c == ';') return endInstance();
    return {};
  }

  Result<void> takeWord(std::string_view word) {
    lastOpen_ = false;
    if (word == "&SCOPE")
      return bad("It uses SCOPE blocks, a form that was dropped from the STEP standard.",
                 "Export it again from a newer program, as AP214 or AP242.");
    if (isNotANumber(word) && lexer_.peek() != '(')
      return bad(fmt::format("A number in the file is not a number ({}).", word));
    if (lexer_.peek() != '(') return {};
    if (depth_ == 0) {
      entity_ = word;
      count_ = 0;
      fileNamed_ = false;
    }
    if (word == "MANIFOLD_SOLID_BREP" || word == "BREP_WITH_VOIDS" || word == "FACETED_BREP") countSolid();
    if (word == "ADVANCED_FACE" || word == "FACE_SURFACE") ++found_.faces;
    if (word == "EDGE_CURVE") ++found_.edges;
    if (word == "CLOSED_SHELL" || word == "OPEN_SHELL") ++found_.shells;
    if (word == "TESSELLATED_SOLID" || word == "TESSELLATED_SHELL" || word == "TRIANGULATED_FACE")
      found_.trianglesOnly = true;
    if (word == "LENGTH_UNIT") found_.statesLength = true;
    return {};
  }

  Result<void> takeReference(std::string_view text) {
    lastOpen_ = false;
    std::int64_t id = 0;
    std::from_chars(text.data() + 1, text.data() + text.size(), id);
    if (depth_ == 0 && lexer_.peek() == '=') {
      defined_.push_back(id);
      entity_ = {};
      solidCounted_ = false;
    } else {
      used_.push_back(id);
    }
    return {};
  }

  void countSolid() {  // a complex instance may name two of the kinds
    if (!solidCounted_) ++found_.solids;
    solidCounted_ = true;
  }

  Result<void> endInstance() {
    depth_ = 0;
    const auto kept = std::min(count_, numbers_.size());
    if (entity_ == "CARTESIAN_POINT") {
      for (std::size_t i = 0; i < kept; ++i)
        if (!(std::abs(numbers_[i]) < kLargestCoordinate))
          return bad(fmt::format("A point lies {} far away.", std::isinf(numbers_[i]) ? "infinitely" : "absurdly"));
    } else if (entity_ == "DIRECTION" && count_ >= 2) {
      if (std::all_of(numbers_.begin(), numbers_.begin() + static_cast<std::ptrdiff_t>(kept),
                      [](double v) { return v == 0.0; }))
        return bad("A direction in the file has no length, so the face that needs it is lost.");
    } else if (const int radii = radiiOf(entity_); radii > 0) {
      for (std::size_t i = 0; i < std::min(kept, static_cast<std::size_t>(radii)); ++i)
        if (!(numbers_[i] > 0.0) || !(numbers_[i] < kLargestCoordinate))
          return bad(fmt::format("A round face or edge has a radius {}, so the solid would be wrong without a word.",
                                 numbers_[i] == 0.0 ? "of zero" : "out of range"));
    }
    entity_ = {};
    count_ = 0;
    return {};
  }

  void countDangling() {
    std::sort(defined_.begin(), defined_.end());
    std::sort(used_.begin(), used_.end());
    used_.erase(std::unique(used_.begin(), used_.end()), used_.end());
    for (const std::int64_t id : used_)
      if (!std::binary_search(defined_.begin(), defined_.end(), id)) {
        if (found_.dangling++ == 0) found_.firstDangling = fmt::format("#{}", id);
      }
  }

  std::string_view text_;
  const std::string& file_;
  Lexer lexer_;
  StepText found_;
  std::string_view entity_;          ///< of the outermost parenthesis
  std::array<double, 4> numbers_{};  ///< the first numbers of the entity
  std::size_t count_{};
  int depth_{};
  bool lastOpen_{}, solidCounted_{}, fileNamed_{};
  std::vector<std::int64_t> defined_, used_;
};

}  // namespace

std::string utf8(std::string_view text) {
  bool valid = true;
  for (std::size_t i = 0; i < text.size() && valid;) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80                   ? 1
                               : lead >= 0xc2 && lead < 0xe0 ? 2
                               : lead >= 0xe0 && lead < 0xf0 ? 3
                               : lead >= 0xf0 && lead < 0xf5 ? 4
                                                             : 0;
    valid = length > 0 && i + length <= text.size();
    for (std::size_t k = 1; valid && k < length; ++k)
      valid = (static_cast<unsigned char>(text[i + k]) & 0xc0U) == 0x80U;
    i += length;
  }
  if (valid) return std::string(text);
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80) {
      out += c;
    } else {
      out += static_cast<char>(0xc0U | (byte >> 6U));
      out += static_cast<char>(0x80U | (byte & 0x3fU));
    }
  }
  return out;
}

std::string_view withoutMark(std::string_view text) {
  if (startsWith(text, "\xef\xbb\xbf")) text.remove_prefix(3);
  return text;
}

Result<StepText> scanStep(std::string_view text, const std::string& file) {
  const std::string_view bare = withoutMark(text);
  if (auto kind = checkKind(bare, file); !kind) return tl::make_unexpected(kind.error());
  Result<StepText> found = Scan(bare, file).run();
  if (found) found->hadMark = bare.size() != text.size();
  return found;
}

}  // namespace chipledger::part
