#include <chipledger/path/link.hpp>

namespace chipledger::path {

LinkWay chooseLink(const LinkQuestion& q) {
  const double perMm = 1.0 / toMmPerSecond(kLinkFeed);
  const double over = kHopSeconds + q.gap_mm / toMmPerSecond(kRapidGuess);
  // Three radial steps and a bit: the usual distance between neighbouring rings, corners included.
  if (q.straightLegal && q.gap_mm <= 3.0 * q.step_mm + 0.2) return LinkWay::Step;
  if (q.straightLegal && q.straightFree && q.gap_mm * perMm <= over) return LinkWay::Straight;
  if (q.back_mm >= 0 && q.back_mm * perMm <= over) return LinkWay::Back;
  return LinkWay::Over;
}

}  // namespace chipledger::path
