#pragma once
// What an hour of a machine costs: fixed yearly cost over productive spindle hours.
//   yearly = (price - resale) / years + (price + resale) / 2 x interest + service + power + floor + insurance
//   rate   = yearly / productive hours + share of general shop cost
// Straight-line depreciation and interest on the mean capital: machine-hour rate as in costing textbooks.
namespace chipledger::shop {

/// Currency units a year unless the name says otherwise.
struct MachineHour {
  double price{}, resale{}, years{}, interest{};
  double service{}, power{}, floor{}, insurance{};
  double productiveHours{};      ///< spindle hours a year
  double generalSharePerHour{};  ///< share of general shop cost
};

double yearlyCost(const MachineHour& m);
double hourlyRate(const MachineHour& m);

}  // namespace chipledger::shop
