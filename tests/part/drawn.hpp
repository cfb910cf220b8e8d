#pragma once
// Solids drawn with the kernel and written as STEP, so that the reader is tested on shapes with closed-form measures.
#include <chipledger/geometry/vec.hpp>

#include <memory>
#include <string>
#include <vector>

namespace chipledger::drawn {

struct Shape;  // the kernel's; opened in drawn.cpp only
using Solid = std::shared_ptr<const Shape>;

Solid block(Vec3 size);                        ///< corner at the origin
Solid cylinder(double radius, double height);  ///< axis +z from the origin
Solid cone(double low, double high, double height);
Solid sphere(double radius);
Solid torus(double major, double minor);
/// A plate of given thickness whose outline is one closed interpolated spline through the points.
Solid splinePlate(const std::vector<Vec2>& through, double thickness);
Solid cut(const Solid& from, const Solid& away);
Solid join(const Solid& a, const Solid& b);
Solid moved(const Solid& solid, Vec3 shift);
Solid turned(const Solid& solid, Vec3 axis, double angle);
Solid mirrored(const Solid& solid);  ///< x -> -x
Solid asSplines(const Solid& solid);
Solid rounded(const Solid& solid, double radius);                      ///< all edges
Solid filleted(const Solid& solid, double radius, double edgeRadius);  ///< the circular edges of that radius
Solid together(const std::vector<Solid>& solids);
/// Plate 60 x 60 x 2 mm with side x side round holes; drawn as one face with holes, without booleans.
Solid pierced(int side);

/// Volume by the kernel's own triangles at 0.0002 mm: a witness that shares no rule with the reader.
double fineVolume(const Solid& solid);

enum class Unit { Millimetre, Inch, Metre };
/// Writes to a file in the tests' temporary folder and returns its path.
std::string write(const Solid& solid, const std::string& name, Unit unit = Unit::Millimetre);

}  // namespace chipledger::drawn
