#include <chipledger/route/reckon.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::route {

namespace {

bool belongs(const std::vector<std::string>& only, const Variant* variant) {
  if (only.empty()) return true;
  return variant != nullptr && std::find(only.begin(), only.end(), variant->name) != only.end();
}

const ProductStep* find(const std::vector<const ProductStep*>& steps, const std::string& name) {
  const auto it = std::find_if(steps.begin(), steps.end(), [&](const ProductStep* s) { return s->name == name; });
  return it == steps.end() ? nullptr : *it;
}

/// What the route says wins on who and practice, what the product says on minutes and money.
Job merged(const RouteStep* own, const ProductStep* typed, const Route& route, const shop::Shop& shop) {
  Job job;
  job.name = own != nullptr ? own->name : typed->name;
  std::optional<Who> who = own != nullptr ? own->who : std::nullopt;
  if (!who && own == nullptr) who = route.others;
  if (!who && typed != nullptr) who = typed->who;
  job.who = who.value_or(Who::Bench);
  if (route.everything && job.who != Who::Outside) job.who = *route.everything;
  job.attended = shop.rates.attendedShare;
  if (own != nullptr) {
    job.takes = own->takes;
    job.times = own->times;
    job.perDesign_h = own->perDesign_h;
    job.perBatch_min = own->perBatch_min;
    job.perSet_min = own->perSet_min;
    job.attended = own->attended.value_or(job.attended);
  }
  if (job.takes == Takes::Bench) job.learning = shop.bench.learning;
  std::optional<double> yield;
  if (typed != nullptr) {
    job.perDesign_h = typed->perDesign_h.value_or(job.perDesign_h);
    job.perBatch_min = typed->perBatch_min.value_or(job.perBatch_min);
    job.perSet_min = typed->perSet_min.value_or(job.perSet_min);
    job.costPerDesign = typed->costPerDesign.value_or(Money{});
    job.costPerBatch = typed->costPerBatch.value_or(Money{});
    job.costPerSet = typed->costPerSet.value_or(Money{});
    job.learning = typed->learning.value_or(job.learning);
    yield = typed->yield;
    job.bearsOverhead = typed->bearsOverhead;
  }
  if (own != nullptr) {
    job.learning = own->learning.value_or(job.learning);
    if (own->yield) yield = own->yield;
  }
  if (job.takes == Takes::Machine) {
    job.machineYield = yield;
  } else {
    job.yield = yield.value_or(1.0);
  }
  return job;
}

std::vector<Job> orderOfWork(const std::vector<const ProductStep*>& typed, const Route& route, const shop::Shop& shop) {
  std::size_t afterMilled = 0;
  for (std::size_t i = 0; i < route.steps.size(); ++i)
    if (route.steps[i].takes != Takes::Nothing) afterMilled = i + 1;
  std::vector<Job> jobs;
  for (std::size_t i = 0; i <= route.steps.size(); ++i) {
    if (i == afterMilled) {
      for (const ProductStep* step : typed) {
        const bool named = std::any_of(route.steps.begin(), route.steps.end(),
                                       [&](const RouteStep& s) { return s.name == step->name; });
        if (!named) jobs.push_back(merged(nullptr, step, route, shop));
      }
    }
    if (i < route.steps.size()) jobs.push_back(merged(&route.steps[i], find(typed, route.steps[i].name), route, shop));
  }
  return jobs;
}

}  // namespace

Result<RouteInputs> gather(const Product& product, const Variant* variant, const Route& route,
                           const std::vector<MilledPiece>& milled, const shop::Shop& shop) {
  RouteInputs in;
  in.name = route.name;
  in.custom = route.custom;
  std::vector<const ProductStep*> typed;
  for (const ProductStep& step : product.steps)
    if (belongs(step.only, variant)) typed.push_back(&step);
  in.jobs = orderOfWork(typed, route, shop);
  const bool mills =
      std::any_of(in.jobs.begin(), in.jobs.end(), [](const Job& j) { return j.takes == Takes::Machine; });
  if (!milled.empty() && !mills)
    return fault(FaultCode::BadFile, text(route.place),
                 fmt::format("Nobody mills on the route \"{}\": no step takes \"machine\".", route.name),
                 "Add a [[route.step]] with takes = \"machine\".");
  in.milled = milled;
  for (const BoughtPart& part : product.bought)
    if (belongs(part.only, variant)) in.bought.push_back(part);
  for (const SentOut& work : product.sentOut)
    if (belongs(work.only, variant)) in.sentOut.push_back(work);
  in.terms = product.terms;
  if (route.custom) {
    in.terms.list = product.custom.price.value_or(product.terms.list);
    in.terms.channels = {{"direct", 1.0, 0.0}};
  }
  in.overhead = product.overhead.value_or(shop.rates.overhead);
  in.rates = shop.rates;
  in.week = shop.week;
  in.history = product.history;
  in.usualSets = route.usualSets;
  return in;
}

namespace {

Money scaled(Money m, double factor) { return money(toUnits(m) * factor); }
TimeCount scaled(TimeCount t, double factor) { return countTime(toDuration(t) * factor); }
double lossScaled(double good, double factor) { return std::max(kLeastYield, 1.0 - (1.0 - good) * factor); }

void apply(RouteInputs& in, const Change& c) {
  const double f = c.factor;
  switch (c.lever) {
    case Lever::Metal:
      for (MilledPiece& m : in.milled) m.metal = scaled(m.metal, f);
      break;
    case Lever::Machine:
      in.rates.machinePerHour *= f;
      break;
    case Lever::Wages:
      in.rates.machinistPerHour *= f;
      in.rates.benchPerHour *= f;
      in.rates.packingPerHour *= f;
      break;
    case Lever::Minutes:
      for (MilledPiece& m : in.milled)
        m.machine = {scaled(m.machine.lower, f), scaled(m.machine.likely, f), scaled(m.machine.upper, f)};
      break;
    case Lever::HandWork:
      for (MilledPiece& m : in.milled) {
        m.loading = scaled(m.loading, f);
        m.bench = scaled(m.bench, f);
      }
      for (Job& job : in.jobs) {
        job.perBatch_min *= f;
        job.perSet_min *= f;
      }
      break;
    case Lever::Cutters:
      for (MilledPiece& m : in.milled) {
        m.cutters = scaled(m.cutters, f);
        for (CutterNeed& need : m.cutterNeeds) need.share *= f;
      }
      break;
    case Lever::Scrap:
      for (MilledPiece& m : in.milled) m.scrap = std::min(c.absolute ? c.value : m.scrap * f, 1.0 - kLeastYield);
      for (Job& job : in.jobs) {
        if (job.machineYield) job.machineYield = c.absolute ? 1.0 - c.value : lossScaled(*job.machineYield, f);
        if (!c.absolute) job.yield = lossScaled(job.yield, f);
      }
      break;
    case Lever::Bought:
      for (BoughtPart& part : in.bought) {
        part.each = scaled(part.each, f);
        for (PriceBreak& b : part.breaks) b.each = scaled(b.each, f);
      }
      break;
    case Lever::Outside:
      for (SentOut& work : in.sentOut) {
        work.each = scaled(work.each, f);
        work.minimumCharge = scaled(work.minimumCharge, f);
      }
      in.rates.outsidePerHour *= f;
      break;
    case Lever::Once:
      for (MilledPiece& m : in.milled) {
        m.programming = scaled(m.programming, f);
        m.boughtOnce = scaled(m.boughtOnce, f);
      }
      for (Job& job : in.jobs) {
        job.costPerDesign = scaled(job.costPerDesign, f);
        if (job.who != Who::Owner) job.perDesign_h *= f;
      }
      break;
    case Lever::Overhead:
      in.overhead = c.absolute ? c.value : in.overhead * f;
      break;
    case Lever::OwnerHours:
      in.ownerTimes *= f;
      break;
    case Lever::List:
      if (!in.custom) in.terms.list = c.absolute ? money(c.value) : scaled(in.terms.list, f);
      break;
    case Lever::Discount:
      for (Channel& channel : in.terms.channels)
        if (channel.discount > 0) channel.discount = std::min(c.absolute ? c.value : channel.discount * f, 1.0);
      break;
    case Lever::Fees:
      in.terms.fees *= f;
      in.terms.warranty *= f;
      break;
  }
}

}  // namespace

RouteInputs changed(RouteInputs inputs, const std::vector<Change>& changes) {
  for (const Change& change : changes) apply(inputs, change);
  return inputs;
}

}  // namespace chipledger::route
