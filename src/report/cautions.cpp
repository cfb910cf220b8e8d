#include <chipledger/report/cautions.hpp>

#include <algorithm>
#include <cctype>

namespace chipledger::report {

namespace {

bool isTitanium(const std::string& material) {
  std::string lower = material;
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  // "Ti-6Al-4V", "Ti grade 2", "Ti64", but not "tin bronze".
  const bool symbol =
      lower.rfind("ti", 0) == 0 && (lower.size() == 2 || std::isalpha(static_cast<unsigned char>(lower[2])) == 0);
  return symbol || lower.find("titan") != std::string::npos;
}

}  // namespace

const char* titaniumCaution() {
  return "Titanium chips burn. Fine dry chips, grinding dust and oily swarf catch fire from a spark or a dull cutter. "
         "Keep "
         "edges sharp and coolant flowing, empty the chips often, store them in lidded metal bins, keep sparks away, "
         "and "
         "have dry sand or a metal-fire (class D) agent at hand. Never water, CO2 or an ordinary extinguisher on "
         "burning "
         "titanium. Sludge from blasting and tumbling counts too. Ask your insurer and your fire service.";
}

const char* lockCaution() {
  return "A lock is a safety part. This estimate prices metal; it does not judge the strength of a lock, its angle, a "
         "thinned spring or wear. A trained fitter tests every lock and writes it down. A spring thinner than your own "
         "proven value needs a test, not a price.";
}

const char* speedsCaution() { return "Speeds and feeds here are for estimating, not for typing into a machine."; }

std::vector<std::string> cautionsFor(const estimate::Estimate& estimate) {
  std::vector<std::string> out;
  if (isTitanium(estimate.material)) out.emplace_back(titaniumCaution());
  for (const std::string& caution : estimate.cautions) {
    // Titanium's own text is already there in full.
    if (!caution.empty() && !(isTitanium(estimate.material) && isTitanium(caution))) out.push_back(caution);
  }
  out.emplace_back(
      "Edges off the machine cut and burrs are needles: gloves off near a turning spindle, on at the bench.");
  out.emplace_back(lockCaution());
  out.emplace_back(
      "Etching acids and anodising current can maim or kill: trained people and a written procedure, or send the work "
      "out.");
  out.emplace_back(
      "Carrying, selling and shipping pocket tools is regulated differently from place to place: check before you "
      "sell.");
  out.emplace_back(speedsCaution());
  out.emplace_back(
      "An estimate, not a quote: it stands on the tables and assumptions listed and is at best as good as the printed "
      "band. "
      "A file does not say threads, tolerances or finish; while a question is open the estimate is not finished. Local "
      "rules "
      "and qualified people decide.");
  return out;
}

}  // namespace chipledger::report
