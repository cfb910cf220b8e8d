#include <chipledger/cutting/formulas.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::cutting {

Speed tableFeed(Length fz, int teeth, SpindleSpeed n) { return mmPerMin(toMm(fz) * teeth * n.rpm); }
Length feedPerTooth(Speed feed, int teeth, SpindleSpeed n) { return mm(toMmPerMin(feed) / (teeth * n.rpm)); }
RemovalRate removalRate(Length axial, Length radial, Speed feed) { return axial * radial * feed; }
RemovalRate drillingRate(Length d, Length f, SpindleSpeed n) {
  return mm2(std::numbers::pi / 4 * toMm(d) * toMm(d)) * mmPerMin(toMm(f) * n.rpm);
}

Angle engagement(double e) { return radians(std::acos(std::clamp(1 - 2 * e, -1.0, 1.0))); }
double chipThicknessShare(double e) { return e < 0.5 ? 2 * std::sqrt(std::max(e * (1 - e), 0.0)) : 1.0; }
Length meanChipThickness(Length fz, Length radial, Length d) { return fz * std::sqrt(radial / d); }
double thinningFactor(double e, double most) { return std::min(1 / std::max(chipThicknessShare(e), 1e-12), most); }
Length feedForLeadAngle(Length h, double sine) { return h / sine; }

Pressure specificForce(Pressure kc11, double mc, Length h) { return kc11 * std::pow(toMm(h), -mc); }
Force cuttingForce(Pressure kc, Length width, Length h) { return kc * width * h; }
Power cuttingPower(Pressure kc, RemovalRate rate) { return kc * rate; }
Torque torqueOf(Power power, SpindleSpeed n) { return {power.base / (2 * std::numbers::pi * n.rpm / 60)}; }

Length stepoverForCusp(Length cusp, Length d) {
  return mm(2 * std::sqrt(std::max(toMm(cusp) * (toMm(d) - toMm(cusp)), 0.0)));
}
Length effectiveDiameter(Length d, Length axial) {
  const double ap = std::min(toMm(axial), toMm(d) / 2);
  return mm(2 * std::sqrt(std::max(ap * (toMm(d) - ap), 0.0)));
}
Length feedMarkNose(Length f, Length r) { return mm(toMm(f) * toMm(f) / (8 * toMm(r))); }
Length feedMarkWall(Length fz, Length d) { return mm(toMm(fz) * toMm(fz) / (4 * toMm(d))); }

Length approachPeripheral(Length radial, Length d) {
  return mm(std::sqrt(std::max(toMm(radial) * (toMm(d) - toMm(radial)), 0.0)));
}
Length approachFace(Length width, Length d) {
  return mm((toMm(d) - std::sqrt(std::max(toMm(d) * toMm(d) - toMm(width) * toMm(width), 0.0))) / 2);
}
Length pointLength(Length d, Angle point) { return mm(toMm(d) / 2 / std::tan(point.rad / 2)); }
Length rampLength(Length axial, Angle ramp) { return mm(toMm(axial) / std::tan(ramp.rad)); }
Duration wayTime(Length way, Speed feed) { return way / feed; }

}  // namespace chipledger::cutting
