#include <chipledger/cutting/listing.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::cutting {
namespace {

std::string number(double value) { return fmt::format("{:g}", value); }
std::string optional(Length value) { return toMm(value) > 0 ? number(toMm(value)) : ""; }

ListingRow line(std::vector<std::string> cells, const Origin& origin) {
  return {std::move(cells), origin.from, word(origin.grade), origin.source};
}

/// Grade of a value that only carries where it is from.
const char* gradeWord(From from) {
  switch (from) {
    case From::Table:
      return "seen or reworked";
    case From::Guessed:
      return "common practice or memory";
    case From::Entered:
    case From::Clocked:
      return "own";
  }
  return "own";
}

}  // namespace

std::vector<Listing> listTables(const CuttingTables& tables, const std::string& material) {
  const auto wanted = [&](const std::string& name) { return material.empty() || name == material; };
  std::vector<Listing> all;
  const auto begin = [&](const char* section, const char* heading, std::vector<std::string> columns) -> Listing& {
    all.push_back({section, heading, std::move(columns), {}});
    return all.back();
  };

  Listing& materials = begin("material", "Materials", {"material", "property", "value", "unit"});
  for (const auto& row : tables.materials) {
    if (!wanted(row.name)) continue;
    for (const auto& value : row.sources) {
      const std::string property = value.name.substr(value.name.rfind(row.name) + row.name.size() + 1);
      materials.rows.push_back(
          {{row.name, property, number(value.value), value.unit}, value.from, gradeWord(value.from), value.source});
    }
  }

  Listing& speeds = begin("speed", "Surface speed",
                          {"material", "cutter", "for", "radial step, of D", "diameter, mm", "low, m/min",
                           "start, m/min", "high, m/min", "share of life"});
  for (const auto& r : tables.speeds) {
    if (!wanted(r.material)) continue;
    speeds.rows.push_back(line(
        {r.material, r.cutterMaterial, word(r.kind), fmt::format("{:g} to {:g}", r.radialLow, r.radialHigh),
         number(r.diameter_mm), number(r.low_m_min), number(r.start_m_min), number(r.high_m_min), number(r.lifeShare)},
        r.origin));
  }

  Listing& chips = begin("chip_load", "Chip load", {"material", "cutter", "for", "diameter, mm", "chip load, mm"});
  for (const auto& r : tables.chipLoads) {
    if (wanted(r.material))
      chips.rows.push_back(
          line({r.material, r.cutterMaterial, word(r.kind), number(r.diameter_mm), number(r.rated_mm)}, r.origin));
  }

  Listing& steps = begin("engagement", "Steps", {"material", "for", "diameter, mm", "axial, of D", "radial, of D"});
  for (const auto& r : tables.engagements) {
    if (wanted(r.material))
      steps.rows.push_back(line({r.material, word(r.kind), number(r.diameter_mm), number(r.axial),
                                 needsRadialStep(r.kind) ? number(r.radial) : "as it comes"},
                                r.origin));
  }

  Listing& lives =
      begin("tool_life", "Life law",
            {"material", "cutter", "n of the speed", "exponent of the radial step", "exponent of the chip"});
  for (const auto& r : tables.lives) {
    if (wanted(r.material))
      lives.rows.push_back(line(
          {r.material, r.cutterMaterial, number(r.n), number(r.radialExponent), number(r.chipExponent)}, r.origin));
  }

  Listing& chipping = begin("chipping", "Cutters that chip", {"diameter, mm", "share"});
  for (const auto& r : tables.chipping)
    chipping.rows.push_back(line({number(r.diameter_mm), number(r.share)}, r.origin));

  Listing& reach = begin("reach", "Reach", {"reach, of D", "factor on life", "factor on chip load"});
  for (const auto& r : tables.reach)
    reach.rows.push_back(line({number(r.ratio), number(r.lifeFactor), number(r.feedFactor)}, r.origin));

  Listing& thin =
      begin("thin_work", "Thin work", {"part", "thickness in mm, or height over thickness", "factor on time"});
  for (const auto& r : tables.thin)
    thin.rows.push_back(line({word(r.part), number(r.measure), number(r.timeFactor)}, r.origin));

  Listing& plates = begin("plate", "Stock", {"material", "form", "thickness, mm", "under, mm", "price per kg"});
  for (const auto& r : tables.plates) {
    if (wanted(r.material))
      plates.rows.push_back(
          line({r.material, r.form, number(r.thickness_mm), number(r.under_mm), number(r.pricePerKg)}, r.origin));
  }

  Listing& threads =
      begin("thread", "Threads",
            {"thread", "pitch, mm", "minor, mm", "largest minor, mm", "tap drill, mm", "loose drill, mm"});
  for (const auto& r : tables.threads) {
    threads.rows.push_back(line({r.name, number(r.pitch_mm), number(r.minor_mm), number(r.minorMax_mm),
                                 number(r.tapDrill_mm), number(r.looseDrill_mm)},
                                r.origin));
  }

  Listing& crib = begin("cutter", "Cutters",
                        {"id", "kind", "made of", "diameter, mm", "corner, mm", "flutes", "flute length, mm",
                         "neck, mm", "neck length, mm", "shank, mm", "stick-out, mm", "point, deg", "pitch, mm",
                         "price", "life, min", "life, holes"});
  for (const auto& c : tables.crib) {
    crib.rows.push_back({{c.id, word(c.kind), c.material, number(toMm(c.diameter)), optional(c.cornerRadius),
                          fmt::format("{}", c.flutes), number(toMm(c.fluteLength)), optional(c.neckDiameter),
                          optional(c.neckLength), number(toMm(c.shankDiameter)), number(toMm(c.stickOut)),
                          c.pointAngle.rad > 0 ? number(toDegrees(c.pointAngle)) : "", optional(c.threadPitch),
                          number(toUnits(c.price)), toMinutes(c.life) > 0 ? number(toMinutes(c.life)) : "",
                          c.lifeHoles > 0 ? number(c.lifeHoles) : ""},
                         c.from,
                         gradeWord(c.from),
                         c.source});
  }

  Listing& limits = begin("cut_limit", "Limits", {"limit", "value", "unit", "meaning"});
  for (std::size_t i = 0; i < kLimitCount; ++i) {
    const auto& fact = spec(static_cast<LimitName>(i));
    limits.rows.push_back(
        line({fact.key, number(tables.limits.rows[i].value), fact.unit, fact.meaning}, tables.limits.rows[i].origin));
  }
  return all;
}

std::vector<std::string> cautionsOf(const CuttingTables& tables, const std::vector<std::string>& materials) {
  std::vector<std::string> cautions;
  for (const auto& name : materials) {
    const auto material = findMaterial(tables, name);
    if (!material || material->caution.empty()) continue;
    if (std::find(cautions.begin(), cautions.end(), material->caution) == cautions.end())
      cautions.push_back(material->caution);
  }
  return cautions;
}

}  // namespace chipledger::cutting
