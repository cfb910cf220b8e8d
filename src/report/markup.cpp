#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>

namespace chipledger::report {

namespace {

// Length of a well-formed UTF-8 sequence at `at`, 0 when it is not one (overlong forms and surrogates included).
std::size_t sequenceLength(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U; };
  const auto tail = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned lead = byte(0);
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return tail(1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF) {
    const bool good = !(lead == 0xE0 && byte(1) < 0xA0) && !(lead == 0xED && byte(1) > 0x9F);
    return good && tail(1) && tail(2) ? 3 : 0;
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    const bool good = !(lead == 0xF0 && byte(1) < 0x90) && !(lead == 0xF4 && byte(1) > 0x8F);
    return good && tail(1) && tail(2) && tail(3) ? 4 : 0;
  }
  return 0;
}

}  // namespace

bool turnsWriting(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U; };
  if (byte(0) != 0xE2) return false;
  if (byte(1) == 0x80) return byte(2) == 0x8E || byte(2) == 0x8F || (byte(2) >= 0xAA && byte(2) <= 0xAE);
  return byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9;
}

std::string shortened(const std::string& text, std::size_t most) {
  std::size_t count = 0;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if ((static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) continue;  // inside a character
    if (++count > most) return text.substr(0, at) + "\u2026";
  }
  return text;
}

std::string escaped(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequenceLength(text, at);
    const auto c = static_cast<unsigned char>(text[at]);
    if (length == 0 || (length == 1 && (c < 0x20 || c == 0x7F)) ||
        (length == 2 && c == 0xC2 && static_cast<unsigned char>(text[at + 1]) < 0xA0) ||
        (length == 3 && turnsWriting(text, at))) {
      out += "\uFFFD";
      at += length == 0 ? 1 : length;
      continue;
    }
    switch (text[at]) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out.append(text, at, length);
    }
    at += length;
  }
  return out;
}

std::string coordinate(double mm) { return trimmed(mm, 3); }

std::string attribute(const std::string& name, const std::string& value) {
  return " " + name + "=\"" + escaped(value) + "\"";
}
std::string attribute(const std::string& name, double value) { return attribute(name, coordinate(value)); }

}  // namespace chipledger::report
