// Rows that name a thing: materials, plates, threads, cutters; and the ladders that hold for every material.
#include <fmt/format.h>

#include <algorithm>

#include "cutting/table_loader.hpp"

namespace chipledger::cutting {
namespace {

double at(const std::vector<double>& values, std::size_t index) {
  return values.size() == 1 ? values[0] : values[index];
}

bool sameLength(RowReader& row, const std::vector<double>& a, const std::vector<double>& b) {
  if (b.size() <= 1 || a.size() == b.size()) return true;
  row.complain(row.line(), fmt::format("The lists of this row differ in length: {} and {}.", a.size(), b.size()),
               "Give each list as many values as the first, or one value for all.");
  return false;
}

}  // namespace

void TableLoader::material(RowReader& row) {
  Material next;
  row.text("name", next.name, true);
  if (!row.ok()) return;
  auto old = std::find_if(tables_.materials.begin(), tables_.materials.end(),
                          [&](const Material& m) { return m.name == next.name; });
  const bool fresh = old == tables_.materials.end();
  if (!fresh) next = *old;
  const Origin ofRow = row.origin(nullptr);
  const auto value = [&](const char* key, Range range, const char* name, const char* unit, double& into,
                         bool required) {
    Origin origin;
    double before = into;
    row.sourced(key, range, into, origin, required, ofRow);
    if (origin.source.empty() && into == before) return;
    const Assumption said{"material." + next.name + "." + name, into, unit, origin.from, origin.source};
    auto known = std::find_if(next.sources.begin(), next.sources.end(),
                              [&](const Assumption& a) { return a.name == said.name; });
    if (known == next.sources.end()) {
      next.sources.push_back(said);
    } else {
      *known = said;
    }
  };
  double force = toMegapascals(next.specificForce), modulus = toMegapascals(next.modulus) / 1000;
  value("density_g_cm3", {0.5, 25}, "density", "g/cm3", next.density_g_cm3, fresh);
  value("specific_force_n_mm2", {20, 10000}, "specific force kc1.1", "N/mm2", force, fresh);
  value("force_exponent", {0, 0.6}, "force exponent mc", "", next.forceExponent, fresh);
  value("hardness_hb", {5, 800}, "hardness", "HB", next.hardness_hb, fresh);
  value("modulus_gpa", {0.5, 500}, "modulus", "GPa", modulus, fresh);
  value("conductivity_w_mk", {0.01, 500}, "conductivity", "W/(m K)", next.conductivity_w_mk, fresh);
  value("life_factor", {0.01, 200}, "life factor", "", next.lifeFactor, fresh);
  next.specificForce = megapascals(force);
  next.modulus = megapascals(modulus * 1000);
  if (const auto names = row.texts("also", false); !names.empty()) next.alsoCalled = names;
  row.text("caution", next.caution, false);
  row.close();
  if (!row.ok()) return;
  if (fresh) {
    tables_.materials.push_back(next);
  } else {
    *old = next;
  }
}

void TableLoader::cutLimit(RowReader& row) {
  std::string name;
  row.text("name", name, true);
  if (!row.ok()) return;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < kLimitCount; ++i) {
    const auto& fact = spec(static_cast<LimitName>(i));
    names.emplace_back(fact.key);
    if (name != fact.key) continue;
    const std::string key = *fact.unit ? fmt::format("value_{}", fact.unit) : "value";
    LimitRow next;
    row.number(key.c_str(), {fact.least, fact.most}, next.value, true);
    next.origin = row.origin(nullptr);
    row.close();
    if (row.ok()) tables_.limits.rows[i] = next;
    return;
  }
  const std::string near = meant(name, names);
  row.complain(
      row.line(), fmt::format("There is no limit called \"{}\".", name),
      near.empty() ? fmt::format("Use one of: {}.", fmt::join(names, ", ")) : fmt::format("Did you mean {}?", near));
}

void TableLoader::chipping(RowReader& row) {
  const auto diameters = row.numbers("diameter_mm", {0.05, 200}, true);
  const auto shares = row.numbers("share", {0, 0.95}, true);
  const Origin origin = row.origin(nullptr);
  row.close();
  if (!row.ok() || !sameLength(row, diameters, shares)) return;
  for (std::size_t i = 0; i < diameters.size(); ++i) {
    auto& rows = tables_.chipping;
    std::erase_if(rows, [&](const ChippingRow& r) { return r.diameter_mm == diameters[i]; });
    rows.push_back({diameters[i], at(shares, i), origin});
  }
}

void TableLoader::reach(RowReader& row) {
  const auto ratios = row.numbers("ratio", {0.1, 30}, true);
  const auto lives = row.numbers("life_factor", {0.01, 1}, true);
  const auto feeds = row.numbers("feed_factor", {0.01, 1}, true);
  const Origin origin = row.origin(nullptr);
  row.close();
  if (!row.ok() || !sameLength(row, ratios, lives) || !sameLength(row, ratios, feeds)) return;
  for (std::size_t i = 0; i < ratios.size(); ++i) {
    std::erase_if(tables_.reach, [&](const ReachRow& r) { return r.ratio == ratios[i]; });
    tables_.reach.push_back({ratios[i], at(lives, i), at(feeds, i), origin});
  }
}

void TableLoader::thinWork(RowReader& row) {
  std::string part;
  row.text("part", part, true);
  const auto measures = row.numbers("measure", {0.05, 100}, true);
  const auto factors = row.numbers("time_factor", {1, 20}, true);
  const Origin origin = row.origin(nullptr);
  row.close();
  if (row.ok() && part != "floor" && part != "wall") {
    row.complain(row.line(), fmt::format("There is no thin part called \"{}\".", part), "Use floor or wall.");
  }
  if (!row.ok() || !sameLength(row, measures, factors)) return;
  const ThinPart kind = part == "floor" ? ThinPart::Floor : ThinPart::Wall;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    std::erase_if(tables_.thin, [&](const ThinRow& r) { return r.part == kind && r.measure == measures[i]; });
    tables_.thin.push_back({kind, measures[i], at(factors, i), origin});
  }
}

void TableLoader::plate(RowReader& row) {
  const auto materials = materialsOf(row);
  std::string form = "plate";
  row.text("form", form, false);
  const auto thicknesses = row.numbers("thickness_mm", {0.05, 500}, false);
  const auto under = row.numbers("under_mm", {0, 5}, false);
  const auto price = row.numbers("price_per_kg", {0.01, 100000}, false);
  const bool drop = row.flag("remove");
  (void)row.origin(nullptr);
  row.close();
  if (!row.ok() || !sameLength(row, thicknesses, under) || !sameLength(row, thicknesses, price)) return;
  for (const auto& material : materials) {
    std::vector<double> steps = thicknesses;
    if (steps.empty()) {  // a new price for every thickness of this material
      for (const auto& old : tables_.plates) {
        if (old.material == material && old.form == form) steps.push_back(old.thickness_mm);
      }
    }
    for (std::size_t i = 0; i < steps.size(); ++i) {
      auto old = std::find_if(tables_.plates.begin(), tables_.plates.end(), [&](const PlateRow& r) {
        return r.material == material && r.form == form && r.thickness_mm == steps[i];
      });
      const bool fresh = old == tables_.plates.end();
      if (drop) {
        if (!fresh) tables_.plates.erase(old);
        continue;
      }
      PlateRow next{.material = material, .form = form, .thickness_mm = steps[i]};
      if (!fresh) next = *old;
      if (fresh && (price.empty() || under.empty())) {
        row.complain(row.line(), fmt::format("A new thickness of {:g} mm needs under_mm and price_per_kg.", steps[i]),
                     "Give both, or use a thickness that is in the tables.");
        return;
      }
      if (!under.empty()) next.under_mm = at(under, i);
      if (!price.empty()) next.pricePerKg = at(price, i);
      next.origin = row.origin(fresh ? nullptr : &old->origin);
      if (fresh) {
        tables_.plates.push_back(next);
      } else {
        *old = next;
      }
    }
  }
}

void TableLoader::thread(RowReader& row) {
  ThreadRow next;
  row.text("name", next.name, true);
  if (!row.ok()) return;
  auto old = std::find_if(tables_.threads.begin(), tables_.threads.end(),
                          [&](const ThreadRow& t) { return t.name == next.name; });
  const bool fresh = old == tables_.threads.end();
  if (!fresh) next = *old;
  row.number("nominal_mm", {0.3, 100}, next.nominal_mm, fresh);
  row.number("pitch_mm", {0.05, 8}, next.pitch_mm, fresh);
  row.number("minor_mm", {0.2, 100}, next.minor_mm, fresh);
  row.number("minor_max_mm", {0.2, 100}, next.minorMax_mm, fresh);
  row.number("tap_drill_mm", {0.2, 100}, next.tapDrill_mm, fresh);
  row.number("loose_drill_mm", {0.2, 100}, next.looseDrill_mm, fresh);
  next.origin = row.origin(fresh ? nullptr : &old->origin);
  row.close();
  if (!row.ok()) return;
  if (next.minor_mm >= next.nominal_mm || next.tapDrill_mm >= next.nominal_mm ||
      next.looseDrill_mm >= next.nominal_mm) {
    row.complain(row.line(), "The bore of a thread must be smaller than the thread.",
                 "Mend minor and drill diameters.");
    return;
  }
  if (fresh) {
    tables_.threads.push_back(next);
  } else {
    *old = next;
  }
}

void TableLoader::cutter(RowReader& row) {
  Cutter next;
  row.text("id", next.id, true);
  if (!row.ok()) return;
  auto old = std::find_if(tables_.crib.begin(), tables_.crib.end(), [&](const Cutter& c) { return c.id == next.id; });
  const bool fresh = old == tables_.crib.end();
  if (row.flag("remove")) {
    row.close();
    if (!fresh) tables_.crib.erase(old);
    return;
  }
  if (!fresh) next = *old;
  std::string kind = fresh ? "" : word(next.kind);
  row.text("kind", kind, fresh);
  if (const auto known = cutterKindFromWord(kind)) {
    next.kind = *known;
  } else if (row.ok()) {
    row.complain(row.line(), fmt::format("There is no kind of cutter called \"{}\".", kind),
                 fmt::format("Use one of: {}.", cutterKindWords()));
  }
  const auto length = [&](const char* key, Range range, Length& into, bool required) {
    double value = toMm(into);
    row.number(key, range, value, required);
    into = mm(value);
  };
  length("diameter_mm", {0.05, 200}, next.diameter, fresh);
  const double d = std::max(toMm(next.diameter), 0.05);
  length("corner_mm", {0, 100}, next.cornerRadius, false);
  double flutes = next.flutes;
  row.number("flutes", {1, 200}, flutes, fresh);
  next.flutes = static_cast<int>(flutes);
  length("flute_length_mm", {0.05, 300}, next.fluteLength, fresh);
  length("neck_diameter_mm", {0, 200}, next.neckDiameter, false);
  length("neck_length_mm", {0, 300}, next.neckLength, false);
  if (fresh) next.shankDiameter = next.diameter;
  length("shank_mm", {0.5, 60}, next.shankDiameter, false);
  length("stick_out_mm", {0.5, 400}, next.stickOut, fresh);
  if (fresh) next.holderDiameter = mm(28);
  length("holder_mm", {3, 200}, next.holderDiameter, false);
  double angle = toDegrees(next.pointAngle);
  row.number("point_angle_deg", {0, 180}, angle, false);
  next.pointAngle = degrees(angle);
  length("pitch_mm", {0, 10}, next.threadPitch, false);
  if (fresh) next.material = "carbide";
  row.text("material", next.material, false);
  double price = toUnits(next.price), life = toMinutes(next.life);
  row.number("price", {0, 100000}, price, fresh);
  next.price = money(price);
  row.number("life_min", {0.1, 10000}, life, false);
  next.life = minutes(life);
  row.number("life_holes", {1, 1e6}, next.lifeHoles, false);
  if (next.kind == CutterKind::Ball) next.cornerRadius = next.diameter * 0.5;
  const Origin before{next.from, Grade::Own, next.source};
  const Origin origin = row.origin(fresh ? nullptr : &before);
  next.from = origin.from;
  next.source = origin.source;
  row.close();
  if (!row.ok()) return;
  if (toMm(next.cornerRadius) > d / 2 + 1e-9) {
    row.complain(row.line(),
                 fmt::format("A corner of {:g} mm does not fit on a cutter of {:g} mm.", toMm(next.cornerRadius), d),
                 "Give at most half the diameter.");
  } else if (next.neckDiameter > next.diameter && next.kind != CutterKind::ThreadMill) {
    row.complain(row.line(), "The neck is thicker than the cutter.",
                 "Give neck_diameter_mm below diameter_mm, or leave it out.");
  } else if (next.fluteLength > next.stickOut) {
    row.complain(row.line(), "The flutes are longer than the stick-out.",
                 "Give stick_out_mm from the tip to the holder.");
  } else if (next.life <= Duration{} && next.lifeHoles <= 0) {
    row.complain(row.line(), "The cutter never wears out.",
                 "Give life_min, or life_holes for drills, reamers and taps.");
  }
  if (!row.ok()) return;
  if (fresh) {
    tables_.crib.push_back(next);
  } else {
    *old = next;
  }
}

}  // namespace chipledger::cutting
