#pragma once
// Small charts as SVG text: plain numbers in, no layout left to a library. User unit: about a CSS pixel.
// A figure in a chart is a link to the number of the same value on the page, which opens: a chart stands on the page
// that has the table of its figures.
#include <chipledger/estimate/estimate.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// Price per piece over the batch with its band; both axes logarithmic, every point labelled.
std::string batchChart(const estimate::Estimate& estimate);
/// With minus without at the reference batch, dearest first, stacked by line; what a line saves stands left of zero.
std::string detailChart(const estimate::Estimate& estimate);
/// The plate from back to top, to scale: part, skims, allowance for thin plate, what is left before the next plate.
std::string thicknessChart(const estimate::Estimate& estimate);
/// How far the price moves with each doubt.
std::string doubtChart(const estimate::Estimate& estimate);

/// The lines of one price as one bar, largest first, with the amounts under it in the same order.
std::string costBar(const estimate::Estimate& estimate, std::size_t batch);
/// One price inside its band.
std::string bandBar(const estimate::Estimate& estimate, std::size_t batch);

/// The price of each variant at the first one's reference batch, by line, with its band.
std::string columnsChart(const std::vector<estimate::Estimate>& variants);
/// The colours of the lines, from `y` down: up to two rows of 20.
std::string lineKey(double y);

/// Fill of a price line: a published set of eight colours that colour-blind readers can tell apart (Okabe and Ito
/// 2002).
const char* lineColour(ledger::Line line);
/// A piece of a bar in the colour of its line, with a texture over it that tells it apart without colour. The textures
/// must stand once on the page.
std::string lineBar(double x, double y, double width, double height, ledger::Line line, const std::string& title);
std::string lineTextures();
/// A small square of the line's colour and texture, to stand in text.
std::string lineSwatch(ledger::Line line);

}  // namespace chipledger::report
