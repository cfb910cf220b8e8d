#include <chipledger/field/profile.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {

namespace {
constexpr double kNowhere = std::numeric_limits<double>::infinity();
}

bool Profile::operator==(const Profile& other) const {
  const auto same = [](const Collar& a, const Collar& b) {
    return a.radius_mm == b.radius_mm && a.height_mm == b.height_mm;
  };
  return radius_mm == other.radius_mm && flat_mm == other.flat_mm && corner_mm == other.corner_mm &&
         rise == other.rise && flutes_mm == other.flutes_mm &&
         std::equal(collars.begin(), collars.end(), other.collars.begin(), other.collars.end(), same);
}

double Profile::heightAt(double distance_mm) const {
  if (distance_mm > radius_mm) return kNowhere;
  const double out = distance_mm - flat_mm;
  if (out <= 0) return 0.0;
  if (corner_mm > 0) return corner_mm - std::sqrt(std::max(0.0, corner_mm * corner_mm - out * out));
  return rise * out;
}

double Profile::heightWithBody(double distance_mm) const {
  const double cutting = heightAt(distance_mm);
  for (const Collar& collar : collars)
    if (distance_mm <= collar.radius_mm) return std::min(cutting, collar.height_mm);
  return cutting;
}

double Profile::widest() const { return collars.empty() ? radius_mm : std::max(radius_mm, collars.back().radius_mm); }

Profile flatProfile(double diameter_mm) {
  Profile p;
  p.radius_mm = p.flat_mm = diameter_mm / 2;
  return p;
}

Profile bullProfile(double diameter_mm, double corner_mm) {
  Profile p;
  p.radius_mm = diameter_mm / 2;
  p.corner_mm = std::clamp(corner_mm, 0.0, p.radius_mm);
  p.flat_mm = p.radius_mm - p.corner_mm;
  return p;
}

Profile ballProfile(double diameter_mm) { return bullProfile(diameter_mm, diameter_mm / 2); }

Profile coneProfile(double diameter_mm, double pointAngle, double tipFlat_mm) {
  Profile p;
  p.radius_mm = diameter_mm / 2;
  p.flat_mm = std::clamp(tipFlat_mm / 2, 0.0, p.radius_mm);
  p.rise = 1.0 / std::tan(pointAngle / 2);
  return p;
}

Profile withBody(Profile profile, const Above& above) {
  if (above.flutes_mm > 0) profile.flutes_mm = above.flutes_mm;
  std::vector<Profile::Collar> found;
  const auto add = [&](double diameter, double height, double clearance) {
    if (diameter > 0 && height > 0) found.push_back({diameter / 2 + clearance, height});
  };
  const bool necked = above.neckDiameter_mm > 0 && above.neckLength_mm > 0;
  const double shank = above.shankDiameter_mm > 0 ? above.shankDiameter_mm : 2 * profile.radius_mm;
  const double shankFrom = necked ? std::max(above.neckLength_mm, above.flutes_mm) : above.flutes_mm;
  // A neck thinner than the cutter by the clearance on each side touches nothing that the flutes have not cut.
  if (necked) add(above.neckDiameter_mm, above.flutes_mm, kBodyClearance_mm);
  add(shank, shankFrom, kBodyClearance_mm);
  add(above.holderDiameter_mm, above.stickOut_mm, kBodyClearance_mm);
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.height_mm < b.height_mm; });
  // Keep what sticks out over everything below it.
  double widest = profile.radius_mm;
  for (const Profile::Collar& collar : found) {
    if (collar.radius_mm <= widest) continue;
    widest = collar.radius_mm;
    profile.collars.push_back(collar);
  }
  return profile;
}

}  // namespace chipledger::field
