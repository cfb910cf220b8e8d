#pragma once
// The kernel side of a drawn solid: the shape, and which detail each face belongs to.
#include <chipledger/draw/drawn.hpp>

#include <BRepBuilderAPI_MakeShape.hxx>
#include <TopTools_DataMapOfShapeInteger.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS_Shape.hxx>

#include <string>
#include <vector>

namespace chipledger::draw {

struct FaceMark {
  std::string name;
  std::optional<part::Hint> hint;
};

struct KernelSolid {
  TopoDS_Shape solid;
  TopTools_DataMapOfShapeInteger owner;  ///< face of `solid` -> index into marks
  std::vector<FaceMark> marks;
  std::optional<part::Hint> hint;
};

/// A shape whose faces know their owner while booleans and fillets change them.
struct Owned {
  TopoDS_Shape shape;
  TopTools_DataMapOfShapeInteger owner;
};

/// All faces of a shape given to one owner.
Owned owned(const TopoDS_Shape& shape, int owner);
/// Carries the owners of `from` through an operation into `into`.
void carry(BRepBuilderAPI_MakeShape& operation, const TopTools_DataMapOfShapeInteger& from,
           TopTools_DataMapOfShapeInteger& into);
/// Drops owners of faces that are no longer in the shape.
void keepPresent(Owned& owned);

void silenceKernel();
tl::unexpected<Fault> kernelFault(const std::string& where, const std::string& what);

/// Height of the middle of a face.
double faceHeight(const TopoDS_Shape& face);

struct Measures {
  double volume_mm3{}, area_mm2{};
};
/// Volume by Gauss-Kronrod (the other routes are up to 1 % off on walls swept from splines), area by the plain call.
Measures measure(const TopoDS_Shape& shape);

}  // namespace chipledger::draw
