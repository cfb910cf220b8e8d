#pragma once
// Tables for a spreadsheet and paths for anyone who wants to time or cut the part again. Comma, point, UTF-8, one
// header line; text cells are quoted where needed, and one that a spreadsheet would take for a formula gets a leading
// quote mark.
#include <chipledger/estimate/estimate.hpp>

#include <string>

namespace chipledger::report {

/// Arcs are written as chords within this distance of the true arc, mm.
inline constexpr double kPathChordTolerance = 0.002;
/// A stand is written as a row that repeats its point, with the feed at which this length takes as long.
inline constexpr Length kStandLength{mm(1)};

/// One row per batch for the price, each detail (with minus without) and the shared rest; money per piece:
/// subject,name,pieces,currency,metal,...,overhead,per_piece,low,high   (low and high for the price only)
std::string priceCsv(const estimate::Estimate& estimate);

/// setup,operation,cutter,cutter_diameter_mm,corner_radius_mm,move,x_mm,y_mm,z_mm,feed_mm_min
/// Each row is the point reached by its move, in the frame of its setup; the first row of an operation is where it
/// starts. Feed 0: as fast as the machine goes. A point said again is a stand: as long as kStandLength takes at its feed.
/// Coordinates are rounded to 1e-5 mm.
std::string pathsCsv(const estimate::Estimate& estimate);

}  // namespace chipledger::report
