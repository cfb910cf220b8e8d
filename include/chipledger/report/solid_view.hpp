#pragma once
// The part to turn, as a piece of a page: its triangles and edges in the plate frame, the blank round it, a label with
// name and price for each detail, dearest first. The page's own script draws it (src/report/page/solid.js); where that
// cannot run, the piece stays hidden and the plan stands in its place.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/part.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// Coordinates go into the page as steps of 1/65535 of the part's box: 1.5 um on 98 mm, below the mesh's own chords.
inline constexpr int kSolidSteps = 65535;
/// Above this the page would be too heavy to send by mail; the plan alone is shown.
inline constexpr std::size_t kMostTriangles = 120000;

/// A place on the part to which a label is tied, and which way the part faces there. Plate frame.
struct Spot {
  Vec3 place, normal;
};
/// Where a label of the detail may be tied: for one that goes through, on either side.
std::vector<Spot> spotsOf(const estimate::Estimate& estimate, const part::Body& body, std::size_t detail);

/// Empty when the body has no triangles, or too many.
std::string solidView(const estimate::Estimate& estimate, const part::Body& body);

/// "Cut away: 13.72 cm3, 78 % of the blank: ..." with money of the metal bought for it and of the minutes to cut it.
std::string cutAwayMarkup(const estimate::Estimate& estimate);

std::string base64(const std::vector<unsigned char>& bytes);

}  // namespace chipledger::report
