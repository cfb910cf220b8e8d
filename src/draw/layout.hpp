#pragma once
// A chassis worked out for drawing: every detail with its contour, its height range and what it adds to or takes from
// the body. No kernel here.
#include "contour.hpp"
#include "stack_solid.hpp"

#include <chipledger/draw/drawn.hpp>

namespace chipledger::draw {

enum class Zone { Outer, Back, Through };

struct Item {
  DrawnDetail truth;
  Contour contour;  ///< at the surface it starts from, without rim chamfer or widening
  Region ground;    ///< plan area it takes up, root fillet and rim included
  Zone zone{Zone::Outer};
  bool island{};
  bool open{};
  int parent{-1};
  std::vector<Step> steps;     ///< the solid to fuse or cut, overshoot included
  double low_mm{}, high_mm{};  ///< heights between which it adds or takes material
  double surface_mm{};         ///< where it starts
  double floor_mm{};           ///< pockets: the floor; islands: the top
  double root_mm{}, dome_mm{};
  Vec2 domeCentre{};
  double floorInset_mm{};  ///< how far inside its contour the floor or top begins
  double volume_mm3{};     ///< > 0 adds, < 0 takes
  bool exact{true};        ///< volume_mm3 is a closed form
  double doubt_mm3{};      ///< how far it may be off when not
  std::optional<part::Hint> hint;
};

struct Layout {
  Contour outline;
  Region outlineRegion;
  std::vector<Step> bodySteps;
  double thickness_mm{}, top_mm{};  ///< top: the highest island
  double volume_mm3{};              ///< of the body alone
  Vec2 crownCentre{};
  std::vector<Item> items;  ///< parents before children
};

/// Fails: BadFile, where = "detail.dimension".
Result<Layout> layOut(const Chassis& chassis, const DrawOptions& options);
/// Inside each other, overlapping, outside the outline, through the body.
Result<Layout> checkPlaces(Layout layout, const Chassis& chassis, const DrawOptions& options);

// Closed forms (expected.cpp).
/// Volume of a stacked solid between two heights.
double stackVolume(const Contour& contour, const std::vector<Step>& steps, double low_mm, double high_mm);
/// Volume of the fillet (radius r) round the foot of an upright wall on a flat floor, outside a smooth contour:
/// P r^2 (1 - pi/4) + 2 pi r^3 (5/6 - pi/4), from the area A + P t + pi t^2 of its offset by t.
double rootFilletVolume(const Contour& contour, double r_mm);
/// Height of a crowned face at a plan point about the crown's centre.
double crownHeight(const Crown& crown, double top_mm, double x, double y);
/// Integral of that height over the inside of a contour.
double crownColumn(const Crown& crown, double top_mm, const Contour& contour, Vec2 centre);
/// Integral over the inside of a contour of the height of a sphere of radius R whose highest point is at top_mm.
double domeColumn(double sphere_mm, double top_mm, const Contour& contour, Vec2 centre);

}  // namespace chipledger::draw
