// Rows by material and diameter: speeds, chip loads, engagements, life; and the frame that reads all sections.
#include "cutting/table_loader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace chipledger::cutting {
namespace {

/// One row of a file may stand for many rows of the tables: a list of n values, or one value for all.
double at(const std::vector<double>& values, std::size_t index) {
  return values.size() == 1 ? values[0] : values[index];
}

bool lengthsFit(RowReader& row, std::size_t points, std::initializer_list<const std::vector<double>*> lists) {
  for (const auto* list : lists) {
    if (list->size() > 1 && list->size() != points) {
      row.complain(row.line(), fmt::format("The lists of this row differ in length: {} and {}.", points, list->size()),
                   "Give each list as many values as the first, or one value for all.");
      return false;
    }
  }
  return true;
}

void replace(const std::vector<double>& given, std::size_t index, double& into) {
  if (!given.empty()) into = at(given, index);
}

auto key(const SpeedRow& r) {
  return std::tie(r.material, r.cutterMaterial, r.kind, r.radialLow, r.radialHigh, r.diameter_mm);
}
auto key(const ChipLoadRow& r) { return std::tie(r.material, r.cutterMaterial, r.kind, r.diameter_mm); }
auto key(const EngagementRow& r) { return std::tie(r.material, r.kind, r.diameter_mm); }

template <class Row>
Row* findRow(std::vector<Row>& rows, const Row& like) {
  for (auto& row : rows) {
    if (key(row) == key(like)) return &row;
  }
  return nullptr;
}

template <class Row>
void put(std::vector<Row>& rows, const Row& row) {
  if (Row* base = findRow(rows, row)) {
    *base = row;
  } else {
    rows.push_back(row);
  }
}

constexpr Range kDiameter{0.05, 200};
constexpr Range kSpeed{0.5, 3000};
constexpr Range kShare{0, 1};

}  // namespace

std::vector<Fault> TableLoader::load(const std::string& text) {
  const auto tree = parseTree(text, fileName_);
  if (!tree) return {tree.error()};
  using Reader = void (TableLoader::*)(RowReader&);
  const std::vector<std::pair<std::string, Reader>> readers{
      {"material", &TableLoader::material},     {"cut_limit", &TableLoader::cutLimit},
      {"speed", &TableLoader::speed},           {"chip_load", &TableLoader::chipLoad},
      {"engagement", &TableLoader::engagement}, {"tool_life", &TableLoader::toolLife},
      {"chipping", &TableLoader::chipping},     {"reach", &TableLoader::reach},
      {"thin_work", &TableLoader::thinWork},    {"plate", &TableLoader::plate},
      {"thread", &TableLoader::thread},         {"cutter", &TableLoader::cutter}};
  for (const auto& [section, reader] : readers) {
    for (const auto& field : *tree) {
      if (field.key != section) continue;
      if (field.value.kind != TreeValue::Kind::List) {
        faults_.push_back({field.value.line,
                           {FaultCode::BadFile, fmt::format("{} line {}", fileName_, field.value.line),
                            fmt::format("{} must be a list of rows.", section),
                            fmt::format("Begin each row with [[{}]].", section)}});
        continue;
      }
      for (const auto& item : field.value.list) {
        RowReader row(item, section, fileName_, builtIn_, faults_);
        (this->*reader)(row);
      }
    }
  }
  sortRows();
  std::stable_sort(faults_.begin(), faults_.end(),
                   [](const LinedFault& a, const LinedFault& b) { return a.line < b.line; });
  std::vector<Fault> faults;
  for (auto& lined : faults_) faults.push_back(std::move(lined.fault));
  return faults;
}

std::vector<std::string> TableLoader::materialsOf(RowReader& row) {
  auto names = row.texts("material", true);
  for (auto& name : names) {
    if (auto material = findMaterial(tables_, name)) {
      name = material->name;
    } else {
      row.complain(row.line(), material.error().what, material.error().next);
    }
  }
  return names;
}

void TableLoader::speed(RowReader& row) {
  const auto materials = materialsOf(row);
  const auto cutters = row.texts("cutter", true);
  const auto kinds = row.kinds("for");
  const auto band = row.numbers("radial", kShare, false);
  const auto diameters = row.numbers("diameter_mm", kDiameter, true);
  const auto start = row.numbers("start_m_min", kSpeed, false);
  const auto low = row.numbers("low_m_min", kSpeed, false);
  const auto high = row.numbers("high_m_min", kSpeed, false);
  const auto share = row.numbers("life_share", {0.001, 100}, false);
  (void)row.origin(nullptr);
  row.close();
  if (!band.empty() && (band.size() != 2 || band[0] >= band[1])) {
    row.complain(row.line(), "radial must be a band of two rising shares of the diameter.",
                 "Write radial = [0.0, 0.1].");
  }
  if (!row.ok() || !lengthsFit(row, diameters.size(), {&start, &low, &high, &share})) return;
  for (const auto& material : materials) {
    for (const auto& cutterMaterial : cutters) {
      for (const auto kind : kinds) {
        for (std::size_t i = 0; i < diameters.size(); ++i) {
          SpeedRow next{
              .material = material, .cutterMaterial = cutterMaterial, .kind = kind, .diameter_mm = diameters[i]};
          if (!band.empty()) {
            next.radialLow = band[0];
            next.radialHigh = band[1];
          } else {
            // A row without a band changes the lowest band there is.
            for (const auto& old : tables_.speeds) {
              if (old.material == material && old.cutterMaterial == cutterMaterial && old.kind == kind) {
                next.radialLow = old.radialLow;
                next.radialHigh = old.radialHigh;
                break;
              }
            }
          }
          const SpeedRow* base = findRow(tables_.speeds, next);
          if (base) next = *base;
          if (!base && (start.empty() || low.empty() || high.empty())) {
            row.complain(
                row.line(),
                fmt::format("A new speed at {:g} mm needs low_m_min, start_m_min and high_m_min.", diameters[i]),
                "Give all three, or use a diameter that is in the tables.");
            return;
          }
          replace(start, i, next.start_m_min);
          replace(low, i, next.low_m_min);
          replace(high, i, next.high_m_min);
          replace(share, i, next.lifeShare);
          if (next.low_m_min > next.start_m_min || next.start_m_min > next.high_m_min) {
            row.complain(row.line(),
                         fmt::format("Speeds must rise: low {:g}, start {:g}, high {:g} m/min at {:g} mm do not.",
                                     next.low_m_min, next.start_m_min, next.high_m_min, diameters[i]),
                         "Give low_m_min <= start_m_min <= high_m_min.");
            return;
          }
          next.origin = row.origin(base ? &base->origin : nullptr);
          put(tables_.speeds, next);
        }
      }
    }
  }
}

void TableLoader::chipLoad(RowReader& row) {
  const auto materials = materialsOf(row);
  const auto cutters = row.texts("cutter", true);
  const auto kinds = row.kinds("for");
  const auto diameters = row.numbers("diameter_mm", kDiameter, true);
  const auto rated = row.numbers("rated_mm", {0.0002, 1}, true);
  const Origin origin = row.origin(nullptr);
  row.close();
  if (!row.ok() || !lengthsFit(row, diameters.size(), {&rated})) return;
  for (const auto& material : materials) {
    for (const auto& cutterMaterial : cutters) {
      for (const auto kind : kinds) {
        for (std::size_t i = 0; i < diameters.size(); ++i) {
          put(tables_.chipLoads, {material, cutterMaterial, kind, diameters[i], at(rated, i), origin});
        }
      }
    }
  }
}

void TableLoader::engagement(RowReader& row) {
  const auto materials = materialsOf(row);
  const auto kinds = row.kinds("for");
  const auto diameters = row.numbers("diameter_mm", kDiameter, true);
  const auto axial = row.numbers("axial", {0.001, 20}, false);
  const auto radial = row.numbers("radial", {0.001, 1}, false);
  (void)row.origin(nullptr);
  row.close();
  if (!row.ok() || !lengthsFit(row, diameters.size(), {&axial, &radial})) return;
  for (const auto kind : kinds) {
    if (needsRadialStep(kind) || radial.empty()) continue;
    row.complain(row.line(), fmt::format("The radial step of \"{}\" is not the table's to say.", word(kind)),
                 "Leave radial out: it follows from the cutter or the work.");
    return;
  }
  for (const auto& material : materials) {
    for (const auto kind : kinds) {
      for (std::size_t i = 0; i < diameters.size(); ++i) {
        EngagementRow next{.material = material, .kind = kind, .diameter_mm = diameters[i]};
        const EngagementRow* base = findRow(tables_.engagements, next);
        if (base) next = *base;
        if (!base && (axial.empty() || (radial.empty() && needsRadialStep(kind)))) {
          row.complain(row.line(), fmt::format("A new engagement at {:g} mm needs its steps.", diameters[i]),
                       "Give axial, and radial for rough, wall and floor, or use a diameter that is in the tables.");
          return;
        }
        replace(axial, i, next.axial);
        replace(radial, i, next.radial);
        next.origin = row.origin(base ? &base->origin : nullptr);
        put(tables_.engagements, next);
      }
    }
  }
}

void TableLoader::toolLife(RowReader& row) {
  const auto materials = materialsOf(row);
  const auto cutters = row.texts("cutter", true);
  for (const auto& material : materials) {
    for (const auto& cutterMaterial : cutters) {
      LifeRow next{.material = material, .cutterMaterial = cutterMaterial};
      auto old = std::find_if(tables_.lives.begin(), tables_.lives.end(), [&](const LifeRow& r) {
        return r.material == material && r.cutterMaterial == cutterMaterial;
      });
      const bool fresh = old == tables_.lives.end();
      if (!fresh) next = *old;
      row.number("taylor_n", {0.05, 1}, next.n, fresh);
      row.number("radial_exponent", {0, 3}, next.radialExponent, fresh);
      row.number("chip_exponent", {0, 3}, next.chipExponent, fresh);
      next.origin = row.origin(fresh ? nullptr : &old->origin);
      if (!row.ok()) break;
      if (fresh) {
        tables_.lives.push_back(next);
      } else {
        *old = next;
      }
    }
  }
  row.close();
}

void TableLoader::sortRows() {
  const auto byKey = [](const auto& a, const auto& b) { return key(a) < key(b); };
  std::stable_sort(tables_.speeds.begin(), tables_.speeds.end(), byKey);
  std::stable_sort(tables_.chipLoads.begin(), tables_.chipLoads.end(), byKey);
  std::stable_sort(tables_.engagements.begin(), tables_.engagements.end(), byKey);
  const auto by = [](auto& rows, auto field) {
    std::stable_sort(rows.begin(), rows.end(), [&](const auto& a, const auto& b) { return field(a) < field(b); });
  };
  by(tables_.chipping, [](const ChippingRow& r) { return r.diameter_mm; });
  by(tables_.reach, [](const ReachRow& r) { return r.ratio; });
  by(tables_.thin, [](const ThinRow& r) { return std::make_pair(r.part, r.measure); });
  by(tables_.plates, [](const PlateRow& r) { return std::tie(r.material, r.form, r.thickness_mm); });
  by(tables_.threads, [](const ThreadRow& r) { return r.nominal_mm; });
}

}  // namespace chipledger::cutting
