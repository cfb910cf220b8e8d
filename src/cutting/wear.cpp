#include <chipledger/cutting/wear.hpp>

#include <cmath>

namespace chipledger::cutting {

Duration lifeAtSpeed(Duration life1, Speed v1, Speed v, double n) { return life1 * std::pow(v1 / v, 1 / n); }
double lifeExponent(Speed v1, Duration life1, Speed v2, Duration life2) {
  return std::log(v1 / v2) / std::log(life2 / life1);
}
double lifeConstant(Speed v, Duration life, double n) { return toMPerMin(v) * std::pow(toMinutes(life), n); }
Speed speedForLife(double constant, Duration life, double n) {
  return mPerMin(constant / std::pow(toMinutes(life), n));
}
Duration extendedLife(Duration life0, double n, double x, double y, double kv, double kf, double kd) {
  return life0 * std::pow(kv * std::pow(kf, x) * std::pow(kd, y), -1 / n);
}

Duration cheapestLife(double n, Duration change, double edgeCost, double rate) {
  return (change + minutes(edgeCost / rate)) * (1 / n - 1);
}
Speed cheapestSpeed(double constant, double n, Duration change, double edgeCost, double rate) {
  return speedForLife(constant, cheapestLife(n, change, edgeCost, rate), n);
}
Speed fastestSpeed(double constant, double n, Duration change) {
  return speedForLife(constant, change * (1 / n - 1), n);
}
double wearMoney(Duration cutting, Duration life, Duration change, double edgeCost, double rate) {
  return (rate * toMinutes(change) + edgeCost) * (cutting / life);
}

double shareOfCutter(const Conditions& conditions, const CutterUse& use) {
  const double full = std::min(toSeconds(use.fullWidth), toSeconds(use.cutting));
  double share = 0;
  if (conditions.life > Duration{}) share += (toSeconds(use.cutting) - full) / toSeconds(conditions.life);
  const Duration slotLife = conditions.slotLife > Duration{} ? conditions.slotLife : conditions.life;
  if (slotLife > Duration{}) share += full / toSeconds(slotLife);
  if (conditions.lifeHoles > 0) share += use.holes / conditions.lifeHoles;
  return share;
}

double breakageShare(Length diameter, const Limits& limits) {
  return limits[toMm(diameter) < kBreaksBelow_mm ? LimitName::BreakageSmall : LimitName::BreakageLarge];
}

CutterPurchase cuttersToBuy(double sharePerPiece, int pieces, Length diameter, const Limits& limits) {
  CutterPurchase purchase;
  if (sharePerPiece <= 0 || pieces <= 0) return purchase;
  purchase.worn = sharePerPiece * pieces;
  purchase.broken = purchase.worn * breakageShare(diameter, limits);
  // A batch that ends a hair past a whole cutter does not ask for one more.
  constexpr double kHair = 1e-9;
  const int used = static_cast<int>(std::ceil(purchase.worn + purchase.broken - kHair));
  purchase.spares = static_cast<int>(std::lround(limits[LimitName::SparesLeast]));
  purchase.buy = used + purchase.spares;
  return purchase;
}

}  // namespace chipledger::cutting
