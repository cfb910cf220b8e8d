#include <chipledger/path/kit.hpp>

#include <algorithm>

namespace chipledger::path {

double reachOf(const cutting::Cutter& cutter) {
  // A shank no wider than the flutes never touches the wall before the holder does.
  if (cutter.shankDiameter.base > 0 && cutter.shankDiameter <= cutter.diameter)
    return std::max(toMm(cutter.stickOut), toMm(cutter.fluteLength));
  return std::max(toMm(cutter.fluteLength), toMm(cutter.neckLength));
}

Body bodyOf(const cutting::Cutter& cutter) {
  Body body;
  const double neck = std::max(toMm(cutter.fluteLength), toMm(cutter.neckLength));
  if (cutter.shankDiameter > cutter.diameter) {
    body.shankFrom_mm = neck;
    body.shankRadius_mm = 0.5 * toMm(cutter.shankDiameter);
  }
  if (cutter.holderDiameter.base > 0 && cutter.stickOut.base > 0) {
    body.holderFrom_mm = std::max(toMm(cutter.stickOut), neck);
    body.holderRadius_mm = 0.5 * toMm(cutter.holderDiameter);
  }
  return body;
}

std::optional<Mill> millFor(const Work& work, const cutting::Cutter& cutter, cutting::CutKind kind, double depth_mm,
                            double reach_mm, ThinWork thin) {
  cutting::CutRequest request;
  request.kind = kind;
  request.depth = mm(depth_mm);
  request.reach = mm(reach_mm);
  request.floorLeft = mm(thin.floor_mm);
  request.wallLeft = mm(thin.wall_mm);
  request.wallHigh = mm(thin.wallHigh_mm);
  // Walls are finished in the shop's own radial step.
  if (kind == cutting::CutKind::Wall) request.widthLimit = work.practice.finishWallPass;
  request.moneyPerMinute = work.moneyPerMachineMinute;
  const Result<cutting::Conditions> chosen =
      chooseConditions(*work.material, cutter, request, work.spindle, *work.tables);
  if (!chosen) return std::nullopt;
  Mill mill;
  mill.cutter = &cutter;
  mill.conditions = *chosen;
  mill.slotStep_mm = toMm(chosen->axialStep);
  mill.slotStepFeed = chosen->slotFeed;
  mill.slotStepLife = chosen->slotLife;
  if (kind == cutting::CutKind::Rough) {
    request.kind = cutting::CutKind::Slot;
    const Result<cutting::Conditions> slot =
        chooseConditions(*work.material, cutter, request, work.spindle, *work.tables);
    if (slot) {
      mill.slotStep_mm = std::min(mill.slotStep_mm, toMm(slot->axialStep));
      mill.slotStepFeed = slot->feed;
      mill.slotStepLife = slot->life;
    }
  }
  return mill;
}

std::optional<Mill> carveMill(const Work& work, const cutting::Cutter& cutter, double depth_mm, double cusp_mm) {
  cutting::CutRequest request;
  request.kind = cutting::CutKind::Carve;
  request.depth = mm(depth_mm);
  request.cusp = mm(cusp_mm);
  request.moneyPerMinute = work.moneyPerMachineMinute;
  const Result<cutting::Conditions> chosen =
      chooseConditions(*work.material, cutter, request, work.spindle, *work.tables);
  if (!chosen) return std::nullopt;
  Mill mill;
  mill.cutter = &cutter;
  mill.conditions = *chosen;
  mill.slotStep_mm = toMm(chosen->axialStep);
  return mill;
}

Mill inSlotSteps(Mill mill) {
  mill.conditions.slotFeed = mill.slotStepFeed;
  mill.conditions.slotLife = mill.slotStepLife;
  return mill;
}

double moneyPerSecond(const Work& work, const cutting::Cutter& cutter, const cutting::Conditions& conditions) {
  double money = work.moneyPerMachineMinute / 60.0;
  if (conditions.life.base > 0) money += toUnits(cutter.price) / toSeconds(conditions.life);
  return money;
}

std::vector<const cutting::Cutter*> flatMills(const Work& work) {
  std::vector<const cutting::Cutter*> mills;
  for (const cutting::Cutter& cutter : work.crib)
    if (cutter.kind == cutting::CutterKind::Flat) mills.push_back(&cutter);
  std::stable_sort(mills.begin(), mills.end(), [](const cutting::Cutter* a, const cutting::Cutter* b) {
    return a->diameter != b->diameter ? a->diameter > b->diameter : a->id < b->id;
  });
  return mills;
}

}  // namespace chipledger::path
