#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/field/cell_size.hpp>

#include <string>

namespace chipledger::estimate {

std::vector<path::HoleOrder> holeOrders(const detail::Details& details) {
  std::vector<path::HoleOrder> orders;
  for (std::size_t i = 0; i < details.list.size(); ++i) {
    const detail::Detail& d = details.list[i];
    const bool bore = d.kind == detail::DetailKind::Bore || d.kind == detail::DetailKind::Thread ||
                      d.kind == detail::DetailKind::Seat;
    if (!bore) continue;
    path::HoleOrder order;
    order.detail = static_cast<int>(i);
    order.tight = d.hint == "tight" || d.kind == detail::DetailKind::Seat;
    // A diameter that only looks like a tap drill is asked about, not assumed.
    if (d.kind == detail::DetailKind::Thread) order.thread = d.thread;
    orders.push_back(order);
  }
  return orders;
}

namespace {

/// Cells coarser than this let cutters into places where they do not fit (measured on a chassis).
constexpr int kCoarsestUseful_um = 200;

/// From the smallest inside radius, within the bound on cells.
field::CellChoice cellsFor(const DrawnPart& part, const shop::Shop& shop, const Options& options) {
  field::CellRequest request;
  if (options.cell_um > 0) request.given = mm(options.cell_um / 1000.0);
  request.mostCells = options.mostCells;
  for (const detail::Detail& d : part.details.list)
    if (d.dimensions.cornerRadius && (!request.smallestRadius || *d.dimensions.cornerRadius < *request.smallestRadius))
      request.smallestRadius = d.dimensions.cornerRadius;
  const double margins = 2.0 * toMm(shop.blank.sideAllowance);
  const Vec2 plan = box(part.solid->shadowFromAbove(part.solid->low())).size();
  request.plan_mm = {plan.x + margins, plan.y + margins};
  return field::chooseCell(request);
}

}  // namespace

Result<DrawnPart> drawnPart(const part::Body& body, const shop::Shop& shop, const Options& options) {
  DrawnPart drawn;
  drawn.body = &body;
  auto material = cutting::findMaterial(shop.tables, options.material);
  if (!material) return tl::make_unexpected(material.error());
  drawn.material = *material;
  auto setups = setup::planSetups(body);
  if (!setups) return tl::make_unexpected(setups.error());
  drawn.setups = std::move(*setups);
  auto details = lookDetails(body, drawn.setups, shop, options.answersFile.value_or(""));
  if (!details) return tl::make_unexpected(details.error());
  drawn.details = std::move(*details);
  drawn.solid = std::make_shared<const field::Solid>(body, drawn.setups.partToPlate);
  const field::CellChoice cells = cellsFor(drawn, shop, options);
  if (cells.coarsened && cells.cell_um > kCoarsestUseful_um)
    return fault(FaultCode::Limit, body.name,
                 "The part is so large that cells of " + std::to_string(cells.cell_um) +
                     " um would be needed to stay within the bound on cells; from 200 um on wrong cutters seem to fit.",
                 "Price it in pieces, give it as several smaller bodies, or raise --cell-limit.");
  drawn.cell_um = cells.cell_um;
  drawn.notes = cells.notes;
  return drawn;
}

}  // namespace chipledger::estimate
