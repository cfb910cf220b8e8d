#pragma once
// The tight box of a solid. The corners of the triangles give it to within the deflection; each side is then pushed out
// to the true extreme of the curves and surfaces that come near it, by search around the nearest corner. The kernel's
// own tight box is right as well, but took up to 4 s on public parts.
#include <chipledger/part/part.hpp>

#include "kernel_faces.hpp"

namespace chipledger::part {

Box3 tightBox(const KernelFaces& faces, const Mesh& mesh);

}  // namespace chipledger::part
