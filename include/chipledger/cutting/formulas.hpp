#pragma once
// The closed forms of milling and drilling, one function each. docs/method/cutting.md has range, source and test.
// D cutter diameter, ae radial step, ap axial step, fz feed per tooth, z teeth, n spindle speed, h chip thickness.
#include <chipledger/units/quantity.hpp>

namespace chipledger::cutting {

/// vf = fz z n
Speed tableFeed(Length feedPerTooth, int teeth, SpindleSpeed n);
/// fz = vf / (z n)
Length feedPerTooth(Speed feed, int teeth, SpindleSpeed n);
/// Q = ap ae vf
RemovalRate removalRate(Length axial, Length radial, Speed feed);
/// Drill: Q = pi D^2 / 4 f n
RemovalRate drillingRate(Length diameter, Length feedPerRevolution, SpindleSpeed n);

/// Angle of the engaged arc, phi = acos(1 - 2 ae / D); ae in (0, D].
Angle engagement(double radialShare);
/// Largest chip thickness over feed per tooth: 2 sqrt(e (1 - e)) for e < 1/2, else 1.
double chipThicknessShare(double radialShare);
/// hm = fz sqrt(ae / D), the usual mean for ae <= D/2.
Length meanChipThickness(Length feedPerTooth, Length radial, Length diameter);
/// Factor on the feed that keeps the rated chip thickness: 1 / chipThicknessShare, at most `most`.
double thinningFactor(double radialShare, double most = 1e9);
/// fz = h / sin kappa
Length feedForLeadAngle(Length chipThickness, double sineOfLead);

/// kc = kc1.1 h^-mc (h in mm)
Pressure specificForce(Pressure kc11, double mc, Length chipThickness);
/// F = kc b h
Force cuttingForce(Pressure kc, Length width, Length chipThickness);
/// P = kc Q at the edge
Power cuttingPower(Pressure kc, RemovalRate rate);
/// M = P / (2 pi n)
Torque torqueOf(Power power, SpindleSpeed n);

/// Stepover that leaves a cusp h under a ball of diameter D: s = 2 sqrt(h (D - h)).
Length stepoverForCusp(Length cusp, Length ballDiameter);
/// Diameter of a ball nose where it meets the surface at depth ap: 2 sqrt(ap (D - ap)), D from ap = D/2 on.
Length effectiveDiameter(Length ballDiameter, Length axial);
/// Height of feed marks left by a nose radius r: f^2 / (8 r).
Length feedMarkNose(Length feed, Length noseRadius);
/// Height of feed marks on a wall cut with the circumference: vf^2 / (4 D n^2 z^2) = fz^2 / (4 D).
Length feedMarkWall(Length feedPerTooth, Length diameter);

/// Way of the cutter until full depth, peripheral: A = sqrt(d (D - d)).
Length approachPeripheral(Length radial, Length diameter);
/// Face milling with the cutter centred on a width w < D: A = (D - sqrt(D^2 - w^2)) / 2.
Length approachFace(Length width, Length diameter);
/// Way of a drill point: (D/2) / tan(half the point angle).
Length pointLength(Length diameter, Angle pointAngle);
/// Way along a straight ramp: ap / tan(alpha).
Length rampLength(Length axial, Angle ramp);
/// Time for a way at a feed.
Duration wayTime(Length way, Speed feed);

}  // namespace chipledger::cutting
