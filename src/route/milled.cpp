#include <chipledger/route/milled.hpp>
#include <chipledger/shop/learning.hpp>

#include <algorithm>

namespace chipledger::route {

namespace {

/// For the look or the weight: the tool works without it.
bool canGo(detail::DetailKind kind) {
  using detail::DetailKind;
  switch (kind) {
    case DetailKind::Island:
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Chamfer:
    case DetailKind::Round:
    case DetailKind::Lettering:
    case DetailKind::CarvedFace:
      return true;
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::Window:
    case DetailKind::Slot:
    case DetailKind::LockCut:
    case DetailKind::Thinning:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
    case DetailKind::Step:
    case DetailKind::SideFace:
    case DetailKind::Undercut:
      return false;
  }
  return false;
}

std::vector<DetailCut> canGo(const estimate::Estimate& e) {
  std::vector<DetailCut> cuts;
  const auto free = [&](int d) { return canGo(e.details.list[static_cast<std::size_t>(d)].kind); };
  for (const estimate::GroupPrice& g : e.groups)
    if (!g.withMinusWithout.empty() && std::all_of(g.details.begin(), g.details.end(), free))
      cuts.push_back({g.name, g.details, g.withMinusWithout, g.why});
  for (const estimate::DetailPrice& d : e.detailPrices)
    if (!d.withMinusWithout.empty() && free(d.detail))
      cuts.push_back({e.details.list[static_cast<std::size_t>(d.detail)].name, {d.detail}, d.withMinusWithout, d.why});
  return cuts;
}

}  // namespace

MilledPiece takeApart(const estimate::Estimate& e, const MilledPart& part, const shop::Shop& shop) {
  MilledPiece m;
  m.name = part.name;
  m.file = e.file;
  m.material = e.material;
  m.fingerprint = e.fingerprint;
  m.piecesPerSet = part.pieces();
  m.ownBatch = part.ownBatch;
  m.plates = e.once.plates;
  m.blank_mm = e.blank.size_mm;
  m.metal = e.blank.price;
  for (const estimate::SetupResult& s : e.setups) m.machine += s.machine;
  TimeCount bench;
  for (const ledger::Entry& entry : e.ledger.entries()) {
    if (entry.line == ledger::Line::Cutters) m.cutters += entry.cost;
    if (entry.line != ledger::Line::People || entry.operation != ledger::kShared) continue;
    (entry.setup == ledger::kShared ? bench : m.loading) += entry.hands;
  }
  // The ledger holds the bench's minutes at its own batch; a route wants those of a usual batch.
  const int pieces = e.batches[static_cast<std::size_t>(e.referenceBatch)].size * shop.piecesPerSet;
  const double factor = shop::learningFactor(shop.bench.learning, pieces);
  m.bench = countTime(toDuration(bench) / factor);
  m.setups = static_cast<int>(e.setups.size());
  m.setUpEach = countTime(shop.machineSide.setupPerBatch);
  m.programming = e.once.hands;
  m.boughtOnce = e.once.bought;
  m.scrap = e.scrapShare;
  m.spentWhenLost = shop.scrap.spentWhenLost;
  for (const estimate::CutterUse& use : e.cutters)
    m.cutterNeeds.push_back({use.cutter.id, use.shareUsed, use.cutter.price, use.breakage});
  m.advice = e.advice;
  m.leaveOut = canGo(e);
  m.openQuestions = static_cast<int>(e.details.questions.size());
  m.notes = e.notes;
  return m;
}

}  // namespace chipledger::route
