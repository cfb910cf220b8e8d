#pragma once
// The face table of a solid: what each face truly is, its samples, its measures.
#include <chipledger/part/part.hpp>

#include "face_integral.hpp"

#include <BRepAdaptor_Surface.hxx>
#include <TopTools_IndexedMapOfShape.hxx>

#include <memory>
#include <vector>

namespace chipledger::part {

/// One surface adaptor per face, made once: making them is a fifth of the cost of the table.
struct KernelFaces {
  TopTools_IndexedMapOfShape map;  ///< in the order of the file
  std::vector<std::unique_ptr<BRepAdaptor_Surface>> surfaces;
};
KernelFaces kernelFaces(const TopoDS_Shape& solid);

/// Outward unit normal; zero where the surface has none (an apex).
Vec3 outwardNormal(const BRepAdaptor_Surface& surface, bool reversed, double u, double v, Vec3* point = nullptr);

/// Everything of the table but loops; the solid must be meshed (thin faces take their sample from their triangles).
std::vector<Face> faceTable(const KernelFaces& faces, const std::vector<FaceIntegral>& integrals, const Mesh& mesh);

}  // namespace chipledger::part
