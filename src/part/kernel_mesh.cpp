#include "kernel_mesh.hpp"

#include "kernel_convert.hpp"
#include "mesh_links.hpp"
#include "tolerances.hpp"

#include <BRepAdaptor_Surface.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <IMeshTools_Parameters.hxx>
#include <OSD_Parallel.hxx>
#include <OSD_ThreadPool.hxx>
#include <Poly_PolygonOnTriangulation.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Vertex.hxx>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

namespace chipledger::part {
namespace {

/// Which nodes of all faces are one point.
class Weld {
public:
  explicit Weld(std::size_t nodes) : parent_(nodes) { std::iota(parent_.begin(), parent_.end(), 0); }
  std::int32_t find(std::int32_t node) {
    auto& parent = parent_[static_cast<std::size_t>(node)];
    while (parent != parent_[static_cast<std::size_t>(parent)]) parent = parent_[static_cast<std::size_t>(parent)];
    return parent;
  }
  void join(std::int32_t a, std::int32_t b) {  // the smaller index leads, so the result does not depend on the order
    a = find(a);
    b = find(b);
    parent_[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
  }

private:
  std::vector<std::int32_t> parent_;
};

struct FaceNodes {
  Handle(Poly_Triangulation) triangulation;
  TopLoc_Location place;
  std::int32_t first{};  ///< index of its first node among all
};

void weldEdges(const TopoDS_Face& face, const FaceNodes& nodes, const TopTools_IndexedMapOfShape& edges,
               const TopTools_IndexedMapOfShape& vertices, std::vector<std::vector<std::int32_t>>& edgeNodes,
               std::vector<std::int32_t>& vertexNode, Weld& weld) {
  for (TopExp_Explorer it(face, TopAbs_EDGE); it.More(); it.Next()) {
    const TopoDS_Edge edge = TopoDS::Edge(it.Current());
    const Handle(Poly_PolygonOnTriangulation) polygon =
        BRep_Tool::PolygonOnTriangulation(edge, nodes.triangulation, nodes.place);
    if (polygon.IsNull()) continue;
    std::vector<std::int32_t> list;
    for (Standard_Integer i = 1; i <= polygon->NbNodes(); ++i) list.push_back(nodes.first + polygon->Node(i) - 1);
    auto& known = edgeNodes[static_cast<std::size_t>(edges.FindIndex(edge) - 1)];
    if (BRep_Tool::Degenerated(edge)) {
      for (const std::int32_t node : list) weld.join(list.front(), node);
    } else if (known.empty()) {
      known = list;
    } else if (known.size() == list.size()) {
      for (std::size_t i = 0; i < list.size(); ++i) weld.join(known[i], list[i]);
    }
    TopoDS_Vertex first, last;
    TopExp::Vertices(TopoDS::Edge(edge.Oriented(TopAbs_FORWARD)), first, last);
    for (const auto& [vertex, node] : {std::pair{first, list.front()}, std::pair{last, list.back()}}) {
      if (vertex.IsNull()) continue;
      auto& known1 = vertexNode[static_cast<std::size_t>(vertices.FindIndex(vertex) - 1)];
      if (known1 < 0) known1 = node;
      weld.join(known1, node);
    }
  }
}

/// The kernel has two ways to triangulate. The quick one takes a third of the time (1,000 holes in a face: 2 s against
/// 20 s) and now and then leaves a face out.
enum class Way { Quick, Patient };

/// The reader's process has the machine's cores to itself, but every thread's stack counts against its memory limit.
constexpr int kThreads = 4;

void triangulate(const TopoDS_Shape& shape, double deflection_mm, double turn_rad, Way way) {
  OSD_Parallel::SetUseOcctThreads(Standard_True);
  OSD_ThreadPool::DefaultPool(std::min(kThreads, OSD_Parallel::NbLogicalProcessors()));
  IMeshTools_Parameters how;
  how.Deflection = deflection_mm;
  how.Angle = turn_rad;
  how.InParallel = Standard_True;  // face by face: the answer does not depend on the threads
  how.MeshAlgo = way == Way::Quick ? IMeshTools_MeshAlgoType_Delabella : IMeshTools_MeshAlgoType_Watson;
  BRepMesh_IncrementalMesh(shape, how);
}

/// The kernel lays the steps of a whole turn of the tube into whatever part of it a torus has, so a quarter-round
/// fillet comes out four times too fine. A wider turn gives the fineness asked for; 0: not a torus.
double torusTurn(const TopoDS_Face& face, double turn_rad) {
  const BRepAdaptor_Surface surface(face, Standard_False);
  if (surface.GetType() != GeomAbs_Torus) return 0.0;
  Standard_Real u0 = 0, u1 = 0, v0 = 0, v1 = 0;
  BRepTools::UVBounds(face, u0, u1, v0, v1);
  constexpr double kMostWidening = 4.0;
  const double whole = 2.0 * std::numbers::pi;
  return turn_rad * std::clamp(whole / std::max(v1 - v0, whole / kMostWidening), 1.0, kMostWidening);
}

bool allMeshed(const TopTools_IndexedMapOfShape& faces) {
  TopLoc_Location place;
  for (Standard_Integer f = 1; f <= faces.Extent(); ++f)
    if (BRep_Tool::Triangulation(TopoDS::Face(faces(f)), place).IsNull()) return false;
  return true;
}

/// Tori last: faces and edges done before keep their points.
void triangulateFaces(const TopoDS_Shape& solid, const TopTools_IndexedMapOfShape& faces,
                      const MeshFineness& fineness) {
  BRep_Builder builder;
  TopoDS_Compound others;
  builder.MakeCompound(others);
  double widest = std::numeric_limits<double>::infinity();
  for (Standard_Integer f = 1; f <= faces.Extent(); ++f) {
    if (const double turn = torusTurn(TopoDS::Face(faces(f)), fineness.turn_rad); turn > 0.0) {
      widest = std::min(widest, turn);
    } else {
      builder.Add(others, faces(f));
    }
  }
  if (std::isfinite(widest)) {
    triangulate(others, fineness.deflection_mm, fineness.turn_rad, Way::Quick);
    triangulate(solid, fineness.deflection_mm, widest, Way::Quick);
  } else {
    triangulate(solid, fineness.deflection_mm, fineness.turn_rad, Way::Quick);
  }
  if (!allMeshed(faces)) triangulate(solid, fineness.deflection_mm, fineness.turn_rad, Way::Patient);
}

}  // namespace

MeshFineness finenessFor(double diagonal_mm, int edges) {
  return {std::max(kTolerances.deflection_mm, kTolerances.deflectionPerSize * diagonal_mm),
          edges > kTolerances.manyEdges ? kTolerances.coarseTurn_rad : kTolerances.turn_rad};
}

Mesh meshSolid(const TopoDS_Shape& solid, const TopTools_IndexedMapOfShape& faces, const MeshFineness& fineness) {
  BRepTools::Clean(solid);  // a finer mesh of before would silently stay
  triangulateFaces(solid, faces, fineness);

  Mesh mesh;
  mesh.deflection_mm = fineness.deflection_mm;
  std::vector<FaceNodes> faceNodes;
  std::int32_t count = 0;
  for (Standard_Integer f = 1; f <= faces.Extent(); ++f) {
    FaceNodes nodes;
    nodes.triangulation = BRep_Tool::Triangulation(TopoDS::Face(faces(f)), nodes.place);
    nodes.first = count;
    if (!nodes.triangulation.IsNull()) count += nodes.triangulation->NbNodes();
    faceNodes.push_back(nodes);
  }
  TopTools_IndexedMapOfShape edges, vertices;
  TopExp::MapShapes(solid, TopAbs_EDGE, edges);
  TopExp::MapShapes(solid, TopAbs_VERTEX, vertices);
  std::vector<std::vector<std::int32_t>> edgeNodes(static_cast<std::size_t>(edges.Extent()));
  std::vector<std::int32_t> vertexNode(static_cast<std::size_t>(vertices.Extent()), -1);
  Weld weld(static_cast<std::size_t>(count));
  for (Standard_Integer f = 1; f <= faces.Extent(); ++f) {
    const FaceNodes& nodes = faceNodes[static_cast<std::size_t>(f - 1)];
    if (!nodes.triangulation.IsNull())
      weldEdges(TopoDS::Face(faces(f)), nodes, edges, vertices, edgeNodes, vertexNode, weld);
  }

  std::vector<std::int32_t> index(static_cast<std::size_t>(count), -1);
  for (Standard_Integer f = 1; f <= faces.Extent(); ++f) {
    const FaceNodes& nodes = faceNodes[static_cast<std::size_t>(f - 1)];
    if (nodes.triangulation.IsNull()) continue;
    const gp_Trsf move = nodes.place.Transformation();
    const auto corner = [&](Standard_Integer node) {
      const std::int32_t leader = weld.find(nodes.first + node - 1);
      std::int32_t& known = index[static_cast<std::size_t>(leader)];
      if (known < 0) {  // the leader is in this face or an earlier one, whose node is the same point
        known = static_cast<std::int32_t>(mesh.points.size());
        mesh.points.push_back(vec(nodes.triangulation->Node(node).Transformed(move)));
      }
      return known;
    };
    const bool turned = faces(f).Orientation() == TopAbs_REVERSED;
    for (Standard_Integer t = 1; t <= nodes.triangulation->NbTriangles(); ++t) {
      Standard_Integer a = 0, b = 0, c = 0;
      nodes.triangulation->Triangle(t).Get(a, b, c);
      if (turned) std::swap(b, c);
      const std::array<std::int32_t, 3> triangle{corner(a), corner(b), corner(c)};
      if (triangle[0] == triangle[1] || triangle[1] == triangle[2] || triangle[2] == triangle[0]) continue;
      mesh.triangles.push_back(triangle);
      mesh.triangleFace.push_back(f - 1);
    }
  }
  double area = 0.0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[static_cast<std::size_t>(t[0])];
    area += 0.5 * norm(cross(mesh.points[static_cast<std::size_t>(t[1])] - a,
                             mesh.points[static_cast<std::size_t>(t[2])] - a));
  }
  closeCracks(mesh, kTolerances.crack_share * area);
  return mesh;
}

Volume meshVolume(const Mesh& mesh) {
  // Cones from the first corner, so that a part far from the origin loses no digits.
  if (mesh.points.empty()) return {};
  const Vec3 apex = mesh.points.front();
  double six = 0.0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[static_cast<std::size_t>(t[0])] - apex,
               b = mesh.points[static_cast<std::size_t>(t[1])] - apex,
               c = mesh.points[static_cast<std::size_t>(t[2])] - apex;
    six += dot(a, cross(b, c));
  }
  return mm3(six / 6.0);
}

}  // namespace chipledger::part
