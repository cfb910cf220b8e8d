#pragma once
// Every tolerance of the room in one place. Three sizes stay apart: noise of modelling programs, our own meshing, and
// what may count as one form.

namespace chipledger::part {

struct Tolerances {
  // What counts as one form when a spline is looked at.
  double form_mm{2e-3};         ///< a tenth of the tightest milled tolerance
  double formNormal{1e-3};      ///< sine between unit normals of one plane, or between a normal and an axis
  double smoothEdge_rad{0.02};  ///< dihedral turn below which an edge is smooth: fillets end within a fraction of this
  // Meshing for numbers: 0.01 mm and 0.1 rad give volumes to 4e-5 on plates (measured).
  double deflection_mm{0.01};
  double deflectionPerSize{1e-5};  ///< of the diagonal: a block of 60 m is not meshed to 0.01 mm
  double turn_rad{0.1};
  int manyEdges{3000};  ///< beyond, the turn is widened: 1,000 holes at 0.1 rad cost 9 s and 520,000 triangles
  double coarseTurn_rad{0.3};
  double crack_share{1e-4};  ///< of the body's area: rings of loose triangle sides up to this size are closed
  double polyline_mm{0.002};
  // Two routes to the volume.
  double volumesAgree{1e-3};
  double lean_share{
      1e-5};  ///< of the area: what the normals of a closed surface may fail to cancel (public parts: below 1e-6)
  // Mending.
  double sew_mm{1e-3};  ///< ten times the confusion distance most modelling programs export with, and below any gap
                        ///< drawn on purpose
  // A part whose longest side lies outside is probably in the wrong unit.
  double smallestPart_mm{1.0}, largestPart_mm{2000.0};
};

inline constexpr Tolerances kTolerances{};

}  // namespace chipledger::part
