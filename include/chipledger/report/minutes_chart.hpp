#pragma once
// Where the minutes go, drawn: the map of a setup in steps of minutes per square centimetre under the edges that this
// setup sees. One hue, even steps of lightness, so that it reads in grey and in print; each step is one path.
#include <chipledger/estimate/minutes_map.hpp>
#include <chipledger/part/part.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// Lower ends of the steps, rising, in 1-2-5 numbers: the highest at or below `usual`, where all but few cells end,
/// each about half of the next. Where `most` lies far above, the last step is near it.
std::vector<double> mapSteps(double usual, double most);
/// One figure for each setup that has a map, with a common key; empty when there is none.
std::string minutesCharts(const estimate::Estimate& estimate, const part::Body& body,
                          const std::vector<estimate::MinutesMap>& maps);

}  // namespace chipledger::report
