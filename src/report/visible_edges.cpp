#include <chipledger/report/visible_edges.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace chipledger::report {

namespace {

constexpr double kNothing = -std::numeric_limits<double>::infinity();
constexpr double kDepthTolerance_mm = 0.02;  // above the mesh deflection, below any step worth drawing

// Highest metal per cell.
struct DepthGrid {
  int nx{}, ny{};
  double x0{}, y0{}, cell{1};
  std::vector<double> height;

  double at(int i, int j) const {
    return i < 0 || j < 0 || i >= nx || j >= ny
               ? kNothing
               : height[static_cast<std::size_t>(j) * static_cast<std::size_t>(nx) + static_cast<std::size_t>(i)];
  }

  // A point on an edge lies on the border of two faces: it is seen when any cell around it is not above it.
  bool sees(Vec3 p) const {
    const int i = static_cast<int>(std::floor((p.x - x0) / cell)), j = static_cast<int>(std::floor((p.y - y0) / cell));
    for (int b = j - 1; b <= j + 1; ++b) {
      for (int a = i - 1; a <= i + 1; ++a)
        if (at(a, b) <= p.z + kDepthTolerance_mm) return true;
    }
    return false;
  }
};

void addTriangle(DepthGrid& grid, const Vec3& a, const Vec3& b, const Vec3& c) {
  const double twice = cross(b.xy() - a.xy(), c.xy() - a.xy());
  if (twice == 0) return;
  const auto column = [&](double x) { return static_cast<int>(std::floor((x - grid.x0) / grid.cell - 0.5)); };
  const auto row = [&](double y) { return static_cast<int>(std::floor((y - grid.y0) / grid.cell - 0.5)); };
  const int i0 = std::max(0, column(std::min({a.x, b.x, c.x}))),
            i1 = std::min(grid.nx - 1, column(std::max({a.x, b.x, c.x})) + 1);
  const int j0 = std::max(0, row(std::min({a.y, b.y, c.y}))),
            j1 = std::min(grid.ny - 1, row(std::max({a.y, b.y, c.y})) + 1);
  for (int j = j0; j <= j1; ++j) {
    for (int i = i0; i <= i1; ++i) {
      const Vec2 p{grid.x0 + (i + 0.5) * grid.cell, grid.y0 + (j + 0.5) * grid.cell};
      const double wa = cross(b.xy() - p, c.xy() - p) / twice, wb = cross(c.xy() - p, a.xy() - p) / twice,
                   wc = 1 - wa - wb;
      if (wa < 0 || wb < 0 || wc < 0) continue;
      double& h =
          grid.height[static_cast<std::size_t>(j) * static_cast<std::size_t>(grid.nx) + static_cast<std::size_t>(i)];
      h = std::max(h, wa * a.z + wb * b.z + wc * c.z);
    }
  }
}

DepthGrid depthGrid(const part::Mesh& mesh, const Frame& toView, double cell) {
  std::vector<Vec3> points;
  points.reserve(mesh.points.size());
  Box2 box;
  for (const Vec3& p : mesh.points) {
    points.push_back(toView.apply(p));
    box.add(points.back().xy());
  }
  DepthGrid grid;
  grid.cell = cell;
  if (box.empty()) return grid;
  grid.x0 = box.min.x;
  grid.y0 = box.min.y;
  grid.nx = static_cast<int>(std::ceil(box.size().x / cell)) + 1;
  grid.ny = static_cast<int>(std::ceil(box.size().y / cell)) + 1;
  grid.height.assign(static_cast<std::size_t>(grid.nx) * static_cast<std::size_t>(grid.ny), kNothing);
  for (const auto& t : mesh.triangles) {
    addTriangle(grid, points[static_cast<std::size_t>(t[0])], points[static_cast<std::size_t>(t[1])],
                points[static_cast<std::size_t>(t[2])]);
  }
  return grid;
}

// Steps along one edge no longer than a cell; gathers runs of seen points.
void addRuns(const part::Edge& edge, const Frame& toView, const DepthGrid& grid, std::vector<VisibleEdge>& out) {
  VisibleEdge run;
  run.smooth = edge.sense == part::Sense::Smooth || edge.left == edge.right;
  const auto flush = [&] {
    if (run.points.size() > 1) out.push_back(run);
    run.points.clear();
  };
  for (std::size_t k = 0; k + 1 < edge.points.size(); ++k) {
    const Vec3 a = toView.apply(edge.points[k]), b = toView.apply(edge.points[k + 1]);
    const int steps = std::max(1, static_cast<int>(std::ceil(norm(b.xy() - a.xy()) / grid.cell)));
    for (int s = 0; s < steps; ++s) {
      const Vec3 from = a + (b - a) * (static_cast<double>(s) / steps), to = a + (b - a) * ((s + 1.0) / steps);
      if (!grid.sees((from + to) * 0.5)) {
        flush();
        continue;
      }
      if (run.points.empty()) run.points.push_back(from.xy());
      run.points.push_back(to.xy());
    }
  }
  flush();
}

}  // namespace

std::vector<VisibleEdge> visibleEdges(const part::Body& body, const Frame& toView, double cell_mm) {
  const DepthGrid grid = depthGrid(body.mesh, toView, cell_mm);
  std::vector<VisibleEdge> out;
  for (const part::Edge& edge : body.edges) addRuns(edge, toView, grid, out);
  // The steps along straight runs were for seeing, not for drawing.
  constexpr double kStraight_mm = 0.001;
  for (VisibleEdge& edge : out) edge.points = simplifyLine(edge.points, kStraight_mm);
  return out;
}

}  // namespace chipledger::report
