#pragma once
// What the estimate of a milled part says, taken apart into the quantities a route is reckoned with. Per piece, before
// losses, unless a name says otherwise.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/route/product.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

struct CutterNeed {
  std::string id;
  double share{};  ///< of one cutter per piece, breakage not in it
  Money price;
  double breakage{};  ///< broken for each one worn out
};

/// Details that could be left out, alone or together; functional ones (windows, bores, threads, slots) are not among
/// them.
struct DetailCut {
  std::string name;  ///< "island-1", "all islands"
  std::vector<int> details;
  std::vector<estimate::Difference> saves;  ///< with minus without, per piece
  std::string why;
};

struct MilledPiece {
  std::string name, file, material, fingerprint;
  int piecesPerSet{1};
  int ownBatch{};
  double plates{1};  ///< how many plates the once-per-design cost counts as (a mirrored mate counts less than one)
  Vec3 blank_mm;
  Money metal, cutters;
  ledger::Minutes machine;   ///< tool changes in it
  TimeCount loading, bench;  ///< bench: the mean over a usual batch of the shop
  int setups{};
  TimeCount setUpEach;    ///< per batch and setup
  TimeCount programming;  ///< of one plate
  Money boughtOnce;       ///< of one plate
  double scrap{};         ///< share of pieces lost
  double spentWhenLost{};
  std::vector<CutterNeed> cutterNeeds;
  std::vector<estimate::Advice> advice;  ///< changes that save, per piece
  std::vector<DetailCut> leaveOut;       ///< empty when details were not priced
  int openQuestions{};
  Notes notes;
};

MilledPiece takeApart(const estimate::Estimate& estimate, const MilledPart& part, const shop::Shop& shop);

}  // namespace chipledger::route
