#pragma once
// A material's row in the tables.
#include <chipledger/result/provenance.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/quantity.hpp>

#include <string>
#include <vector>

namespace chipledger::cutting {

struct Material {
  std::string name;  ///< "Ti-6Al-4V"
  std::vector<std::string> alsoCalled;
  double density_g_cm3{};
  Pressure specificForce{};  ///< kc1.1: at 1 mm chip thickness
  double forceExponent{};    ///< mc in kc = kc1.1 h^-mc
  Pressure modulus{};
  double hardness_hb{};
  double conductivity_w_mk{};
  double lifeFactor{1};  ///< cutter life in this material / life in Ti-6Al-4V, each at its own table speed
  std::string caution;   ///< dangerous chips or dust; empty: none
  Assumptions sources;   ///< one entry per value
};

struct CuttingTables;  ///< all rows in force; see cutting/tables.hpp

}  // namespace chipledger::cutting
