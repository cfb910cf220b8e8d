#include "face_integral.hpp"

#include "kernel_convert.hpp"

#include <BRepAdaptor_Surface.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <Geom2dAdaptor_Curve.hxx>
#include <Geom2d_Curve.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace chipledger::part {
namespace {

// Gauss-Legendre, 8 points; Gauss-Kronrod 7-15 (Piessens et al., QUADPACK, 1983).
constexpr std::array<double, 4> kGauss8At{0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                          0.9602898564975363};
constexpr std::array<double, 4> kGauss8Weight{0.3626837833783620, 0.3137066458778873, 0.2223810344533745,
                                              0.1012285362903763};
constexpr std::array<double, 8> kKronrodAt{0.991455371120812639206854697526329, 0.949107912342758524526189684047851,
                                           0.864864423359769072789712788640926, 0.741531185599394439863864773280788,
                                           0.586087235467691130294144691693549, 0.405845151377397166906606412076961,
                                           0.207784955007898467600689403773245, 0.0};
constexpr std::array<double, 8> kKronrodWeight{
    0.022935322010529224963732008058970, 0.063092092629978553290700663189204, 0.104790010322250183839876322541518,
    0.140653259715525918745189590510238, 0.169004726639267902826583426598550, 0.190350578064785409913256402421014,
    0.204432940075298892414161999234649, 0.209482141084727828012999174891714};
constexpr std::array<double, 4> kGauss7Weight{0.129484966168869693270611432679082, 0.279705391489276667901467771423780,
                                              0.381830050505118944950369775488975, 0.417959183673469387755102040816327};

/// Relative to the face's own flux and area; the volume must hold 1e-6 over hundreds of faces.
constexpr double kRelativeBound = 1e-9;
constexpr int kDeepestSplit = 12;
/// Curved surfaces without knots are cut at least every 45 degrees for the inner rule.
constexpr double kWidestTurn = std::numbers::pi / 4.0;

constexpr std::size_t kValues = 8;  ///< area, flux, first (3), lean (3)
using Values = std::array<double, kValues>;

void addScaled(Values& sum, const Values& v, double factor) {
  for (std::size_t i = 0; i < kValues; ++i) sum[i] += factor * v[i];
}

class FaceRule {
public:
  FaceRule(const TopoDS_Face& face, Vec3 about) : surface_(face, Standard_False), about_(about) {
    Standard_Real u0 = 0, u1 = 0, v1 = 0;
    BRepTools::UVBounds(face, u0, u1, v0_, v1);
    vBreaks_ = knots(false, v0_, v1);
    if (const auto type = surface_.GetType();
        type == GeomAbs_Plane || type == GeomAbs_Cylinder || type == GeomAbs_SurfaceOfExtrusion)
      gauss_ = 2;  // all integrands are at most cubic in v
  }

  /// F(u, v) of all integrands.
  Values inner(double u, double v) const {
    Values sum{};
    const double sign = v >= v0_ ? 1.0 : -1.0;
    const double low = std::min(v0_, v), high = std::max(v0_, v);
    double from = low;
    for (std::size_t i = 0; i <= vBreaks_.size() && from < high; ++i) {
      const double to = i < vBreaks_.size() ? std::min(high, vBreaks_[i]) : high;
      if (to <= from) continue;
      piece(u, from, to, sign, sum);
      from = to;
    }
    return sum;
  }

  std::vector<double> uBreaks(double u0, double u1) const { return knots(true, u0, u1); }
  const std::vector<double>& vBreaks() const { return vBreaks_; }

private:
  std::vector<double> knots(bool alongU, double from, double to) const {
    std::vector<double> list;
    const auto type = surface_.GetType();
    const bool turning = alongU ? (type == GeomAbs_Cylinder || type == GeomAbs_Cone || type == GeomAbs_Sphere ||
                                   type == GeomAbs_Torus || type == GeomAbs_SurfaceOfRevolution)
                                : (type == GeomAbs_Sphere || type == GeomAbs_Torus);
    if (turning) {
      const int parts = std::max(1, static_cast<int>(std::ceil((to - from) / kWidestTurn)));
      for (int i = 1; i < parts; ++i) list.push_back(from + (to - from) * i / parts);
      return list;
    }
    if (type == GeomAbs_Plane || type == GeomAbs_Cylinder || type == GeomAbs_Cone) return list;
    if (type == GeomAbs_SurfaceOfExtrusion && !alongU) return list;
    const Standard_Integer n = alongU ? surface_.NbUIntervals(GeomAbs_CN) : surface_.NbVIntervals(GeomAbs_CN);
    TColStd_Array1OfReal at(1, n + 1);
    if (alongU) {
      surface_.UIntervals(at, GeomAbs_CN);
    } else {
      surface_.VIntervals(at, GeomAbs_CN);
    }
    for (Standard_Integer i = 2; i <= n; ++i)
      if (at(i) > from && at(i) < to) list.push_back(at(i));
    return list;
  }

  void piece(double u, double from, double to, double sign, Values& sum) const {
    const double half = 0.5 * (to - from), middle = 0.5 * (to + from);
    if (gauss_ == 2) {
      const double at = half / std::numbers::sqrt3;
      addScaled(sum, integrand(u, middle - at), sign * half);
      addScaled(sum, integrand(u, middle + at), sign * half);
      return;
    }
    for (std::size_t i = 0; i < kGauss8At.size(); ++i)
      for (const double side : {-1.0, 1.0})
        addScaled(sum, integrand(u, middle + side * half * kGauss8At[i]), sign * half * kGauss8Weight[i]);
  }

  Values integrand(double u, double v) const {
    gp_Pnt p;
    gp_Vec du, dv;
    surface_.D1(u, v, p, du, dv);
    const Vec3 r = vec(p) - about_, n = cross(vec(du), vec(dv));
    const double a = norm(n);
    return {a, dot(r, n), r.x * a, r.y * a, r.z * a, n.x, n.y, n.z};
  }

  BRepAdaptor_Surface surface_;
  Vec3 about_;
  double v0_{};
  std::vector<double> vBreaks_;
  int gauss_{8};
};

class BorderRule {
public:
  BorderRule(const FaceRule& face, const Geom2dAdaptor_Curve& curve, double scaleArea, double scaleFlux)
      : face_(face), curve_(curve), bound_{kRelativeBound * scaleArea, kRelativeBound * scaleFlux} {}

  Values over(double from, double to, int depth, bool& settled) const {
    Values kronrod{}, gauss{};
    const double half = 0.5 * (to - from), middle = 0.5 * (to + from);
    for (std::size_t i = 0; i < kKronrodAt.size(); ++i)
      for (const double side : {-1.0, 1.0}) {
        if (kKronrodAt[i] == 0.0 && side > 0.0) continue;
        const Values v = at(middle + side * half * kKronrodAt[i]);
        addScaled(kronrod, v, half * kKronrodWeight[i]);
        if (i % 2 == 1) addScaled(gauss, v, half * kGauss7Weight[i / 2]);
      }
    const bool good = std::abs(kronrod[0] - gauss[0]) <= bound_[0] && std::abs(kronrod[1] - gauss[1]) <= bound_[1];
    if (good) return kronrod;
    if (depth >= kDeepestSplit) {
      settled = false;
      return kronrod;
    }
    Values sum = over(from, middle, depth + 1, settled);
    addScaled(sum, over(middle, to, depth + 1, settled), 1.0);
    return sum;
  }

private:
  Values at(double t) const {
    gp_Pnt2d p;
    gp_Vec2d d;
    curve_.D1(t, p, d);
    if (d.X() == 0.0) return {};
    Values v = face_.inner(p.X(), p.Y());
    for (double& x : v) x *= -d.X();
    return v;
  }

  const FaceRule& face_;
  const Geom2dAdaptor_Curve& curve_;
  std::array<double, 2> bound_;
};

/// Where the rule along a border must be cut: the knots of the border itself, and the places where a straight border
/// crosses knots of the surface.
std::vector<double> borderBreaks(const FaceRule& face, const Geom2dAdaptor_Curve& curve, double from, double to) {
  std::vector<double> list{from, to};
  const Standard_Integer n = curve.NbIntervals(GeomAbs_CN);
  TColStd_Array1OfReal at(1, n + 1);
  curve.Intervals(at, GeomAbs_CN);
  for (Standard_Integer i = 1; i <= n + 1; ++i)
    if (at(i) > from && at(i) < to) list.push_back(at(i));
  if (curve.GetType() == GeomAbs_Line) {
    const gp_Lin2d straight = curve.Line();
    const gp_Pnt2d p = straight.Location();
    const gp_Dir2d d = straight.Direction();
    const double ua = p.X() + from * d.X(), ub = p.X() + to * d.X();
    if (ua != ub)
      for (const double u : face.uBreaks(std::min(ua, ub), std::max(ua, ub))) list.push_back((u - p.X()) / d.X());
    const double va = p.Y() + from * d.Y(), vb = p.Y() + to * d.Y();
    for (const double v : face.vBreaks())
      if (v > std::min(va, vb) && v < std::max(va, vb)) list.push_back((v - p.Y()) / d.Y());
  } else if (curve.GetType() == GeomAbs_Circle || curve.GetType() == GeomAbs_Ellipse) {
    const int parts = std::max(1, static_cast<int>(std::ceil((to - from) / (2.0 * kWidestTurn))));
    for (int i = 1; i < parts; ++i) list.push_back(from + (to - from) * i / parts);
  }
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
  return list;
}

}  // namespace

FaceIntegral integrateFace(const TopoDS_Face& face, Vec3 about) {
  const TopoDS_Face forward = TopoDS::Face(face.Oriented(TopAbs_FORWARD));
  const FaceRule rule(forward, about);
  FaceIntegral out;
  Values sum{};
  // First pass: one rule per piece gives the size that the second, adaptive pass is measured against.
  for (const bool adaptive : {false, true}) {
    const Values scale = sum;
    sum = {};
    out.settled = true;
    for (TopExp_Explorer it(forward, TopAbs_EDGE); it.More(); it.Next()) {
      const TopoDS_Edge edge = TopoDS::Edge(it.Current());
      if (edge.Orientation() != TopAbs_FORWARD && edge.Orientation() != TopAbs_REVERSED) continue;
      Standard_Real from = 0, to = 0;
      const Handle(Geom2d_Curve) border = BRep_Tool::CurveOnSurface(edge, forward, from, to);
      if (border.IsNull() || !(from < to)) continue;
      const Geom2dAdaptor_Curve curve(border, from, to);
      const double infinite = std::numeric_limits<double>::infinity();
      const BorderRule along(rule, curve, adaptive ? std::abs(scale[0]) : infinite,
                             adaptive ? std::max(std::abs(scale[1]), std::pow(std::abs(scale[0]), 1.5)) : infinite);
      const double sense = edge.Orientation() == TopAbs_REVERSED ? -1.0 : 1.0;
      const std::vector<double> at = borderBreaks(rule, curve, from, to);
      for (std::size_t i = 0; i + 1 < at.size(); ++i)
        addScaled(sum, along.over(at[i], at[i + 1], 0, out.settled), sense);
    }
  }
  const double outward = face.Orientation() == TopAbs_REVERSED ? -1.0 : 1.0;
  out.area = sum[0];
  out.flux = outward * sum[1];
  out.first = {sum[2], sum[3], sum[4]};
  out.lean = Vec3{sum[5], sum[6], sum[7]} * outward;
  return out;
}

}  // namespace chipledger::part
