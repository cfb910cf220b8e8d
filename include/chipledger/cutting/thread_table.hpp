#pragma once
// Metric coarse threads and the drills below them. A plain list: whoever asks whether a bore may be a thread needs no
// cutting tables. Diameters in mm.
#include <chipledger/cutting/origin.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::cutting {

struct ThreadRow {
  std::string name;        ///< "M2.5"
  double nominal_mm{};     ///< d
  double pitch_mm{};       ///< P
  double minor_mm{};       ///< basic minor diameter of the nut thread, D1 = d - 1.08253 P (ISO 724)
  double minorMax_mm{};    ///< largest minor diameter, tolerance 6H
  double tapDrill_mm{};    ///< chart size, about d - P
  double looseDrill_mm{};  ///< for tough alloys: toward the largest minor diameter, about 60 % of full thread depth
  Origin origin{};
};
using ThreadTable = std::vector<ThreadRow>;  ///< rising nominal diameter

/// The built-in list, M1.6 to M6.
const ThreadTable& builtInThreads();

/// Share of the full thread height that a bore of `bore_mm` leaves: (d - bore) / (d - D1), 1 at the basic minor
/// diameter.
double threadDepthShare(const ThreadRow& thread, double bore_mm);

/// The threads for which a bore of this diameter may be the tapping hole, the cast minor diameter or the modelled
/// nominal diameter: within `tolerance_mm` of [minor, max(minorMax, looseDrill)] or of the nominal size.
std::vector<const ThreadRow*> threadsForBore(const ThreadTable& threads, double bore_mm, double tolerance_mm = 0.03);

/// By name, case and blanks ignored ("m2.5", "M 2.5", "M2.5x0.45"); empty when there is no such row.
std::optional<ThreadRow> findThread(const ThreadTable& threads, const std::string& name);

}  // namespace chipledger::cutting
