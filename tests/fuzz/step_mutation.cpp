#include "fuzz/step_mutation.hpp"

#include <array>
#include <cctype>
#include <random>
#include <string_view>

namespace chipledger::fuzz {
namespace {

struct Span {
  std::size_t from{}, to{};
};

bool isNumberStart(const std::string& s, std::size_t i) {
  const char c = s[i];
  const char before = i == 0 ? '(' : s[i - 1];
  return (std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '-') && (before == '(' || before == ',');
}

/// "#12=NAME(...);" without its line end; entities of the data section.
std::vector<Span> entities(const std::string& s) {
  std::vector<Span> out;
  std::size_t at = s.find("DATA;");
  if (at == std::string::npos) return out;
  while ((at = s.find('#', at)) != std::string::npos) {
    const std::size_t end = s.find(';', at);
    if (end == std::string::npos) break;
    out.push_back({at, end + 1});
    at = end + 1;
  }
  return out;
}

std::vector<Span> numbers(const std::string& s) {
  std::vector<Span> out;
  for (std::size_t i = s.find("DATA;"); i < s.size(); ++i) {
    if (!isNumberStart(s, i)) continue;
    std::size_t end = i + 1;
    while (end < s.size() &&
           (std::isalnum(static_cast<unsigned char>(s[end])) != 0 || s[end] == '.' || s[end] == '-' || s[end] == '+'))
      ++end;
    out.push_back({i, end});
    i = end;
  }
  return out;
}

/// References inside entities: "#12" after a bracket or comma.
std::vector<Span> references(const std::string& s) {
  std::vector<Span> out;
  for (std::size_t i = s.find("DATA;"); i < s.size(); ++i) {
    if (s[i] != '#' || i == 0 || (s[i - 1] != '(' && s[i - 1] != ',')) continue;
    std::size_t end = i + 1;
    while (end < s.size() && std::isdigit(static_cast<unsigned char>(s[end])) != 0) ++end;
    out.push_back({i, end});
    i = end;
  }
  return out;
}

/// Inner lists "(...)" without brackets inside.
std::vector<Span> lists(const std::string& s) {
  std::vector<Span> out;
  std::size_t open = std::string::npos;
  for (std::size_t i = s.find("DATA;"); i < s.size(); ++i) {
    if (s[i] == '(') open = i;
    if (s[i] == ')' && open != std::string::npos) {
      out.push_back({open + 1, i});
      open = std::string::npos;
    }
  }
  return out;
}

std::vector<Span> all(const std::string& s, std::string_view word) {
  std::vector<Span> out;
  for (std::size_t at = s.find(word); at != std::string::npos; at = s.find(word, at + 1))
    out.push_back({at, at + word.size()});
  return out;
}

class Hurt {
public:
  Hurt(const std::string& step, std::uint32_t seed) : s_(step), random_(seed) {}

  std::size_t below(std::size_t count) { return count == 0 ? 0 : random_() % count; }
  bool pick(const std::vector<Span>& from, Span& out) {
    if (from.empty()) return false;
    out = from[below(from.size())];
    return true;
  }
  std::string with(const Span& at, const std::string& text) const {
    return s_.substr(0, at.from) + text + s_.substr(at.to);
  }
  std::string text(const Span& at) const { return s_.substr(at.from, at.to - at.from); }

  std::string swap() {
    Span a, b;
    const auto list = entities(s_);
    if (!pick(list, a) || !pick(list, b) || a.from == b.from) return s_;
    // Keep the numbers, exchange what stands behind them.
    const std::size_t ea = s_.find('=', a.from), eb = s_.find('=', b.from);
    if (ea >= a.to || eb >= b.to) return s_;
    const Span ra{ea, a.to}, rb{eb, b.to};
    const std::string ta = text(ra), tb = text(rb);
    return ra.from < rb.from ? s_.substr(0, ra.from) + tb + s_.substr(ra.to, rb.from - ra.to) + ta + s_.substr(rb.to)
                             : s_.substr(0, rb.from) + ta + s_.substr(rb.to, ra.from - rb.to) + tb + s_.substr(ra.to);
  }

  std::string rename() {
    static constexpr std::array<const char*, 12> kNames{"PLANE",
                                                        "CYLINDRICAL_SURFACE",
                                                        "CARTESIAN_POINT",
                                                        "DIRECTION",
                                                        "CIRCLE",
                                                        "LINE",
                                                        "VECTOR",
                                                        "EDGE_LOOP",
                                                        "CLOSED_SHELL",
                                                        "VERTEX_POINT",
                                                        "SPHERICAL_SURFACE",
                                                        "AXIS2_PLACEMENT_3D"};
    Span a;
    if (!pick(entities(s_), a)) return s_;
    const std::size_t from = s_.find('=', a.from), to = s_.find('(', a.from);
    if (from >= a.to || to >= a.to || to < from) return s_;
    return with({from + 1, to}, kNames[below(kNames.size())]);
  }

private:
  const std::string& s_;
  std::mt19937 random_;
};

constexpr std::array<const char*, 14> kOdd{"0.",     "-0.",   "1.E-300", "1.E300", "1.E999", "NaN", "-1.",
                                           "1.E-12", "1.E12", "3.14159", "$",      "*",      "'x'", "#1"};
constexpr std::size_t kLongName = 10000, kNesting = 3000;

}  // namespace

std::string damaged(const std::string& step, Damage kind, std::uint32_t seed) {
  Hurt hurt(step, seed);
  Span at, other;
  switch (kind) {
    case Damage::DropEntity:
      return hurt.pick(entities(step), at) ? hurt.with(at, "") : step;
    case Damage::RepeatEntity:
      return hurt.pick(entities(step), at) ? hurt.with(at, hurt.text(at) + "\n" + hurt.text(at)) : step;
    case Damage::SwapEntities:
      return hurt.swap();
    case Damage::RenameEntity:
      return hurt.rename();
    case Damage::WrongReference:
      return hurt.pick(references(step), at) && hurt.pick(references(step), other)
                 ? hurt.with(at, hurt.below(4) == 0 ? "#999999" : hurt.text(other))
                 : step;
    case Damage::SelfReference: {
      if (!hurt.pick(references(step), at)) return step;
      const std::size_t entity = step.rfind("\n#", at.from);
      if (entity == std::string::npos) return step;
      return hurt.with(at, step.substr(entity + 1, step.find('=', entity) - entity - 1));
    }
    case Damage::OddNumber:
      return hurt.pick(numbers(step), at) ? hurt.with(at, kOdd[hurt.below(kOdd.size())]) : step;
    case Damage::ShiftNumber:
      return hurt.pick(numbers(step), at) && hurt.pick(numbers(step), other) ? hurt.with(at, hurt.text(other)) : step;
    case Damage::EmptyList:
      return hurt.pick(lists(step), at) ? hurt.with(at, "") : step;
    case Damage::DropItem: {
      if (!hurt.pick(lists(step), at)) return step;
      const std::size_t comma = step.find(',', at.from);
      return comma < at.to ? hurt.with({at.from, comma + 1}, "") : step;
    }
    case Damage::FlipSense:
      return hurt.pick(all(step, ".T."), at) ? hurt.with(at, ".F.") : step;
    case Damage::LongString:
      return hurt.pick(all(step, "''"), at) ? hurt.with(at, "'" + std::string(kLongName, 'x') + "'") : step;
    case Damage::NestDeeply:
      return hurt.pick(lists(step), at)
                 ? hurt.with(at, std::string(kNesting, '(') + hurt.text(at) + std::string(kNesting, ')'))
                 : step;
    case Damage::CutOff:
      return step.substr(0, hurt.below(step.size() + 1));
    case Damage::Count:
      break;
  }
  return step;
}

}  // namespace chipledger::fuzz
