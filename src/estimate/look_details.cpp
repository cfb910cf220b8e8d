#include <chipledger/detail/answers.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/hint.hpp>

#include <cmath>
#include <string>

namespace chipledger::estimate {
namespace {

double component(const std::string& hex, std::size_t at) { return std::stoi(hex.substr(at, 2), nullptr, 16) / 255.0; }

/// What the shop's own colour convention says of a face; empty: nothing. Keys are checked "#rrggbb".
std::string meaningOf(const part::Colour& colour, const shop::Shop& shop) {
  const auto near = [](double a, double b) { return std::abs(a - b) < part::kHintColourTolerance; };
  for (const auto& [hex, meaning] : shop.colours)
    if (near(colour.red, component(hex, 1)) && near(colour.green, component(hex, 3)) &&
        near(colour.blue, component(hex, 5)))
      return meaning;
  return {};
}

}  // namespace

Result<detail::Details> lookDetails(const part::Body& body, const setup::Plan& plan, const shop::Shop& shop,
                                    const std::string& answersFile) {
  auto details = detail::findDetails(body, plan);
  if (!details) return details;
  for (detail::Detail& d : details->list)
    for (part::FaceId f : d.faces) {
      const auto& colour = body.faces[static_cast<std::size_t>(f.index)].colour;
      if (!colour) continue;
      if (const std::string meaning = meaningOf(*colour, shop); !meaning.empty()) {
        d.hint = meaning;
        break;
      }
    }
  if (answersFile.empty()) return details;
  const auto answers = detail::readAnswers(answersFile);
  if (!answers) return tl::make_unexpected(answers.error());
  return detail::withAnswers(std::move(*details), *answers);
}

}  // namespace chipledger::estimate
