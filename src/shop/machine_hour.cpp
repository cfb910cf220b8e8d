#include <chipledger/shop/machine_hour.hpp>

namespace chipledger::shop {

double yearlyCost(const MachineHour& m) {
  return (m.price - m.resale) / m.years + 0.5 * (m.price + m.resale) * m.interest + m.service + m.power + m.floor +
         m.insurance;
}

double hourlyRate(const MachineHour& m) { return yearlyCost(m) / m.productiveHours + m.generalSharePerHour; }

}  // namespace chipledger::shop
