#pragma once
// The work in hand while details are found: one view per setup, claims on faces, and the details so far.
#include <chipledger/detail/detail.hpp>

#include "detail/level.hpp"
#include "detail/plan_shape.hpp"
#include "detail/view_graph.hpp"

namespace chipledger::detail {

/// The part seen along one view: which borders of its silhouette the upright faces stand on.
struct Silhouette {
  Region region;
  int outer{-1};                ///< ring of the outline in region.rings
  std::vector<int> ringOfFace;  ///< -1: not on the silhouette's border
  Box2 box;
  bool rectangular{};  ///< at least half of the outline lies on the rectangle round it
};

struct View {
  int setup{};
  ViewGraph graph;
  Levels levels;
  Silhouette silhouette;
  std::vector<int> levelDetail;  ///< detail whose floor or top a level is; -1 none yet
  int bodyLevel{-1};
  std::vector<int> ledge;    ///< per face: level of the promontory whose side it is, or -1
  std::vector<char> ground;  ///< per face: the carved face of the body where it has no floor
  double bodyZ{};            ///< height of the body's floor in this view
};

/// Faces found from a set of borders, walking over walls, fillets and slopes but not over levels.
struct Flood {
  std::vector<int> faces;
  struct Touch {
    int level{};
    double z{}, length{};
  };
  std::vector<Touch> touched;  ///< levels met, by length of shared border
  bool meetsCeiling{}, meetsGround{};
  double touchedLength() const;
};

class Recogniser {
public:
  Recogniser(const part::Body& body, const setup::Plan& plan, const RecogniseOptions& options);
  Details run();

private:
  // find_body.cpp
  void findBody();
  void findOpenings();
  void findInlets();
  // find_bores.cpp
  void findBores();
  // find_recesses.cpp
  void findRecesses(int viewIndex);
  bool promontory(const View& view, const Level& level) const;
  void markLedges(View& view) const;
  // find_islands.cpp
  void findIslands(int viewIndex);
  void findDomes(int viewIndex);
  // find_edges.cpp
  void findEdgeBreaks(int viewIndex);
  // find_rest.cpp
  void findUndercuts();
  void findCarved();
  void findLoose();
  void absorb();
  void sideFaces();
  // join_pieces.cpp
  void joinPieces();
  void joinAcross(std::size_t detail, std::size_t cut);
  void giveLedgesBack();
  void hostsOfRecesses();
  // relate.cpp
  void relate();
  void joinStrokes();
  void noteThinPlaces();
  // find_details.cpp
  void finish();

  bool claimed(int face) const { return owner_[static_cast<std::size_t>(face)] >= 0; }
  void claim(int face, int detail);
  int add(Detail detail, int viewIndex);
  const ViewFace& face(const View& view, int f) const { return view.graph.faces[static_cast<std::size_t>(f)]; }
  const ViewEdge& edge(const View& view, int e) const { return view.graph.edges[static_cast<std::size_t>(e)]; }
  const part::Face& bodyFace(int f) const { return body_.faces[static_cast<std::size_t>(f)]; }
  const part::Edge& bodyEdge(int e) const { return body_.edges[static_cast<std::size_t>(e)]; }
  bool onRing(const View& view, int f) const { return view.silhouette.ringOfFace[static_cast<std::size_t>(f)] >= 0; }

  enum class Way { Up, Down };
  /// Walks from the far faces of `borders` away from the level at `z`, up or down, over anything that is no level.
  /// Sides of promontories are entered from their own level only.
  Flood flood(const View& view, const std::vector<LevelBorder>& borders, double z, Way way) const;
  /// Union of the projections of faces, in the view's plane.
  Region projection(const View& view, const std::vector<int>& faces) const;
  Region levelRegion(const View& view, const Level& level) const;
  /// A face that only breaks an edge: a chamfer or a convex round.
  bool edgeBreak(const View& view, int f) const;
  /// A hollow fillet between a wall and a level.
  bool rootFillet(const View& view, int f) const;
  double filletRadius(const View& view, int f) const;
  /// Smallest radius of the upright inner (hollow) or outer corners among faces; 0 when there are none.
  double cornerRadius(const View& view, const std::vector<int>& faces, bool hollow) const;
  /// Ring of the silhouette that a border leading down ends on; -1 when it leads to a lower level.
  int ringBelow(const View& view, const LevelBorder& border) const;
  Silhouette silhouette(const ViewGraph& graph) const;
  bool narrowGroove(const PlanShape& shape) const;  ///< narrow and long enough for a lock cut

  Side sideOf(const View& view) const;
  Region toPlate(const View& view, const Region& region) const;
  void setHeights(Detail& detail, const View& view, double low, double high) const;
  Vec3 toPart(const View& view, Vec2 at, double z) const { return view.graph.frame.applyBack({at.x, at.y, z}); }
  int detailAt(const View& view, const std::vector<Flood::Touch>& touched, double z) const;
  std::string hintOf(const std::vector<part::FaceId>& faces) const;
  std::string calledBy(const std::vector<part::FaceId>& faces) const;

  const part::Body& body_;
  const setup::Plan& plan_;
  RecogniseOptions options_;
  std::optional<part::Colour> commonColour_;
  std::vector<View> views_;
  int bodyDetail_{-1}, outlineDetail_{-1};
  int outer_{-1}, back_{-1};  ///< views of the plate's two sides
  Vec3 size_;                 ///< plate frame
  bool block_{};              ///< thick and rectangular: its top is the top of the box, not the largest floor
  std::vector<Detail> found_;
  std::vector<int> foundView_;
  std::vector<int> owner_;
  Details out_;
};

}  // namespace chipledger::detail
